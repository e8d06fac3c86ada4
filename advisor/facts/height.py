"""How high the stage stands: the angle at which what plays the high notes is seen from the first listed seat's ear."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

HEIGHT_FROM_HZ = 3000.0
CUES = (
    "common practice; the outer ear tells height between 4 and 16 kHz (Hebrank and Wright, JASA 56, 1974, from memory)"
)


@fact("driver", unit="°", source="asin((height − ear height)/distance)")
def elevation_deg(driver: View) -> float:
    """Angle at which it is seen from the ear at the first listed seat; below 0 where it sits lower than the ear."""
    seats = driver.job.seats
    if not seats:
        raise Missing("customer.seats", driver.job.place_, "list the listeners' seats, the most important first")
    height, ear = driver.location.spec.height_m, seats[0].spec.ear_height_m
    try:
        return float(physics.listening.elevation_deg(height_m=height, ear_height_m=ear, distance_m=driver.distance_m))
    except ValueError as error:
        name = f"{driver}: a height that goes with its distance"
        raise Missing(name, driver.location.spec.place_, f"{error}; tape both again") from None


@fact("driver", unit="°")
def below_ear_deg(driver: View) -> float:
    """How far below the ear it is seen; 0 where it sits as high or higher."""
    return max(0.0, -float(driver.elevation_deg))


@fact("driver", unit="Hz")
def plays_to_hz(driver: View) -> float:
    """Top of what it is asked to play; its own top where the edge is open."""
    return float(driver.high_edge_hz if driver.has_high_edge else driver.plays_up_to_hz)


@fact("driver", source=CUES)
def sets_the_height(driver: View) -> bool:
    """Whether the ear tells height by it: it plays in front, and above 3 kHz."""
    if driver.is_behind or not driver.has_("location"):
        return False
    return bool(driver.plays_to_hz > HEIGHT_FROM_HZ)


@fact("driver")
def is_seen_lower(driver: View) -> bool:
    """Whether it is seen no higher than its counterpart on the other side, so that it is told once."""
    if not driver.side:
        return True
    way = str(driver).removesuffix(f" {driver.side}")
    others = [one for one in driver.job.drivers if one.side and str(one).removesuffix(f" {one.side}") == way]
    seen = float(driver.elevation_deg)
    return all(seen <= _seen_deg(one, seen) for one in others)


def _seen_deg(driver: View, unknown: float) -> float:
    try:
        return float(driver.elevation_deg)
    except Missing:  # that side is not surveyed
        return unknown


@fact("job", unit="°")
def stage_height_deg(job: View) -> float:
    """How high the stage stands, seen from the first listed seat: its lowest driver that the ear tells height by."""
    telling = [driver for driver in job.drivers if driver.sets_the_height]
    if not telling:
        raise NotDefined("nothing in front plays high enough to tell height by")
    return job.engine_.decisive(min, *[lambda driver=driver: driver.elevation_deg for driver in telling])
