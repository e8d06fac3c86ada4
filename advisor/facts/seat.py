"""What arrives at the listener: each way behind its filters, two ways where they meet, the whole system in its cabin.

Levels are against the passband; ways are taken as set alike in level, which is what setting up is for. Modes and
reflections of a real cabin come on top and are in no datasheet.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from advisor import physics
from advisor.facts.band import fallen_hz
from advisor.facts.network import passed_on, passive_edges
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SUPERPOSITION = "superposition of both ways: filters, the drivers' own responses, and what time is left between them"
LIFT = "first mode c/(2 L), textbook; below it pressure rises by 12 dB/octave (S. Linkwitz) until leaks end it"
NEAR_OCTAVES = 0.5
LEAST = 1e-6


@fact("cabin", unit="Hz", source="c/(2 L), first mode of the length; textbook")
def gain_corner_hz(cabin: View) -> float:
    """Frequency below which the cabin lifts the bass: half a wave fits into its length."""
    speed = cabin.job.sound_speed_m_s
    return float(physics.cabin.first_axial_mode_hz(length_m=cabin.spec.length_m, sound_speed_m_s=speed))


@fact("driver", hidden=True, source="response of the named filter, see physics/filters.py")
def low_pass(driver: View) -> Callable[[Any], Any]:
    """Response of the filter at the high edge; one where the edge is open."""
    if not driver.has_high_edge:
        return lambda hz: 1.0 + 0.0 * hz
    edge = driver.way.plays[1]
    order = edge.order if edge.order is not None else int(driver.assume_("filter_slope")) // 6
    shape = {"family": edge.family or "linkwitz-riley", "order": order, "edge_hz": float(edge.hz)}
    return lambda hz: physics.filters.response(hz, kind="low-pass", **shape)


@fact("driver", hidden=True, source=SUPERPOSITION)
def at_seat(driver: View) -> Callable[[Any], Any]:
    """The driver at the first listed seat behind all its filters, against its passband on its axis, without delay."""
    passive = {index for index, _ in passive_edges(driver)} if _is_solved(driver) else set()
    factors = [driver.response]
    factors += [] if 0 in passive else [driver.high_pass]
    factors += [] if 1 in passive else [driver.low_pass]
    if passive:
        factors.append(passed_on(driver))
    angle = _angle_deg(driver)
    if angle:
        radius = driver.cone_radius_mm / 1000
        factors.append(lambda hz: physics.directivity.piston(hz, radius_m=radius, angle_deg=angle))
    return lambda hz: math.prod(factor(hz) for factor in factors)


def _is_solved(driver: View) -> bool:
    """Tell whether the network's parts are known; a ready-made one is taken to do what its edges say."""
    return bool(driver.has_("network") and driver.network.is_made_for_the_job)


def _angle_deg(driver: View) -> float:
    """Return the surveyed angle, or none: a place that was not surveyed is taken as aimed at the seat."""
    seat = driver.first_seat
    if not seat or not driver.has_("location"):
        return 0.0
    record = driver.reach if driver.has_("reach") else driver.location.spec
    return min(90.0, float(record.off_axis_deg.get(seat, 0.0)))


@dataclass(frozen=True)
class Meeting:
    """Two ways round their handover: levels of both, and of the sum in the better polarity [-]."""

    hz: Any
    lower: Any
    upper: Any
    both: Any
    turned: bool


