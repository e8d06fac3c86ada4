"""Which ways are neighbours: one hands over to the other at the top of its band."""

from __future__ import annotations

import math

from advisor.chain.subject import Subject
from advisor.reading.job import Way
from advisor.reading.vehicle import Location


def pairs(drivers: list[Subject]) -> list[tuple[Subject, Subject]]:
    """Return (lower, upper) for every handover, each side by itself.

    A driver hands over to the one in the front stage whose low edge is nearest its own high edge, in octaves.
    """
    found = []
    for lower in drivers:
        best = {side: _nearest(lower, drivers, side) for side in ("left", "right", "")}
        distances = {side: _distance(lower, upper) for side, upper in best.items() if upper}
        # a driver of another side group that is further off plays beside the neighbours, not after this one
        nearest = min(distances.values(), default=None)
        found += [(lower, upper) for side, upper in best.items() if upper and distances[side] == nearest]
    return found


def _nearest(lower: Subject, drivers: list[Subject], side: str) -> Subject | None:
    candidates = [driver for driver in drivers if _may_take_over(lower, driver, side)]
    # a fill behind the listeners plays along; it takes over only where nothing in front does
    candidates = [driver for driver in candidates if in_front(driver)] or candidates
    return min(candidates, key=lambda upper: _distance(lower, upper), default=None)


def edges(driver: Subject) -> tuple[float | None, float | None]:
    """Return the low and high edge of a driver's band [Hz], None for open or not said."""
    way = driver.specs["way"]
    assert isinstance(way, Way)
    return (way.plays[0].hz, way.plays[1].hz) if way.plays else (None, None)


def in_front(driver: Subject) -> bool:
    """Tell whether a driver is before the listener; one with no place, or none said, is taken to be."""
    location = driver.ties.get("location")
    spec = location.specs["spec"] if isinstance(location, Subject) else None
    return not (isinstance(spec, Location) and spec.zone == "rear")


def _may_take_over(lower: Subject, upper: Subject, side: str) -> bool:
    if upper is lower or upper.own["side"] != side or lower.own["side"] not in ("", side):
        return False
    low, (own_low, top) = edges(upper)[0], edges(lower)
    if low is None or top is None:
        return False
    return own_low is None or low > own_low


def _distance(lower: Subject, upper: Subject) -> float:
    low, top = edges(upper)[0], edges(lower)[1]
    assert low is not None and top is not None
    return round(abs(math.log2(low / top)), 6)
