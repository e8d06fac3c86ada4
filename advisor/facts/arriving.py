"""What reaches each seat from a driver: read once, for all handovers and seats that ask for it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import NamedTuple

from advisor.facts.balance import fills_the_cabin
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View

SPREADING = "spherical spreading of the direct sound"


class AtSeat(NamedTuple):
    """One seat from a driver: its ear's distance, and how much louder the driver is there than it is set for."""

    distance_m: float
    louder_db: float


AtSeats = Mapping[str, AtSeat]


@fact("driver", hidden=True, source=SPREADING)
def at_seats(driver: View) -> AtSeats:
    """Each taped seat: how far it is, and how much louder the driver is there than it is set for.

    It is set for the first listed seat where a processor sets it, else for 1 m.
    """
    if not driver.has_("location"):
        return {}
    taped = (driver.reach if driver.has_("reach") else driver.location.spec).distance_m
    made_up_db = float(driver.distance_loss_db) if driver.has_processor else 0.0
    alike = fills_the_cabin(driver)
    return {
        seat: AtSeat(float(metres), made_up_db - (0.0 if alike else 20 * math.log10(metres)))
        for seat, metres in taped.items()
    }


def known_at_seats(driver: View, others: Collection[str]) -> AtSeats:
    """Return what is known of the seats, nothing where the first one was not taped.

    Where no others are asked for, nothing is read: as set, what is set for the first needs no way to it.
    """
    if not others:
        return {}
    try:
        return driver.at_seats  # type: ignore[no-any-return]
    except Missing:
        return {}
