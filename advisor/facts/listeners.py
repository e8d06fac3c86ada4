"""Each listed seat by itself: what is set for the first, as it arrives there; what others lose is the compromise."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from advisor import physics
from advisor.facts.arriving import Sender
from advisor.facts.balance import offset_db
from advisor.facts.meeting import sides_of, way_of
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.settings import arrives_at_ms
from advisor.facts.time import distance_to
from advisor.facts.views import View

PRECEDENCE = "precedence: what arrives first sets the place (Wallach and others 1949, as digested in print)"
COMB = "superposition: two arrivals half a period apart cancel"
SUMS = "superposition of both ways, as set for the first listed seat"
SPREADING = "spherical spreading of the direct sound"
WIDER_THAN_A_HEAD_HZ = 1500.0
"""Above it a wave is shorter than 23 cm, and leaning aside moves one from hole to hole."""

TOGETHER_MS = 0.025
"""Closer than that, half a period lies above hearing."""


def front_pairs(seat: View) -> list[tuple[View, View]]:
    """Return left and right of every way of the front stage that has both."""
    found = []
    sided = [driver for driver in seat.job.drivers if driver.side and not driver.is_behind]
    for left in sided:
        if left.side == "left":
            name = str(left).removesuffix(" left")
            found += [(left, right) for right in sided if str(right) == f"{name} right"]
    if not found:
        raise NotDefined("nothing in front has a left and a right")
    return found


@fact("seat")
def has_a_front_pair(seat: View) -> bool:
    """Whether anything in front has a left and a right."""
    sides = {driver.side for driver in seat.job.drivers if not driver.is_behind}
    return {"left", "right"} <= sides


class Side(NamedTuple):
    """How much nearer, sooner and louder one side of a way is at a seat; `nearer` is the side that is sooner."""

    sooner_ms: float
    louder_db: float
    nearer: str


@fact("seat", hidden=True, source=PRECEDENCE)
def pull(seat: View) -> Side:
    """Of the front stage's pairs the one whose two sides arrive farthest apart."""
    called = seat.called
    sides = []
    for left, right in front_pairs(seat):
        sooner = arrives_at_ms(right, called) - arrives_at_ms(left, called)
        louder = offset_db(left, called) - offset_db(right, called)
        sides.append(Side(sooner, louder, "left") if sooner >= 0 else Side(-sooner, -louder, "right"))
    return max(sides, key=lambda side: side.sooner_ms)


@fact("seat", unit="ms", source=PRECEDENCE)
def side_sooner_ms(seat: View) -> float:
    """How much sooner one side of the front stage arrives than the other, delays as set; of its pairs the most."""
    return float(seat.pull.sooner_ms)


@fact("seat", unit="dB", source=SPREADING)
def side_louder_db(seat: View) -> float:
    """How much louder that sooner side is, direct sound, with the levels as set; below 0 where softer."""
    return round(float(seat.pull.louder_db), 9) + 0.0


@fact("seat")
def pulled_to(seat: View) -> str:
    """Which side of the front stage arrives first."""
    return str(seat.pull.nearer)


@fact("seat", unit="m")
def path_difference_m(seat: View) -> float:
    """How much nearer one side of the front stage is than the other; of its pairs the most."""
    called = seat.called
    return max(abs(distance_to(left, called) - distance_to(right, called)) for left, right in front_pairs(seat))


@fact(
    "seat", unit="ms", source="a (angle + sin angle)/c at 90°, head radius 87.5 mm; R. S. Woodworth 1938 (from memory)"
)
def ear_to_ear_ms(seat: View) -> float:
    """Time between the two ears for a sound from straight aside: more than that between two sides leaves no middle."""
    speed = float(seat.job.sound_speed_m_s)
    return 1000 * float(physics.listening.ear_to_ear_s(angle_deg=90.0, sound_speed_m_s=speed))


@fact("seat", unit="Hz", source=COMB)
def sides_cancel_hz(seat: View) -> float:
    """Lowest frequency at which left and right, half a period apart, cancel of what is meant to stand in the middle."""
    if seat.side_sooner_ms < TOGETHER_MS:
        raise NotDefined("both sides arrive together")
    return float(physics.listening.first_cancellation_hz(apart_s=seat.side_sooner_ms / 1000))


@fact("seat", unit="dB", source=COMB)
def sides_cancel_db(seat: View) -> float:
    """How deep the direct sound of both sides falls there, against both added by their power."""
    if seat.side_sooner_ms < TOGETHER_MS:
        raise NotDefined("both sides arrive together")
    return float(physics.listening.cancellation_db(level_difference_db=seat.side_louder_db))


@fact("seat", unit="dB", source=SPREADING)
def softer_db(seat: View) -> float:
    """How much softer the direct sound of the front stage is than at the first listed seat; below 0 where louder."""
    called = seat.called
    levels = []
    for name in (seat.job.drivers[0].first_seat, called):
        power = [10 ** (offset_db(driver, name) / 10) for pair in front_pairs(seat) for driver in pair]
        levels.append(10 * math.log10(sum(power) / len(power)))
    return levels[0] - levels[1]


