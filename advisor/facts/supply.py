"""Whether the vehicle can feed the system, and which cable and fuse do."""

from __future__ import annotations

from collections.abc import Iterable

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View
from advisor.facts.wiring import AMPACITY, CLASS_5, carries_a, table_or_measured

FUSES = "ISO 8820-3 (blade fuses, from memory), common practice (bolt-down fuses)"
PEUKERT = "W. Peukert, 1897, in its 20 h form (from memory); below the 20 h current by charge"

CONSTANT_POWER = "Ohm with a load of constant power, the upper root; most power through a resistance"


@fact("job")
def has_converter(job: View) -> bool:
    """Whether a DC-DC converter feeds the 12 V side, as in an electric vehicle."""
    return job.electrics.get_("converter_a") is not None


@fact("supply", unit="A")
def running_source_a(supply: View) -> float:
    """Current that alternator or converter gives on the road."""
    electrics = supply.job.electrics
    if supply.job.has_converter:
        return float(electrics.converter_a)
    if electrics.get_("alternator_a") is None:
        way_out = "read the alternator's label, or that of an electric vehicle's converter"
        raise Missing("electrics: alternator_a or converter_a", electrics.place_, way_out)
    return float(electrics.alternator_a)


@fact("supply", unit="A", source="ISO 8854 rates alternators by the currents at 1500 and 6000 1/min")
def idle_source_a(supply: View) -> float:
    """Current that alternator or converter gives with the engine at idle."""
    if supply.job.has_converter:
        return float(supply.running_source_a)
    given = supply.job.electrics.get_("alternator_idle_a")
    if given is not None:
        return float(given)
    return float(supply.running_source_a * supply.assume_("alternator_idle_share"))


@fact("supply", unit="A")
def own_draw_a(supply: View) -> float:
    """Current the vehicle itself takes, with lights and blower on."""
    given = supply.job.electrics.get_("own_draw_a")
    return float(given if given is not None else supply.assume_("vehicle_draw"))


@fact("supply", unit="A", source="Kirchhoff")
def idle_reserve_a(supply: View) -> float:
    """Current left at idle when the vehicle and loud music have had theirs; below 0 the battery pays."""
    return float(
        physics.supply.alternator_reserve_a(
            output_a=supply.idle_source_a, vehicle_a=supply.own_draw_a, audio_a=supply.job.programme_current_a
        )
    )


@fact("supply", unit="A")
def standby_a(supply: View) -> float:
    """Current that flows while the vehicle is parked and asleep."""
    given = supply.job.electrics.get_("standby_a")
    return float(given if given is not None else supply.assume_("standby_drain"))


def _battery_ah(supply: View) -> float:
    given = supply.job.electrics.get_("battery_ah")
    if given is None:
        raise Missing("electrics: battery_ah", supply.job.electrics.place_, "read it off the battery's label")
    return float(given)


@fact("supply", unit="days", source=PEUKERT)
def parked_days(supply: View) -> float:
    """Days it can stand parked until it may not start."""
    return float(
        physics.battery.parked_days(
            capacity_ah=_battery_ah(supply),
            drain_a=supply.standby_a,
            usable_share=supply.assume_("usable_battery_share"),
            exponent=supply.assume_("peukert_exponent"),
        )
    )


@fact("supply", unit="A", source=f"{FUSES}; fuse makers' notes: no more than 75 % of the rating for good")
def main_fuse_a(supply: View) -> float:
    """The standard fuse for the load: it carries all amplifiers at rated power without ageing."""
    load = float(supply.job.full_current_a)
    if not load:
        raise NotDefined("no amplifier of the job drives a speaker")
    if load > physics.fuses.continuous_limit_a(rating_a=physics.fuses.STANDARD_RATINGS_A[-1]):
        raise NotDefined("no single standard fuse carries the load; feed the amplifiers over two cables")
    return float(physics.fuses.rating_for_load_a(load_a=load))


@fact("supply", unit="A", source=f"{FUSES}; {AMPACITY}")
def largest_fuse_a(supply: View) -> float:
    """The largest standard fuse that still protects the supply cable."""
    if supply.ampacity_a < physics.fuses.STANDARD_RATINGS_A[0]:
        raise NotDefined("no fuse protects a cable where the air is as hot as its insulation bears")
    return float(physics.fuses.largest_rating_under_a(ampacity_a=supply.ampacity_a))


@fact("supply")
def no_fuse_fits(supply: View) -> bool:
    """Whether every standard fuse that carries the amplifiers is larger than the supply cable bears."""
    try:
        return bool(supply.main_fuse_a > supply.largest_fuse_a)
    except (Missing, NotDefined):
        return False


