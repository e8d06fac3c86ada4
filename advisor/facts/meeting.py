"""Two ways where they hand over, as the job sets them: what they add up to, what polarity and delay do to it."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from advisor import physics
from advisor.facts.balance import offset_db
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.seat import SUPERPOSITION
from advisor.facts.settings import arrives_at_ms, sharing
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

    def in_the_middle(self, polarity: str) -> float:
        """Return the amplitude of the sum at the handover itself."""
        middle = self.hz.size // 2
        lower, upper = complex(self.lower[middle]), complex(self.upper[middle])
        return abs(lower - upper) if polarity == "turned" else abs(lower + upper)


@functools.lru_cache(maxsize=256)
def round_hz(middle_hz: float) -> Any:
    """Return the frequencies half an octave either side of a handover, itself in the middle."""
    return physics.spectrum.around_hz(middle_hz=middle_hz, octaves=NEAR_OCTAVES, count=97)


@functools.lru_cache(maxsize=2048)
def _turned_away(middle_hz: float, radius_m: float, angles_deg: tuple[float, ...]) -> Any:
    """Return what of a cone's sound is left aside of its axis, round a handover."""
    return physics.directivity.piston_at(round_hz(middle_hz), radius_m=radius_m, angles_deg=angles_deg)


@fact("crossing", hidden=True, source=SUPERPOSITION)
def both_on_axis(crossing: View) -> tuple[Any, Any, Any]:
    """Frequencies half an octave either side of the handover, itself in the middle, and both ways on their axes."""
    hz = round_hz(float(crossing.handover_hz))
    upper = crossing.upper.on_axis(hz)
    return hz, crossing.lower.on_axis(hz), upper


@fact("crossing", hidden=True, source=SUPERPOSITION)
def meeting(crossing: View) -> Meeting:
    """Both ways at the first listed seat, half an octave either side of the handover."""
    hz, lower, upper = crossing.both_on_axis
    later_ms, middle_hz = float(crossing.left_over_ms), float(crossing.handover_hz)
    above, below = crossing.upper, crossing.lower
    seat = below.first_seat
    upper_db, turned_up = offset_db(above, seat), aside(above, middle_hz, (seat,))
    lower_db, turned_low = offset_db(below, seat), aside(below, middle_hz, (seat,))
    gain = 10 ** ((lower_db - upper_db) / 40)  # half of what they are apart
    lower = lower * (gain if turned_low is None else gain * turned_low[0])
    upper = upper * (1 / gain if turned_up is None else turned_up[0] / gain)
    return Meeting(hz, lower, upper * physics.spectrum.delayed(hz, delay_s=later_ms / 1000) if later_ms else upper)


def aside(driver: View, middle_hz: float, seats: Sequence[str]) -> Any:
    """Return what of a driver's sound is left off its axis round a handover, a row for each seat; None on the axis."""
    known = driver.angles_deg
    angles = tuple([known.get(seat, 0.0) for seat in seats])  # what was not surveyed is taken as aimed at the seat
    if not any(angles):
        return None
    return _turned_away(middle_hz, float(driver.cone_radius_mm / 1000), angles)


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
    return _db(meeting.in_the_middle("turned")) - _db(meeting.in_the_middle("same"))


@fact("crossing", hidden=True)
def sides(crossing: View) -> tuple[str, ...]:
    """The handovers of the same two ways on all sides, itself among them."""
    mine = (way_of(crossing.lower), way_of(crossing.upper))
    others = [one for one in crossing.job.crossings if (way_of(one.lower), way_of(one.upper)) == mine]
    return tuple([str(one) for one in others])


def sides_of(crossing: View) -> list[View]:
    """Return the handovers of the same two ways on all sides, itself among them."""
    names = crossing.sides
    return [crossing] if len(names) == 1 else [one for one in crossing.job.crossings if str(one) in names]


def other_sides(crossing: View) -> list[View]:
    """Return the handover of the same two ways on the other side."""
    return [one for one in sides_of(crossing) if str(one) != str(crossing)]


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


def _db(ratio: float) -> float:
    return float(physics.spectrum.level_db(ratio))


@fact("crossing", unit="dB", source=SUPERPOSITION)
def sum_db(crossing: View) -> float:
    """Level of both ways together at their handover, against their passbands, in the polarity that is set."""
    return _db(crossing.meeting.in_the_middle(crossing.polarity))


@fact("crossing", unit="dB", source=SUPERPOSITION)
def hole_db(crossing: View) -> float:
    """Deepest that both ways together fall under the passband within half an octave of their handover."""
    return max(0.0, -_db(float(crossing.meeting.both(crossing.polarity).min())))


@fact("crossing", unit="Hz", source=SUPERPOSITION)
def meets_at_hz(crossing: View) -> float:
    """Frequency near the handover at which both ways are equally loud."""
    meeting = crossing.meeting
    apart = physics.spectrum.level_db(meeting.lower) - physics.spectrum.level_db(meeting.upper)
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