@fact("seat", unit="ms")
def undelayed_sooner_ms(seat: View) -> float:
    """How much sooner one side would arrive with no delay between the sides: what its distance alone makes."""
    return 1000 * float(seat.path_difference_m / seat.job.sound_speed_m_s)


class Hole(NamedTuple):
    """A handover at a seat: how deep it falls, how much deeper than at the first seat, where, and between which."""

    depth_db: float
    deeper_db: float
    hz: float
    between: str


@fact("crossing", hidden=True)
def wide(crossing: View) -> tuple[str, float] | tuple[()]:
    """Name and frequency of the handover where it is so low that a hole is wider than a head moves; else nothing."""
    hz = float(crossing.handover_hz)
    return (handover_of(crossing), hz) if hz <= WIDER_THAN_A_HEAD_HZ else ()


def handover_of(crossing: View) -> str:
    """Return the name of a handover; a way that serves both sides has one, with the two of them."""
    lower = crossing.lower
    return str(crossing) if lower.side else f"{lower}/{way_of(crossing.upper)}"


def falls_db(crossing: View, seats: Sequence[str]) -> list[float]:
    """Return how deep a handover falls at some seats; a way that serves both sides meets the mean of the two.

    Raises Missing for the first thing that is missing at any of them.
    """
    lowest_way = crossing.lower
    others = [seat for seat in seats if seat != lowest_way.first_seat]
    lower = Sender(lowest_way, seats, others)
    both, above_db = [], []
    for one in [crossing] if lowest_way.side else sides_of(crossing):
        upper = Sender(one.upper, seats, others)
        both.append(_both_at(one, lower, upper))
        above_db.append(upper.levels_db())
    lowest, depths = physics.spectrum.lowest_of_mean(both), []
    for below_db, *levels_db, least in zip(lower.levels_db(), *above_db, lowest, strict=True):
        level_db = (below_db + sum(levels_db) / len(levels_db)) / 2
        depths.append(max(0.0, level_db - float(physics.spectrum.level_db(least))))
    return depths


def _both_at(crossing: View, lower: Sender, upper: Sender) -> Any:
    """Return both ways together at some seats, a row for each."""
    hz, from_lower, from_upper = crossing.both_on_axis
    delayed = not crossing.one_channel  # on one channel both have the same delay
    moments = zip(lower.timed, upper.arrives_ms(delayed=delayed), lower.arrives_ms(delayed=delayed), strict=True)
    later = {seat: late - soon for seat, late, soon in moments}
    later_ms = [later[seat] if seat in later else float(crossing.left_over_ms) for seat in lower.seats]
    middle_hz = float(crossing.handover_hz)
    from_upper = physics.spectrum.arriving(from_upper, levels_db=upper.levels_db(), aside=upper.aside(middle_hz))
    from_lower = physics.spectrum.arriving(from_lower, levels_db=lower.levels_db(), aside=lower.aside(middle_hz))
    from_upper *= physics.spectrum.delayed_rows(hz, delays_s=[late / 1000 for late in later_ms])
    return from_lower + from_upper if crossing.polarity == "same" else from_lower - from_upper


@fact("crossing", hidden=True, unit="dB", source=SUMS)
def falls_at_seats_db(crossing: View) -> dict[str, float]:
    """How deep the handover falls at each listed seat where that is known."""
    seats = [str(seat.called) for seat in crossing.job.seats]
    try:
        return dict(zip(seats, falls_db(crossing, seats), strict=True))
    except (Missing, NotDefined):
        pass
    found = {}
    for seat in seats:
        try:
            found[seat] = falls_db(crossing, [seat])[0]
        except (Missing, NotDefined):  # told at the seat that it is of
            continue
    return found


@fact("seat", hidden=True, source=SUMS)
def worst_hole(seat: View) -> Hole:
    """The handover that loses most at this seat against the first listed one."""
    called, holes = seat.called, []
    seen: set[str] = set()
    for crossing in seat.job.crossings:
        if (wide := crossing.wide) and wide[0] not in seen:  # one way to both sides is one handover
            known = crossing.falls_at_seats_db
            here, first = (
                float(known[name]) if name in known else falls_db(crossing, [name])[0]  # which tells what is missing
                for name in (called, crossing.lower.first_seat)
            )
            holes.append(Hole(here, here - first, wide[1], wide[0]))
            seen.add(wide[0])
    if not holes:
        raise NotDefined("no two ways hand over to each other so low that a hole would be wider than a head moves")
    return max(holes, key=lambda hole: (hole.deeper_db, hole.depth_db))


@fact("seat", unit="dB", source=SUMS)
def hole_db(seat: View) -> float:
    """Deepest that two ways together fall at this seat, at the handover that loses most against the first seat."""
    return float(seat.worst_hole.depth_db)


@fact("seat", unit="dB", source=SUMS)
def hole_deeper_db(seat: View) -> float:
    """How much deeper that is than at the first listed seat, for which delays and levels are set."""
    return float(seat.worst_hole.deeper_db)


@fact("seat")
def hole_between(seat: View) -> str:
    """Handover at which that is."""
    return str(seat.worst_hole.between)


@fact("seat", unit="Hz")
def hole_hz(seat: View) -> float:
    """Frequency of that handover."""
    return float(seat.worst_hole.hz)