@fact("supply")
def fuse_is_planned(supply: View) -> bool:
    """Whether the job says which main fuse is fitted."""
    return supply.spec.get_("fuse_a") is not None


@fact("supply", unit="A", source=FUSES)
def sold_fuse_a(supply: View) -> float:
    """The standard fuse nearest above the one asked for."""
    asked = float(supply.spec.fuse_a)
    if asked > physics.fuses.STANDARD_RATINGS_A[-1]:
        raise NotDefined("above the largest standard rating")
    return float(physics.fuses.next_rating_a(current_a=asked))


@fact("supply", unit="mm²", source=f"{CLASS_5}; {AMPACITY}")
def smallest_cable_mm2(supply: View) -> float:
    """The thinnest standard cable that loses no more than the rule for it ships with, warm, and bears the load's fuse.

    A shop's own limit in the rule does not change this number; the rule of thumb it rests on says which one it took.
    """
    allowed_v = supply.job.supply_v * supply.assume_("supply_drop_allowed") / 100
    ohms, current = warm_ohms(supply, SECTIONS_MM2), supply.job.full_current_a
    insulation, around = supply.insulation_c, table_or_measured(supply)
    for area, ohm in zip(SECTIONS_MM2, ohms, strict=True):
        drop = physics.conductors.drop_v(loop_ohm=ohm, current_a=current)
        carries = carries_a("supply", supply.place_, area, insulation, around)
        if drop <= allowed_v and carries >= supply.main_fuse_a:
            return float(area)
    raise NotDefined("no cable up to 95 mm² is enough; feed the amplifiers over two cables, or bring them nearer")


SECTIONS_MM2 = (1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0)
"""Standard sections that are looked at; thinner ones feed no amplifier."""


def warm_ohm(supply: View, area_mm2: float) -> float:
    """Return what the way from the battery and back would have with a cable of another section, joints included."""
    return warm_ohms(supply, (area_mm2,))[0]


def warm_ohms(supply: View, areas_mm2: Iterable[float]) -> list[float]:
    """Return the same for several sections."""
    warm = physics.conductors.resistance_factor(temperature_c=supply.assume_("warm_cable"))
    metres, joints_ohm = supply.copper_m, supply.joints_mohm / 1000
    per_metre = physics.conductors.flexible_resistance_ohm_m
    return [float(per_metre(area_mm2=area) * metres * warm + joints_ohm) for area in areas_mm2]


@fact("supply", unit="mΩ", source="resistances in a row")
def source_mohm(supply: View) -> float:
    """Resistance between the battery's own voltage and the amplifiers."""
    return float(supply.warm_mohm + supply.assume_("battery_resistance"))


@fact("supply", unit="V", source=CONSTANT_POWER)
def peak_v(supply: View) -> float:
    """Voltage at the amplifiers on a bass peak at rated power that the battery has to carry."""
    return peak_behind_v(supply, supply.source_mohm / 1000)


def peak_behind_v(supply: View, source_ohm: float) -> float:
    """Return the voltage on such a peak behind some resistance; half the battery's where it collapses."""
    source_v = float(supply.assume_("battery_voltage_under_load"))
    load_w = supply.job.full_current_a * supply.job.supply_v
    if load_w >= physics.supply.greatest_power_w(source_v=source_v, source_ohm=source_ohm):
        return source_v / 2  # more cannot be taken
    return float(physics.supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=load_w))


@fact("supply", unit="V")
def sag_v(supply: View) -> float:
    """How far the voltage falls on such a peak, from that of the battery."""
    return float(supply.assume_("battery_voltage_under_load") - supply.peak_v)


@fact("supply", unit="A", source="power over voltage")
def peak_a(supply: View) -> float:
    """Current on such a peak: what sags is made up for with more current."""
    return float(supply.job.full_current_a * supply.job.supply_v / supply.peak_v)


@fact("supply", unit="W", source="Joule")
def lost_on_the_way_w(supply: View) -> float:
    """Watts that stay in cable and joints on such a peak."""
    return float(supply.peak_a**2 * supply.warm_mohm / 1000)


@fact("supply", unit="h", source=PEUKERT)
def plays_parked_h(supply: View) -> float:
    """Hours of loud music with the engine off until it may not start."""
    days = physics.battery.parked_days(
        capacity_ah=_battery_ah(supply),
        drain_a=supply.job.programme_current_a,
        usable_share=supply.assume_("usable_battery_share"),
        exponent=supply.assume_("peukert_exponent"),
    )
    return float(24 * days)