@fact("crossing", hidden=True, source=SUPERPOSITION)
def meeting(crossing: View) -> Meeting:
    """Both ways and their sum, half an octave either side of the handover."""
    middle = float(crossing.handover_hz)
    hz = physics.spectrum.around_hz(middle_hz=middle, octaves=NEAR_OCTAVES, count=97)
    late_s = crossing.left_over_ms / 1000
    lower = crossing.lower.at_seat(hz)
    upper = crossing.upper.at_seat(hz) * physics.spectrum.delayed(hz, delay_s=late_s)
    same, turned = abs(lower + upper), abs(lower - upper)
    better = bool(turned[hz.size // 2] > same[hz.size // 2])
    return Meeting(hz, abs(lower), abs(upper), turned if better else same, better)


@fact("crossing")
def is_lined_up(crossing: View) -> bool:
    """Whether each of the two gets the delay it wants: from a processor, on a channel of its own."""
    if crossing.one_channel:
        return False
    pair = (crossing.lower, crossing.upper)
    return not crossing.job.has_chain or all(
        driver.has_("channel") and "processor high-pass" in driver.channel.makers for driver in pair
    )


@fact("crossing", unit="ms")
def left_over_ms(crossing: View) -> float:
    """How much later the upper way arrives than the lower one once delays are set; below 0 where it is earlier."""
    if crossing.is_lined_up:
        return 0.0
    return float(crossing.upper.arrival_ms - crossing.lower.arrival_ms)


def _db(ratio: Any) -> Any:
    return physics.spectrum.level_db(ratio)


@fact("crossing", unit="dB", source=SUPERPOSITION)
def sum_db(crossing: View) -> float:
    """Level of both ways together at their handover, against the passband, in the better polarity."""
    meeting = crossing.meeting
    return float(_db(meeting.both[meeting.hz.size // 2]))


@fact("crossing", unit="dB", source=SUPERPOSITION)
def hole_db(crossing: View) -> float:
    """Deepest that both ways together fall under the passband within half an octave of their handover."""
    return max(0.0, -float(_db(crossing.meeting.both.min())))


@fact("crossing", unit="Hz", source=SUPERPOSITION)
def meets_at_hz(crossing: View) -> float:
    """Frequency near the handover at which both ways are equally loud."""
    meeting = crossing.meeting
    apart = _db(meeting.lower) - _db(meeting.upper)
    at = physics.spectrum.falls_through_zero_hz(meeting.hz, apart)
    if at is None:
        raise NotDefined("within half an octave of the handover one of the two is louder throughout")
    return float(at)


@fact("crossing", source=SUPERPOSITION)
def polarity(crossing: View) -> str:
    """Polarity of the upper way against the lower one that adds better: `same` or `turned`."""
    return "turned" if crossing.meeting.turned else "same"


@fact("crossing", unit="dB", source="definition of sensitivity")
def level_gap_db(crossing: View) -> float:
    """How much louder one of the two is at the same voltage, by their sensitivities."""
    at_voltage = [
        driver.sensitivity_1w_db + 10 * math.log10(8 / driver.wired_ohm) for driver in (crossing.lower, crossing.upper)
    ]
    return abs(float(at_voltage[0] - at_voltage[1]))


@fact("driver", unit="Hz", source=SUPERPOSITION)
def reaches_down_to_hz(driver: View) -> float:
    """Frequency below which the driver, its filter included, is 6 dB under its passband, without the cabin's lift."""
    if not driver.has_parameters:
        return float(driver.covers_from_hz)
    return fallen_hz(lambda hz: driver.high_pass(hz) * driver.response(hz), 6.0, driver)


@fact("job", unit="Hz", source=SUPERPOSITION)
def extension_6db_hz(job: View) -> float:
    """Frequency below which the lowest way is 6 dB down, filter included, before the cabin lifts it."""
    heard = [driver for driver in job.drivers if driver.has_to_be_loud]
    if not heard:
        raise NotDefined("nothing plays the bass")
    return job.engine_.decisive(min, *[lambda driver=driver: driver.reaches_down_to_hz for driver in heard])


@fact("job", unit="Hz", source=LIFT)
def extension_in_cabin_hz(job: View) -> float:
    """Frequency below which the lowest way is 6 dB down with the lift of the cabin: as deep as can be hoped for."""
    if not job.cabins:
        raise NotDefined("there is no vehicle to lift the bass")
    deepest = min((one for one in job.drivers if one.has_to_be_loud), key=lambda one: float(one.reaches_down_to_hz))
    if not deepest.has_parameters:
        return float(deepest.covers_from_hz)
    corner, leak = float(job.cabins[0].gain_corner_hz), float(job.assume_("cabin_leak"))

    def lifted(hz: Any) -> Any:
        gain = physics.cabin.cabin_gain_db(hz, mode_hz=corner, leak_hz=min(leak, 0.99 * corner))
        return deepest.high_pass(hz) * deepest.response(hz) * 10 ** (gain / 20)

    return fallen_hz(lifted, 6.0, job)


@fact("job")
def asks_for_depth(job: View) -> bool:
    """Whether the customer said how deep the bass is to go."""
    return job.customer.get_("deepest_hz") is not None


@fact("job")
def plays_from_behind(job: View) -> bool:
    """Whether anything plays from behind the listeners while something plays in front."""
    behind = [driver.is_behind for driver in job.drivers]
    return any(behind) and not all(behind)


@fact("job", unit="dB", source="mean power of each way over the octaves, behind its filters")
def off_stage_share_db(job: View) -> float:
    """Level that comes from behind between where bass tells its place and 500 Hz, against that from the front.

    Ways are taken as set alike; one behind that carries no bass plays along and is set lower.
    """
    if not job.plays_from_behind:
        raise NotDefined("everything plays from one side")
    hz = physics.spectrum.steps_hz(low_hz=job.assume_("bass_tells_its_place_from"), high_hz=500.0, count=60)
    power = {True: 0.0, False: 0.0}
    for driver in job.drivers:
        if driver.side != "right":
            fill = driver.is_behind and not driver.carries_bass_behind
            trim = float(job.assume_("fill_is_set_to")) if fill else 0.0
            level = abs(driver.high_pass(hz) * driver.low_pass(hz)) ** 2
            power[driver.is_behind] += float(level.mean()) * 10 ** (trim / 10)
    return 10 * math.log10(max(power[True], LEAST**2) / max(power[False], LEAST**2))
