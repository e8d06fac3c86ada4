"""Two ways where they hand over, as the job sets them: what they add up to, what polarity and delay do to it."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any, NamedTuple

from advisor import physics
from advisor.facts.balance import offset_db
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.seat import SUPERPOSITION, angle_deg
from advisor.facts.settings import arrives_at_ms, sharing
from advisor.facts.time import distance_to
from advisor.facts.views import View

NEAR_OCTAVES = 0.5
SMALLEST_MS = 1e-3
"""A third of a millimetre: as near as any tape is read."""


@dataclass(frozen=True)
class Meeting:
    """Two ways round their handover: phasors of both [-], each against the mean level of the two."""

    hz: Any
    lower: Any
    upper: Any

    def both(self, polarity: str) -> Any:
        """Return the amplitude of the sum in one polarity."""
        return abs(self.lower - self.upper) if polarity == "turned" else abs(self.lower + self.upper)


@functools.lru_cache(maxsize=256)
def round_hz(middle_hz: float) -> Any:
    """Return the frequencies half an octave either side of a handover, itself in the middle."""
    return physics.spectrum.around_hz(middle_hz=middle_hz, octaves=NEAR_OCTAVES, count=97)


@functools.lru_cache(maxsize=2048)
def _turned_away(middle_hz: float, radius_m: float, angle_deg: float) -> Any:
    """Return what of a cone's sound is left aside of its axis, round a handover."""
    return physics.directivity.piston(round_hz(middle_hz), radius_m=radius_m, angle_deg=angle_deg)


@fact("crossing", hidden=True, source=SUPERPOSITION)
def both_on_axis(crossing: View) -> tuple[Any, Any, Any]:
    """Frequencies half an octave either side of the handover, itself in the middle, and both ways on their axes."""
    hz = round_hz(float(crossing.handover_hz))
    upper = crossing.upper.on_axis(hz)
    return hz, crossing.lower.on_axis(hz), upper


class Arrived(NamedTuple):
    """Two ways at a seat round their handover, in time with the lower one, and the level each stands at there [dB]."""

    lower: Any
    upper: Any
    lower_db: float
    upper_db: float


def arrived_at(crossing: View, seat: str) -> Arrived:
    """Return what arrives at a seat from the lower and from the upper way."""
    hz, lower, upper = crossing.both_on_axis
    later = physics.spectrum.delayed(hz, delay_s=_later_ms(crossing, seat) / 1000)
    from_upper, upper_db = _heard(crossing, crossing.upper, seat, upper)
    from_lower, lower_db = _heard(crossing, crossing.lower, seat, lower)
    return Arrived(from_lower, from_upper * later, lower_db, upper_db)


def _heard(crossing: View, driver: View, seat: str, on_axis: Any) -> tuple[Any, float]:
    level_db, angle = offset_db(driver, seat), angle_deg(driver, seat)
    gain = 10 ** (level_db / 20)
    if not angle:
        return gain * on_axis, level_db
    radius_m = float(driver.cone_radius_mm / 1000)
    return gain * (on_axis * _turned_away(float(crossing.handover_hz), radius_m, angle)), level_db


def _later_ms(crossing: View, seat: str) -> float:
    """Return how much later than the lower way the upper one arrives at a seat, delays as set."""
    lower, upper = crossing.lower, crossing.upper
    if seat == lower.first_seat:
        return float(crossing.left_over_ms)
    if crossing.one_channel:  # whatever delay there is, both have it
        apart_m = distance_to(upper, seat) - distance_to(lower, seat)
        return 1000 * apart_m / float(crossing.job.sound_speed_m_s)
    return arrives_at_ms(upper, seat) - arrives_at_ms(lower, seat)


@fact("crossing", hidden=True, source=SUPERPOSITION)
def arrived(crossing: View) -> Arrived:
    """Both ways at the first listed seat, half an octave either side of the handover."""
    return arrived_at(crossing, crossing.lower.first_seat)


@fact("crossing", hidden=True, source=SUPERPOSITION)
def meeting(crossing: View) -> Meeting:
    """Both ways at the first listed seat, against the mean level of the two."""
    found = crossing.arrived
    level = 10 ** ((found.lower_db + found.upper_db) / 2 / 20)
    return Meeting(crossing.both_on_axis[0], found.lower / level, found.upper / level)


