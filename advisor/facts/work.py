"""What the listed work does to the places drivers sit in."""

from __future__ import annotations

from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("driver")
def treatments(driver: View) -> tuple[str, ...]:
    """What the work listed for this way does: seal, damp, build."""
    operations = driver.job.shop.operations
    return tuple(dict.fromkeys(done for name in driver.way.work for done in operations[name].does))


@fact("driver")
def is_in_a_door(driver: View) -> bool:
    """Whether a cone (not a tweeter) works into a door."""
    if not driver.has_("location") or driver.is_tweeter or driver.has_("box"):
        return False
    return bool(driver.location.spec.get_("behind") == "door")


@fact("waiver")
def days_left(waiver: View) -> int:
    """Days until the waiver ends; below 0 it has."""
    return int((waiver.spec.until - waiver.today).days)


@fact("waiver")
def days_over(waiver: View) -> int:
    """Days since the waiver ran out."""
    return max(0, -int(waiver.days_left))


@fact("driver", source="common practice")
def door_treatments(driver: View) -> tuple[str, ...]:
    """What a door with a cone in it wants."""
    return tuple(driver.assume_("a_door_wants"))
