"""What arrives at the listener: each way behind its filters and trim, how deep the bass goes, what comes from behind.

Levels are against the passband, ways that nobody trimmed taken as set alike, which is what setting up is for. Modes
and reflections of a real cabin come on top and are in no datasheet.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from advisor import physics
from advisor.facts.balance import offset_db, set_off_db
from advisor.facts.band import fallen_hz
from advisor.facts.network import passed_on, passive_edges
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SUPERPOSITION = "superposition of both ways: filters, the drivers' own responses, and what time is left between them"
LIFT = "first mode c/(2 L), textbook; below it pressure rises by 12 dB/octave (S. Linkwitz) until leaks end it"
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
    """The driver at the first listed seat behind all its filters and its trim, against the balance, without delay."""
    return heard_at(driver, driver.first_seat)


def heard_at(driver: View, seat: str) -> Callable[[Any], Any]:
    """Return a driver's sound at a seat by frequency, behind all its filters and its trim, without delay.

    1 is the passband on its axis as loud as the balance at the first listed seat.
    """
    on_axis, gain, angle = driver.on_axis, 10 ** (offset_db(driver, seat) / 20), angle_deg(driver, seat)
    if not angle:
        return lambda hz: gain * on_axis(hz)
    radius = driver.cone_radius_mm / 1000
    return lambda hz: gain * (on_axis(hz) * physics.directivity.piston(hz, radius_m=radius, angle_deg=angle))


@fact("driver", hidden=True, source=SUPERPOSITION)
def on_axis(driver: View) -> Callable[[Any], Any]:
    """The driver on its axis behind all its filters, against its passband: the same in every vehicle."""
    passive = {index for index, _ in passive_edges(driver)} if _is_solved(driver) else set()
    factors = [driver.response]
    factors += [] if 0 in passive else [driver.high_pass]
    factors += [] if 1 in passive else [driver.low_pass]
    if passive:
        factors.append(passed_on(driver))
    return lambda hz: math.prod(factor(hz) for factor in factors)


def _is_solved(driver: View) -> bool:
    """Tell whether the network's parts are known; a ready-made one without them is taken to do what its edges say."""
    if not driver.has_("network"):
        return False
    if driver.network.is_made_for_the_job:
        return True
    return driver.way.from_.ports[0].port in driver.network.part.legs


@fact("driver", hidden=True, unit="°")
def angles_deg(driver: View) -> dict[str, float]:
    """How far off its axis each seat is that was surveyed."""
    if not driver.has_("location"):
        return {}
    record = driver.reach if driver.has_("reach") else driver.location.spec
    return {seat: min(90.0, float(angle)) for seat, angle in record.off_axis_deg.items()}


def angle_deg(driver: View, seat: str) -> float:
    """Return how far off its axis a seat is; a place that was not surveyed is taken as aimed at the seat."""
    return float(driver.angles_deg.get(seat, 0.0))


@fact("crossing", unit="dB", source="definition of sensitivity")
def level_gap_db(crossing: View) -> float:
    """How much louder one of the two is at the same voltage, by their sensitivities and behind their pads."""
    at_voltage = [driver.sensitivity_2v83_db - driver.pad_db for driver in (crossing.lower, crossing.upper)]
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

    Ways nobody trimmed are taken as set alike; one behind that carries no bass plays along and is set lower.
    """
    if not job.plays_from_behind:
        raise NotDefined("everything plays from one side")
    hz = physics.spectrum.steps_hz(low_hz=job.assume_("bass_tells_its_place_from"), high_hz=500.0, count=60)
    power = {True: 0.0, False: 0.0}
    for driver in job.drivers:
        if driver.side != "right":
            level = abs(driver.high_pass(hz) * driver.low_pass(hz)) ** 2
            power[driver.is_behind] += float(level.mean()) * 10 ** (set_off_db(driver) / 10)
    return 10 * math.log10(max(power[True], LEAST**2) / max(power[False], LEAST**2))
