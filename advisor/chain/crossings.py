"""Which ways are neighbours: one hands over to the other at the top of its band."""

from __future__ import annotations

import math
from operator import itemgetter

from advisor.chain.subject import Subject
from advisor.reading.job import Way
from advisor.reading.vehicle import Location


def pairs(drivers: list[Subject]) -> list[tuple[Subject, Subject]]:
    """Return (lower, upper) for every handover, each side by itself.

    A driver hands over to the one in the front stage whose low edge is nearest its own high edge, in octaves.
    """
    found = []
    begins = [(driver, low) for driver in drivers if (low := edges(driver)[0]) is not None]
    for lower in drivers:
        own_low, top = edges(lower)
        if top is None:
            continue
        able = [(driver, _distance(low, top)) for driver, low in begins if driver is not lower and _above(own_low, low)]
        best = [_nearest(able, side) for side in ("left", "right", "") if lower.own["side"] in ("", side)]
        # a driver of another side group that is further off plays beside the neighbours, not after this one
        nearest = min([distance for _, distance in filter(None, best)], default=None)
        found += [(lower, upper) for upper, distance in filter(None, best) if distance == nearest]
    return found


def _nearest(able: list[tuple[Subject, float]], side: str) -> tuple[Subject, float] | None:
    """Return the nearest of a side among those that may take over, each with how far off it is."""
    candidates = [(driver, distance) for driver, distance in able if driver.own["side"] == side]
    if len(candidates) > 1:  # a fill behind the listeners plays along; it takes over only where nothing in front does
        candidates = [pair for pair in candidates if in_front(pair[0])] or candidates
    return min(candidates, key=itemgetter(1), default=None)


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


def _above(own_low: float | None, low: float) -> bool:
    return own_low is None or low > own_low


def _distance(low: float, top: float) -> float:
    return round(abs(math.log2(low / top)), 6)
