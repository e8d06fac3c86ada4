"""How hot an amplifier gets where it is mounted, on a hot day with loud music, and how long it takes that."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.power import EIGHTH, off_the_label
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

OHM = "thermal equivalent of Ohm's law, textbook"
MOUNTED = f"{OHM}; share of the mounting: common practice"
SINK = ("class", "idle_a", "sink_k_per_w", "cut_out_c")


@fact("amplifier", unit="W", source=f"conservation of energy; {EIGHTH}")
def dissipation_w(amplifier: View) -> float:
    """Heat it gives off with loud music: what it takes less what the drivers get."""
    return float(amplifier.taken_w - amplifier.job.programme_share * amplifier.rated_w)


@fact("amplifier", unit="°C")
def hottest_air_c(amplifier: View) -> float:
    """Hottest air where it sits: of the place where that is known, else of the cabin parked in the sun."""
    own = amplifier.location.spec.get_("hottest_c")
    if own is not None:
        return float(own)
    if amplifier.job.cabin.get_("hottest_c") is None:
        where = f"{amplifier.location}: hottest_c"
        raise Missing(where, amplifier.location.place_, "measure the air there, or in the cabin, in the sun")
    return float(amplifier.job.cabin.hottest_c)


@fact("amplifier", source="common practice")
def mounting(amplifier: View) -> str:
    """How well the place lets air past its case."""
    return str(amplifier.assume_("cooling_in_its_place")[amplifier.location.spec.air])


@fact("amplifier", unit="°C", source=MOUNTED)
def sink_still_c(amplifier: View) -> float:
    """Temperature its case settles at on a hot day with loud music, without a fan."""
    return settles_c(amplifier, str(amplifier.mounting), float(amplifier.hottest_air_c))


def settles_c(amplifier: View, mounting: str, air_c: float) -> float:
    """Return where its case settles without a fan, mounted in some way in air of some temperature."""
    off_the_label(amplifier, "class", "idle_a", "sink_k_per_w")
    mounted = physics.sinks.mounted_k_w(free_k_w=amplifier.part.sink_k_per_w, mounting=mounting)
    return float(physics.thermal.steady_c(heat_w=amplifier.dissipation_w, k_per_w=mounted, ambient_c=air_c))


@fact("amplifier", unit="°C", source=f"{OHM}; conservation of energy; what a fan does to a sink: common practice")
def sink_with_fan_c(amplifier: View) -> float:
    """Temperature its case settles at on a hot day with loud music, with a fan and a way out for the air."""
    off_the_label(amplifier, "class", "idle_a", "sink_k_per_w")
    if amplifier.location.spec.air == "closed":
        raise NotDefined("a fan in a closed place only stirs its air")
    flow, heat, intake = amplifier.fan_flow_m3_h / 3600, amplifier.dissipation_w, amplifier.hottest_air_c
    rise = physics.thermal.air_rise_k(heat_w=heat, airflow_m3_s=flow, intake_c=intake)
    blown = amplifier.part.sink_k_per_w * amplifier.assume_("thermal_resistance_with_a_fan")
    return float(physics.thermal.steady_c(heat_w=heat, k_per_w=blown, ambient_c=intake + rise))


@fact("amplifier")
def is_blown(amplifier: View) -> bool:
    """Whether a fan carries its heat away: one is planned, and the air has a way out."""
    return bool(amplifier.has_fan and amplifier.location.spec.air != "closed")


@fact("amplifier", unit="°C", source=OHM)
def sink_c(amplifier: View) -> float:
    """Temperature its case settles at on a hot day with loud music, as planned."""
    return float(amplifier.sink_with_fan_c if amplifier.is_blown else amplifier.sink_still_c)


@fact("amplifier", unit="°C", source=OHM)
def settles_at_c(amplifier: View) -> float:
    """That temperature, to be held against its cut-out; what its sheet lacks for either is named at once."""
    off_the_label(amplifier, *SINK)
    return float(amplifier.sink_c)


@fact("amplifier", unit="K")
def thermal_margin_k(amplifier: View) -> float:
    """How far that stays below the temperature it cuts out at; below 0 it cuts out."""
    off_the_label(amplifier, *SINK)
    return float(amplifier.part.cut_out_c - amplifier.sink_c)


@fact("amplifier", unit="min", source="first-order response, textbook")
def minutes_to_protection(amplifier: View) -> float:
    """Minutes of loud music until it cuts out, begun in a vehicle that stood in the sun."""
    off_the_label(amplifier, *SINK, "heat_j_per_k")
    heat, air = float(amplifier.dissipation_w), float(amplifier.hottest_air_c)
    if amplifier.thermal_margin_k >= 0 and air < amplifier.part.cut_out_c:
        raise NotDefined("it settles below the temperature it cuts out at")
    if heat <= 0:
        return 0.0
    seconds = physics.thermal.time_to_reach_s(
        limit_c=amplifier.part.cut_out_c,
        start_c=air,
        heat_w=heat,
        k_per_w=(amplifier.sink_c - air) / heat,
        heat_j_k=amplifier.part.heat_j_per_k,
        ambient_c=air,
    )
    return float(seconds) / 60 if math.isfinite(seconds) else 0.0


WARMING_MIN = tuple(range(0, 121, 5))
"""When the warming is worked out: two hours of driving."""


def _warming_c(amplifier: View, ends_at_c: float) -> tuple[float, ...]:
    off_the_label(amplifier, "heat_j_per_k")
    heat, air = float(amplifier.dissipation_w), float(amplifier.hottest_air_c)
    if heat <= 0 or ends_at_c <= air:
        return (air,) * len(WARMING_MIN)
    return tuple(
        float(
            physics.thermal.warming_c(
                time_s=60.0 * minute,
                start_c=air,
                heat_w=heat,
                k_per_w=(ends_at_c - air) / heat,
                heat_j_k=amplifier.part.heat_j_per_k,
                ambient_c=air,
            )
        )
        for minute in WARMING_MIN
    )


@fact("amplifier", unit="°C", source="first-order response, textbook", hidden=True)
def warming_still_c(amplifier: View) -> tuple[float, ...]:
    """Temperature of its case at each of WARMING_MIN, begun in a vehicle that stood in the sun, without a fan."""
    return _warming_c(amplifier, float(amplifier.sink_still_c))


@fact("amplifier", unit="°C", source="first-order response, textbook", hidden=True)
def warming_with_fan_c(amplifier: View) -> tuple[float, ...]:
    """Temperature of its case at each of WARMING_MIN, begun in a vehicle that stood in the sun, with a fan."""
    return _warming_c(amplifier, float(amplifier.sink_with_fan_c))


@fact("amplifier", unit="°C", source="IEC 62368-1 counts temperatures as measured at 25 °C around")
def touch_c(amplifier: View) -> float:
    """Temperature of its case with loud music where it is 25 °C around, which is where touch limits hold."""
    return float(25 + amplifier.sink_c - amplifier.hottest_air_c)


@fact("amplifier", unit="°C", source="IEC 62368-1, Table 38, metal touched briefly (from memory)")
def touch_limit_c(amplifier: View) -> float:
    """What metal may have where people touch it briefly."""
    where = amplifier.assume_("amplifier_is_touched")
    return float(physics.touch.product_limit_c(material="metal", contact=where))


@fact("amplifier")
def is_in_reach(amplifier: View) -> bool:
    """Whether people can touch it: it has a place, and not behind trim."""
    return bool(amplifier.has_("location") and not amplifier.location.spec.hidden)
