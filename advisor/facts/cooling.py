"""What would keep an amplifier cooler: a fan and how it is heard, a vent, or another place of the vehicle."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor import physics
from advisor.facts.heat import MOUNTED, settles_c
from advisor.facts.power import off_the_label
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.storage import extras_of
from advisor.facts.views import SpecView, View
from advisor.reading.parts import Fan

VENTED = {"closed": "vented", "vented": "open"}
"""What air a place has once it is vented."""

WORTH_K = 1.0
"""Less is not worth the telling."""


@fact("amplifier", unit="m³/h", source="what grilles and trim leave of a fan's flow: common practice")
def fan_flow_m3_h(amplifier: View) -> float:
    """Air its fan moves in place: a share of what the sheet of the fan says; of fans listed the weakest."""
    flows = [part.get_("flow_m3_h") for part, _ in extras_of(amplifier.job, Fan)]
    known = [float(flow) for flow in flows if flow is not None]
    if not known:
        return float(amplifier.assume_("fan_flow"))
    return min(known) * float(amplifier.assume_("fan_flow_share"))


@fact("amplifier")
def fan_noise_is_known(amplifier: View) -> bool:
    """Whether it has a fan, and the sheets of the fans listed say how loud they are."""
    return bool(amplifier.has_fan and _noises(amplifier))


def _noises(amplifier: View) -> list[float]:
    noises = [part.get_("noise_db") for part, _ in extras_of(amplifier.job, Fan)]
    return [float(noise) for noise in noises if noise is not None]


@fact("amplifier", unit="dB", source="spherical spreading; trim between fan and ear takes more")
def fan_noise_db(amplifier: View) -> float:
    """Its fan at the ear of the first listed seat, of fans listed the loudest; at a metre where nobody taped it."""
    noises = _noises(amplifier)
    if not noises:
        raise Missing(f"{amplifier}: noise_db of its fan", amplifier.place_, "list the fan under extras, with noise_db")
    seats = amplifier.job.spec.customer.seats
    seat = seats[0] if seats and isinstance(seats[0], str) else ""
    taped = amplifier.location.spec.distance_m if amplifier.has_("location") else {}
    return max(noises) - 20 * math.log10(float(taped.get(seat, 1.0)))


@fact("amplifier", unit="°C", source=MOUNTED)
def sink_with_vent_c(amplifier: View) -> float:
    """Temperature its case settles at on a hot day with loud music, once its place has a way for air in and out."""
    air = amplifier.location.spec.air
    if air not in VENTED:
        raise NotDefined("its place is open to the air already")
    mounting = amplifier.assume_("cooling_in_its_place")[VENTED[air]]
    return settles_c(amplifier, mounting, float(amplifier.hottest_air_c))


def _taken(amplifier: View) -> set[str]:
    job = amplifier.job
    devices = (*job.amplifiers, *job.processors, *job.interfaces, *job.drivers)
    return {str(one.location) for one in devices if one.has_("location")}


def _free_places(amplifier: View) -> Iterator[tuple[str, SpecView]]:
    """Yield surveyed places that hold nothing yet, have room for it, and cost the customer nothing that is kept."""
    taken, keep = _taken(amplifier), amplifier.job.customer.keep
    outer = sorted(amplifier.part.outer_mm)
    for name, place in amplifier.job.vehicle.locations.items():
        space, air = place.get_("space_mm"), place.get_("air")
        if space is None or air is None or name in taken or set(place.disturbs) & set(keep):
            continue
        if all(room >= side for room, side in zip(sorted(space), outer, strict=True)):
            yield name, place


def _best_place(amplifier: View) -> tuple[float, str]:
    off_the_label(amplifier, "class", "idle_a", "sink_k_per_w", "outer_mm")
    found = []
    for name, place in _free_places(amplifier):
        hottest = place.get_("hottest_c")
        air_c = float(hottest if hottest is not None else amplifier.job.cabin.hottest_c)
        found.append((settles_c(amplifier, amplifier.assume_("cooling_in_its_place")[place.air], air_c), name))
    if not found:
        raise NotDefined("no other place that was surveyed has room for it")
    return min(found)


@fact("amplifier", unit="°C", source=MOUNTED)
def sink_in_best_place_c(amplifier: View) -> float:
    """Temperature its case would settle at in the coolest other place that was surveyed and has room, without a fan."""
    return _best_place(amplifier)[0]


@fact("amplifier", source=MOUNTED)
def best_place(amplifier: View) -> str:
    """The coolest other place that was surveyed and has room for it."""
    return _best_place(amplifier)[1]


def _helps(amplifier: View, name: str) -> bool:
    if not amplifier.has_("location"):
        return False
    try:
        return float(getattr(amplifier, name)) < float(amplifier.sink_c) - WORTH_K
    except (Missing, NotDefined):
        return False


@fact("amplifier")
def fan_would_help(amplifier: View) -> bool:
    """Whether a fan, which it has not yet, would bring it down."""
    return not amplifier.is_blown and _helps(amplifier, "sink_with_fan_c")


@fact("amplifier")
def vent_would_help(amplifier: View) -> bool:
    """Whether a way for air in and out of its place would bring it down."""
    return not amplifier.is_blown and _helps(amplifier, "sink_with_vent_c")


@fact("amplifier")
def place_would_help(amplifier: View) -> bool:
    """Whether another place would bring it down."""
    return _helps(amplifier, "sink_in_best_place_c")


@fact("amplifier")
def something_would_help(amplifier: View) -> bool:
    """Whether any of these would bring it down."""
    return bool(amplifier.fan_would_help or amplifier.vent_would_help or amplifier.place_would_help)


@fact("amplifier", unit="m³/h", source="conservation of energy")
def air_wanted_m3_h(amplifier: View) -> float:
    """Air that has to pass it so that what leaves is no more than ten kelvin warmer than what comes in."""
    heat, air = amplifier.dissipation_w, amplifier.hottest_air_c
    rise = amplifier.assume_("warming_of_air_allowed")
    return float(3600 * physics.thermal.airflow_m3_s(heat_w=heat, rise_k=rise, intake_c=air))
