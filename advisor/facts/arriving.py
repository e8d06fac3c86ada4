"""What reaches each seat from a driver: read once, for all handovers and seats that ask for it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from advisor.facts.balance import fills_the_cabin
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View

SPREADING = "spherical spreading of the direct sound"


class AtSeat(NamedTuple):
    """One seat from a driver: its ear's distance, how much louder than at the first listed seat, and the angle."""

    distance_m: float
    louder_db: float
    angle_deg: float


AtSeats = Mapping[str, AtSeat]


@fact("driver", hidden=True, source=SPREADING)
def at_seats(driver: View) -> AtSeats:
    """Each taped seat: how far it is, how much louder the driver is there than it is set for, and how far off its axis.

    As set is at the first listed seat where a processor sets it, else at 1 m.
    """
    if not driver.has_("location"):
        return {}
    record = driver.reach if driver.has_("reach") else driver.location.spec
    taped, angles = record.distance_m, record.off_axis_deg
    made_up_db = float(driver.distance_loss_db) if driver.has_processor else 0.0
    alike = fills_the_cabin(driver)
    return {
        seat: AtSeat(
            float(distance),
            made_up_db - (0.0 if alike else 20 * math.log10(distance)),
            min(90.0, float(angles.get(seat, 0.0))),
        )
        for seat, distance in taped.items()
    }


def known_at_seats(driver: View) -> AtSeats:
    """Return what is known of the seats, nothing where the first one was not taped."""
    try:
        return driver.at_seats  # type: ignore[no-any-return]
    except Missing:
        return {}
