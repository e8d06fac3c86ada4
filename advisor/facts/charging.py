"""The voltage as it really is: let down on the road to save fuel, and dipping as the engine starts again."""

from __future__ import annotations

from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("job", unit="V", source="common practice")
def lowest_v(job: View) -> float:
    """Lowest voltage that lasts on the road: as measured, or what smart charging lets it fall to."""
    electrics = job.electrics
    measured = electrics.get_("lowest_running_v")
    if measured is not None:
        return min(float(measured), float(job.supply_v))
    if electrics.get_("smart_charging"):
        return min(float(job.assume_("lowest_voltage_of_smart_charging")), float(job.supply_v))
    return float(job.supply_v)


@fact("job")
def is_let_down(job: View) -> bool:
    """Whether the voltage is let down on the road."""
    return bool(job.electrics.get_("smart_charging") or job.electrics.get_("lowest_running_v") is not None)


@fact("job")
def stops_at_the_lights(job: View) -> bool:
    """Whether the engine stops at the lights and starts again by itself."""
    return bool(job.electrics.get_("stop_start"))


@fact("supply", unit="V", source="ISO 16750-2:2010, Table 1")
def restart_v(supply: View) -> float:
    """Lowest voltage while the engine starts again at the lights."""
    if not supply.job.stops_at_the_lights:
        raise NotDefined("its engine does not stop at the lights")
    measured = supply.job.electrics.get_("restart_v")
    return float(measured if measured is not None else supply.assume_("restart_dip"))


@fact("amplifier", unit="V")
def needs_v(amplifier: View) -> float:
    """Supply voltage below which it switches itself off."""
    given = amplifier.part.get_("cuts_out_below_v")
    return float(given if given is not None else amplifier.assume_("amplifier_gives_up_below"))


@fact("job", unit="V", name="needs_v")
def all_need_v(job: View) -> float:
    """Supply voltage below which the first of its amplifiers switches itself off."""
    if not job.amplifiers:
        raise Missing("an amplifier", job.place_, "the chain has none to feed")
    return job.engine_.decisive(max, *[lambda amplifier=amplifier: amplifier.needs_v for amplifier in job.amplifiers])


@fact("supply", unit="A", source="Kirchhoff")
def peaks_from_battery_a(supply: View) -> float:
    """Current that the battery adds on a peak with all amplifiers at rated power; 0 where the source gives it all."""
    return max(0.0, float(supply.own_draw_a + supply.job.full_current_a - supply.running_source_a))
