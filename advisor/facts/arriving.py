"""What reaches each seat from a driver: read once, for all handovers and seats that ask for it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from advisor.facts.balance import fills_the_cabin, offset_db
from advisor.facts.meeting import aside
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.time import distance_to
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


class Sender:
    """A driver as some seats hear it; each thing is read when it is first asked for, and once.

    `timed` are those of the seats at which it is asked when it arrives.
    """

    __slots__ = ("_arrives", "_aside", "_known", "_levels", "driver", "seats", "timed")

    def __init__(self, driver: View, seats: Sequence[str], timed: Sequence[str]) -> None:
        self.driver, self.seats, self.timed = driver, seats, timed
        self._known: AtSeats | None = None
        self._levels: list[float] | None = None
        self._arrives: dict[bool, list[float]] = {}
        self._aside: dict[float, Any] = {}

    def known(self) -> AtSeats:
        """Return what is known of the seats; nothing where only the first is asked for, or where it was not taped."""
        if self._known is None:
            only_first = len(self.seats) == 1 and self.seats[0] == self.driver.first_seat
            try:
                self._known = {} if only_first else self.driver.at_seats
            except Missing:
                self._known = {}
        return self._known

    def arrives_ms(self, *, delayed: bool) -> list[float]:
        """Return when its sound arrives at each timed seat, with or without the delay that is set for it."""
        found = self._arrives.get(delayed)
        if found is None:
            driver, known = self.driver, self.known()
            metres = [known[seat].distance_m if seat in known else distance_to(driver, seat) for seat in self.timed]
            if not metres:
                return []
            speed = float(driver.job.sound_speed_m_s)
            delay_ms = float(driver.delay_to_set_ms) if delayed and driver.has_processor else 0.0
            found = self._arrives[delayed] = [far / speed * 1000 + delay_ms for far in metres]
        return found

    def levels_db(self) -> list[float]:
        """Return how much louder than the balance it is at each seat."""
        if self._levels is None:
            driver, known, off = self.driver, self.known(), float(self.driver.stands_off_db)
            louder = [off + known[seat].louder_db if seat in known else offset_db(driver, seat) for seat in self.seats]
            self._levels = louder
        return self._levels

    def aside(self, middle_hz: float) -> Any:
        """Return what of its sound is left off its axis round a handover, a row for each seat; None on the axis."""
        if middle_hz not in self._aside:
            self._aside[middle_hz] = aside(self.driver, middle_hz, self.seats)
        return self._aside[middle_hz]