@fact("crossing")
def is_lined_up(crossing: View) -> bool:
    """Whether each of the two gets the delay it wants: from a processor, on a channel of its own."""
    if crossing.one_channel:
        return False
    pair = (crossing.lower, crossing.upper)
    return all(driver.has_processor and str(sharing(driver)[0]) == str(driver) for driver in pair)


@fact("crossing")
def delay_is_given(crossing: View) -> bool:
    """Whether the job gives the delay of either way."""
    return bool(crossing.lower.has_own_delay or crossing.upper.has_own_delay)


@fact("crossing")
def trim_is_given(crossing: View) -> bool:
    """Whether the job gives the level of either way."""
    return bool(crossing.lower.has_own_trim or crossing.upper.has_own_trim)


@fact("crossing")
def polarity_is_given(crossing: View) -> bool:
    """Whether the job gives the polarity of either way."""
    return bool(crossing.lower.has_own_polarity or crossing.upper.has_own_polarity)


@fact("crossing", unit="ms")
def left_over_ms(crossing: View) -> float:
    """How much later the upper way arrives than the lower one once delays are set; below 0 where it is earlier."""
    if crossing.is_lined_up and not crossing.delay_is_given:
        return 0.0
    lower, upper = crossing.lower, crossing.upper
    if crossing.one_channel:
        return float(upper.arrival_ms - lower.arrival_ms)
    return arrives_at_ms(upper, upper.first_seat) - arrives_at_ms(lower, lower.first_seat)


@fact("crossing", unit="ms")
def misses_by_ms(crossing: View) -> float:
    """How far apart the two arrive with the delays as set."""
    return abs(float(crossing.left_over_ms))


@fact("crossing")
def is_out_of_time(crossing: View) -> bool:
    """Whether a delay that is given puts the two more than a quarter period apart; all else follows from that."""
    if crossing.one_channel or not crossing.delay_is_given:
        return False
    return bool(crossing.misses_by_ms > crossing.quarter_period_ms)


@fact("crossing")
def time_makes_the_hole(crossing: View) -> bool:
    """Whether the two are so far out of time, by a given delay or a shared channel, that a hole follows from it."""
    if crossing.passive:
        return bool(crossing.arrival_gap_ms > crossing.quarter_period_ms)
    return bool(crossing.is_out_of_time)


@fact("crossing", source=SUPERPOSITION)
def hole_in_words(crossing: View) -> str:
    """How deep both together fall at the first listed seat, on the deeper side; empty where that is not known."""
    found = []
    for one in (crossing, *other_sides(crossing)):
        try:
            found.append((float(one.hole_db), str(one.lower.side)))
        except (Missing, NotDefined):  # this side is not surveyed
            continue
    if not found:
        return ""
    depth, side = max(found)
    on_side = f" on the {side}" if len(found) > 1 else ""
    return f", and within half an octave of it both together fall by up to {depth:.1f} dB{on_side}"


@fact("crossing", source=SUPERPOSITION)
def better_polarity(crossing: View) -> str:
    """Polarity of the upper way against the lower one that adds better, on both sides alike: `same` or `turned`."""
    gain = _turning_gains_db(crossing)
    for other in other_sides(crossing):
        try:
            gain += _turning_gains_db(other)
        except (Missing, NotDefined):  # the other side is not surveyed
            continue
    return "turned" if gain > 0 else "same"


def _turning_gains_db(crossing: View) -> float:
    """Return how much louder the sum at the handover is with one way turned over [dB]."""
    meeting = crossing.meeting
    middle = meeting.hz.size // 2
    return float(_db(meeting.both("turned")[middle]) - _db(meeting.both("same")[middle]))


def other_sides(crossing: View) -> list[View]:
    """Return the handover of the same two ways on the other side."""
    mine = (way_of(crossing.lower), way_of(crossing.upper))
    others = [one for one in crossing.job.crossings if str(one) != str(crossing)]
    return [one for one in others if (way_of(one.lower), way_of(one.upper)) == mine]


