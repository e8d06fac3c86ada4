"""Cable, fuse and current."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View

CLASS_5 = "IEC 60228, class 5: largest resistance at 20 °C"
ASTM_B258 = "ASTM B258: d = 0.127 mm · 92^((36-n)/39), copper 17.241 Ω·mm²/km at 20 °C"
AMPACITY = "33 CFR 183.425 Table 5 / ABYC E-11, marine law taken as an analogy"


def _ohm_per_m(run: View) -> float:
    gauge = run.spec.get_("cable_awg")
    area = run.spec.get_("cable_mm2")
    if gauge is None and area is None and run.has_("part"):
        gauge, area = run.part.get_("awg"), run.part.get_("mm2")
    if gauge is not None:
        return float(physics.conductors.awg_resistance_ohm_m(gauge=_known_gauge(run, gauge)))
    if area is None:
        raise Missing(
            f"{run}: cable_mm2", run.place_, "say the section: cable_mm2, cable_awg, or a cable of the library"
        )
    if not 0.5 <= area <= 150:
        raise Missing(f"{run}: the resistance of {area:g} mm²", run.place_, "the standard goes from 0.5 to 150 mm²")
    return float(physics.conductors.flexible_resistance_ohm_m(area_mm2=area))


def _known_gauge(run: View, gauge: int) -> int:
    if not -3 <= gauge <= 40:
        raise Missing(f"{run}: a cable of gauge {gauge}", run.place_, "gauges go from -3, which is 4/0, to 40")
    return gauge


def _loop_mohm(run: View) -> float:
    return float(1000 * physics.conductors.loop_ohm(ohm_per_m=_ohm_per_m(run), run_m=run.spec.run_m))


@fact("supply", unit="mΩ", source=f"{CLASS_5}; by gauge: {ASTM_B258}")
def loop_mohm(supply: View) -> float:
    """Resistance of the supply cable there and back, at 20 °C."""
    return _loop_mohm(supply)


@fact("supply", unit="V", source="Ohm; copper 234.5 °C rule of IEC 60228")
def drop_v(supply: View) -> float:
    """Voltage lost in the supply cable, warm, with every amplifier at its rated power."""
    warm = physics.conductors.resistance_factor(temperature_c=supply.assume_("warm_cable"))
    current = supply.job.full_current_a
    return float(physics.conductors.drop_v(loop_ohm=supply.loop_mohm / 1000 * warm, current_a=current))


@fact("supply", unit="%")
def drop_percent(supply: View) -> float:
    """That loss in per cent of the supply voltage."""
    return float(100 * supply.drop_v / supply.job.supply_v)


def _section_mm2(run: View) -> float:
    gauge, area = run.spec.get_("cable_awg"), run.spec.get_("cable_mm2")
    if gauge is None and area is None and run.has_("part"):
        gauge, area = run.part.get_("awg"), run.part.get_("mm2")
    if gauge is not None:
        return float(physics.conductors.awg_area_mm2(gauge=_known_gauge(run, gauge)))
    if area is None:
        raise Missing(
            f"{run}: cable_mm2", run.place_, "say the section: cable_mm2, cable_awg, or a cable of the library"
        )
    return float(area)


@fact("supply", unit="mm²", source=ASTM_B258)
def section_mm2(supply: View) -> float:
    """Copper section of the supply cable."""
    return _section_mm2(supply)


@fact("supply", unit="A")
def planned_fuse_a(supply: View) -> float:
    """The fuse that the job plans for the supply cable."""
    return float(supply.spec.fuse_a)


@fact("supply", unit="°C")
def insulation_c(supply: View) -> float:
    """Temperature the insulation of the supply cable is rated for, as far as the table of currents goes."""
    given = supply.part.get_("insulation_c") if supply.has_("part") else None
    rated = float(given if given is not None else supply.assume_("cable_insulation"))
    if rated < 60:
        raise Missing(
            "supply: a cable rated for 60 °C or more", supply.place_, "its insulation is not one for vehicles"
        )
    return min(rated, 125.0)


@fact("supply", unit="A", source=AMPACITY)
def ampacity_a(supply: View) -> float:
    """Current the supply cable carries for good, where it is warmest."""
    area, insulation = supply.section_mm2, supply.insulation_c
    if not 0.82 <= area <= 108:
        raise Missing(
            f"supply: what {area:g} mm² carries for good", supply.place_, "the table goes from 0.82 to 108 mm²"
        )
    return float(physics.conductors.ampacity_a(area_mm2=area, insulation_c=insulation, ambient_c="engine space"))


@fact("cable")
def comes_from(cable: View) -> str:
    """Where a speaker cable begins: at a network, or at a channel."""
    return str(cable.driver.network if cable.driver.has_("network") else cable.driver.channel)


@fact("cable", unit="mm²", source=ASTM_B258, name="section_mm2")
def cable_section_mm2(cable: View) -> float:
    """Copper section of a speaker cable."""
    return _section_mm2(cable)


@fact("cable", unit="m")
def length_m(cable: View) -> float:
    """Length of a speaker cable from end to end."""
    return float(cable.spec.run_m)


@fact("cable", unit="mΩ", source=f"{CLASS_5}; by gauge: {ASTM_B258}", name="loop_mohm")
def cable_loop_mohm(cable: View) -> float:
    """Resistance of a speaker cable there and back, at 20 °C."""
    return _loop_mohm(cable)


@fact("cable", unit="V", source="Ohm", name="drop_v")
def cable_drop_v(cable: View) -> float:
    """Voltage lost in a speaker cable at the channel's rated power."""
    current = math.sqrt(cable.driver.channel.watts / cable.driver.channel.load_ohm)
    return float(physics.conductors.drop_v(loop_ohm=cable.loop_mohm / 1000, current_a=current))


@fact("cable", unit="dB", source="voltage divider of cable and rated load")
def loss_db(cable: View) -> float:
    """Level lost in a speaker cable."""
    load = float(cable.driver.wired_ohm)
    return 20 * math.log10((load + cable.loop_mohm / 1000) / load)


@fact("job", unit="V")
def supply_v(job: View) -> float:
    """Supply voltage with the engine (or the converter) running."""
    given = job.electrics.get_("running_v")
    return float(given if given is not None else job.assume_("running_voltage"))


@fact("amplifier")
def working_efficiency(amplifier: View) -> float:
    """Efficiency at rated power: as given, or by class."""
    given = amplifier.part.get_("efficiency")
    if given is not None:
        return float(given)
    return float(amplifier.assume_("efficiency_by_class")[amplifier.part.class_])
