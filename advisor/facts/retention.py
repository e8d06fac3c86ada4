"""What pulls at boxes and amplifiers in a crash, and whether the work listed holds them."""

from __future__ import annotations

from advisor import physics
from advisor.facts.registry import fact
from advisor.facts.views import View

CRASH = "Newton; 20 g: from 50 km/h to a standstill within half a metre is 19.7 g, derived"

DRIVING = "Newton; 0.8 g forward is what road transport holds a load against while driving"


@fact("job")
def work_done(job: View) -> tuple[str, ...]:
    """What the work listed for the whole job does."""
    operations = job.shop.operations
    return tuple(dict.fromkeys(done for name in job.spec.work for done in operations[name].does))


@fact("driver")
def box_weight_is_given(driver: View) -> bool:
    """Whether it has a box whose weight is known."""
    return bool(driver.has_("box") and driver.box.get_("weight_kg") is not None)


@fact("driver", unit="kg")
def box_weight_kg(driver: View) -> float:
    """Weight of the box with what is in it, as far as it is given."""
    return float(driver.box.weight_kg + (driver.part.get_("weight_kg") or 0.0) * driver.way.count)


@fact("driver", unit="N", source=CRASH)
def box_retention_n(driver: View) -> float:
    """Force that holds the box in a crash."""
    return float(physics.retention.force_n(mass_kg=driver.box_weight_kg))


@fact("driver", unit="N", source=DRIVING)
def box_braking_n(driver: View) -> float:
    """Force that holds the box when the brakes are stood on."""
    return float(physics.retention.driving_force_n(mass_kg=driver.box_weight_kg, direction="forward"))


@fact("driver")
def box_is_held(driver: View) -> bool:
    """Whether the work listed holds the box down."""
    return "hold" in driver.treatments or "hold" in driver.job.work_done


@fact("amplifier")
def weight_is_given(amplifier: View) -> bool:
    """Whether its weight is known."""
    return amplifier.part.get_("weight_kg") is not None


@fact("amplifier", unit="N", source=CRASH)
def retention_n(amplifier: View) -> float:
    """Force that holds the amplifier in a crash."""
    return float(physics.retention.force_n(mass_kg=amplifier.part.weight_kg))


@fact("amplifier", unit="N", source=DRIVING)
def braking_n(amplifier: View) -> float:
    """Force that holds the amplifier when the brakes are stood on."""
    return float(physics.retention.driving_force_n(mass_kg=amplifier.part.weight_kg, direction="forward"))


@fact("amplifier")
def is_held(amplifier: View) -> bool:
    """Whether the work listed holds amplifiers down with more than their own screws."""
    return "hold amplifiers" in amplifier.job.work_done