def way_of(driver: View) -> str:
    """Return the name of the way a driver is one side of."""
    return str(driver).removesuffix(f" {driver.side}") if driver.side else str(driver)


@fact("crossing", source=SUPERPOSITION)
def polarity(crossing: View) -> str:
    """Polarity of the upper way against the lower one as it is set, or as it adds better: `same` or `turned`."""
    lower, upper = crossing.lower, crossing.upper
    if not crossing.polarity_is_given:
        return str(crossing.better_polarity)
    return "same" if lower.polarity_to_set == upper.polarity_to_set else "turned"


@fact("crossing", unit="dB", source=SUPERPOSITION)
def polarity_costs_db(crossing: View) -> float:
    """How much louder the two would be at their handover with one of them turned over; below 0 where softer."""
    gain = _turning_gains_db(crossing)
    return gain if crossing.polarity == "same" else -gain


def _db(ratio: Any) -> Any:
    return physics.spectrum.level_db(ratio)


@fact("crossing", unit="dB", source=SUPERPOSITION)
def sum_db(crossing: View) -> float:
    """Level of both ways together at their handover, against their passbands, in the polarity that is set."""
    meeting = crossing.meeting
    return float(_db(meeting.both(crossing.polarity)[meeting.hz.size // 2]))


@fact("crossing", unit="dB", source=SUPERPOSITION)
def hole_db(crossing: View) -> float:
    """Deepest that both ways together fall under the passband within half an octave of their handover."""
    return max(0.0, -float(_db(crossing.meeting.both(crossing.polarity).min())))


@fact("crossing", unit="Hz", source=SUPERPOSITION)
def meets_at_hz(crossing: View) -> float:
    """Frequency near the handover at which both ways are equally loud."""
    meeting = crossing.meeting
    apart = _db(meeting.lower) - _db(meeting.upper)
    at = physics.spectrum.falls_through_zero_hz(meeting.hz, apart)
    if at is None:
        raise NotDefined("within half an octave of the handover one of the two is louder throughout")
    return float(at)


@fact("crossing", unit="dB", source="levels of both ways at the first listed seat, as set")
def trim_gap_db(crossing: View) -> float:
    """How much louder the lower way stands than the upper one with the trims as set; below 0 where softer."""
    return float(crossing.lower.stands_off_db - crossing.upper.stands_off_db)


@fact("crossing", unit="dB")
def out_of_balance_db(crossing: View) -> float:
    """How far the levels of the two stand apart, whichever is louder."""
    return abs(float(crossing.trim_gap_db))


@fact("crossing")
def louder_way(crossing: View) -> str:
    """Which of the two stands louder."""
    return str(crossing.lower if crossing.trim_gap_db > 0 else crossing.upper)


@fact("crossing", unit="Hz")
def adds_up_to_hz(crossing: View) -> float:
    """Frequency up to which the time between the two, without delays, is less than a quarter period."""
    if crossing.arrival_gap_ms < SMALLEST_MS:
        raise NotDefined("both are as far from the ear")
    return 250.0 / float(crossing.arrival_gap_ms)


def _other_gaps_ms(crossing: View) -> list[float]:
    gaps = []
    for other in other_sides(crossing):
        try:
            gaps.append(float(other.arrival_gap_ms))
        except Missing:  # the other side is not surveyed
            continue
    return gaps


@fact("crossing")
def has_another_side(crossing: View) -> bool:
    """Whether the same two ways hand over on the other side, at distances that differ from these."""
    gap = float(crossing.arrival_gap_ms)
    return any(abs(other - gap) > SMALLEST_MS for other in _other_gaps_ms(crossing))


@fact("crossing", unit="ms")
def other_gap_ms(crossing: View) -> float:
    """How much sooner one of the two arrives on the other side."""
    gaps = _other_gaps_ms(crossing)
    if not gaps:
        raise NotDefined("there is no other side that is surveyed")
    return gaps[0]


@fact("crossing")
def is_the_worse_side(crossing: View) -> bool:
    """Whether the two arrive no closer together than on the other side, so that it is told once."""
    gap = float(crossing.arrival_gap_ms)
    return all(other <= gap + SMALLEST_MS for other in _other_gaps_ms(crossing))
