"""What hangs on a place, and the forces its fixing has to hold: hard braking, cornering, bumps, and a crash."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.retention import CRASH
from advisor.facts.views import View

LITRE_IN_M3 = 1000
ROAD = "load restraint practice in road transport: 0.8 g forward, 0.5 g sideways, 0.2 g upward"


@fact("driver", unit="kg", source="walls of a cube of that volume; density of board: common practice")
def empty_box_kg(driver: View) -> float:
    """Weight of its box without the driver: as given, else at least that of its walls."""
    if not driver.has_("box"):
        raise NotDefined("it has no box of its own")
    given = driver.box.get_("weight_kg")
    if given is not None:
        return float(given)
    return float((driver.box_outer_l - driver.box_gross_l) / LITRE_IN_M3 * driver.assume_("board_density"))


def _weights(location: View) -> list[tuple[str, float | None]]:
    job, here = location.job, str(location)
    devices = [one for one in (*job.interfaces, *job.processors, *job.amplifiers) if one.has_("location")]
    found: list[tuple[str, float | None]] = [
        (str(one.part), one.part.get_("weight_kg")) for one in devices if str(one.location) == here
    ]
    for driver in job.drivers:
        if driver.has_("location") and str(driver.location) == here:
            weight = driver.part.get_("weight_kg")
            found.append((str(driver.part), None if weight is None else weight * driver.way.count))
            if driver.has_("box"):
                found.append((f"the box of {driver}", float(driver.empty_box_kg)))
    return found


@fact("location", unit="kg")
def carries_kg(location: View) -> float:
    """Weight of all that is mounted here, boxes included."""
    weights = _weights(location)
    if not weights:
        raise NotDefined("nothing of weight is mounted here")
    lacking = [name for name, weight in weights if weight is None]
    if lacking:
        raise Missing(f"the weight of {', '.join(lacking)}", location.job.place_, "weigh it, and write weight_kg")
    return float(sum(weight for _, weight in weights if weight is not None))


@fact("location")
def limit_is_surveyed(location: View) -> bool:
    """Whether it is known what may hang here, and something does."""
    return bool(_weights(location)) and location.spec.get_("holds_kg") is not None


@fact("location", unit="N", source=CRASH)
def crash_n(location: View) -> float:
    """Force that holds all that is mounted here in a crash."""
    return float(physics.retention.force_n(mass_kg=location.carries_kg))


def _driving_n(location: View, direction: str) -> float:
    return float(physics.retention.driving_force_n(mass_kg=location.carries_kg, direction=direction))


@fact("location", unit="N", source=ROAD)
def braking_n(location: View) -> float:
    """Force that holds it forward through hard braking."""
    return _driving_n(location, "forward")


@fact("location", unit="N", source=ROAD)
def cornering_n(location: View) -> float:
    """Force that holds it sideways through bends."""
    return _driving_n(location, "sideways")


@fact("location", unit="N", source=ROAD)
def bump_n(location: View) -> float:
    """Force that holds it down over bumps."""
    return _driving_n(location, "upward")
