"""Cable, fuse and current."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from advisor import physics
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import SpecView, View
from advisor.reading.origin import Spot

CLASS_5 = "IEC 60228, class 5: largest resistance at 20 °C"
ASTM_B258 = "ASTM B258: d = 0.127 mm · 92^((36-n)/39), copper 17.241 Ω·mm²/km at 20 °C"
AMPACITY = "33 CFR 183.425 Table 5 / ABYC E-11, marine law taken as an analogy"


@dataclass(frozen=True)
class Conductor:
    """The copper of a run: a gauge, or a section in mm² of a standard fine-stranded cable."""

    gauge: int | None
    area_mm2: float
    ohm_per_m: float


def conductor(name: str, spec: SpecView, part: SpecView | None = None) -> Conductor:
    """Return the copper of a run: by gauge or section as the job says, else as the cable of the library has it.

    Raises Missing where neither is said, or where it lies beyond the tables.
    """
    gauge, area = spec.get_("cable_awg"), spec.get_("cable_mm2")
    if gauge is None and area is None and part is not None:
        gauge, area = part.get_("awg"), part.get_("mm2")
    if gauge is not None:
        if not -3 <= gauge <= 40:
            raise Missing(f"{name}: a cable of gauge {gauge}", spec.place_, "gauges go from -3, which is 4/0, to 40")
        ohm = physics.conductors.awg_resistance_ohm_m(gauge=gauge)
        return Conductor(gauge, float(physics.conductors.awg_area_mm2(gauge=gauge)), float(ohm))
    if area is None:
        raise Missing(f"{name}: cable_mm2", spec.place_, "say the section: cable_mm2, cable_awg, or a cable's code")
    if not 0.5 <= area <= 150:
        raise Missing(f"{name}: the resistance of {area:g} mm²", spec.place_, "the standard goes from 0.5 to 150 mm²")
    return Conductor(None, float(area), float(physics.conductors.flexible_resistance_ohm_m(area_mm2=area)))


def _conductor(run: View) -> Conductor:
    return conductor(str(run), run.spec, run.part if run.has_("part") else None)


def carries_a(
    name: str, spot: Spot, area_mm2: float, insulation_c: float, around: float | Literal["engine space"]
) -> float:
    """Return the current a section carries for good.

    Raises Missing where it lies beyond the tables.
    """
    if not 0.82 <= area_mm2 <= 108:
        raise Missing(f"{name}: what {area_mm2:g} mm² carries for good", spot, "the table goes from 0.82 to 108 mm²")
    if around != "engine space" and around >= insulation_c:
        return 0.0  # its insulation is cooked before any current flows
    return float(physics.conductors.ampacity_a(area_mm2=area_mm2, insulation_c=insulation_c, ambient_c=around))


@fact("supply")
def comes_back_by(supply: View) -> str:
    """How current gets back to the battery: by a second cable, or by the body beside the amplifiers."""
    return str(supply.spec.get_("ground") or "cable")


@fact("supply", unit="m")
def copper_m(supply: View) -> float:
    """Length of cable the current goes through, both legs together."""
    if supply.comes_back_by == "cable":
        return float(2 * supply.spec.run_m)
    lead = supply.spec.get_("ground_m")
    return float(supply.spec.run_m + (lead if lead is not None else supply.assume_("ground_lead")))


@fact("supply", unit="mΩ", source=f"{CLASS_5}; by gauge: {ASTM_B258}")
def loop_mohm(supply: View) -> float:
    """Resistance of the supply cable, both legs, at 20 °C."""
    return 1000 * _conductor(supply).ohm_per_m * float(supply.copper_m)


@fact("supply", unit="mΩ", source="resistances in a row; those of a joint and of the body: common practice")
def joints_mohm(supply: View) -> float:
    """Resistance of lugs, clamps, fuse and terminals in both legs, and of the body where that is the way back."""
    count = supply.spec.get_("joints")
    joints = (count if count is not None else supply.assume_("supply_joints")) * supply.assume_("joint_resistance")
    return float(joints + (supply.assume_("body_resistance") if supply.comes_back_by == "body" else 0.0))


@fact("supply", unit="mΩ", source="copper 234.5 °C rule of IEC 60228")
def warm_mohm(supply: View) -> float:
    """Resistance from battery to amplifiers and back, copper warm, joints included."""
    warm = physics.conductors.resistance_factor(temperature_c=supply.assume_("warm_cable"))
    return float(supply.loop_mohm * warm + supply.joints_mohm)


@fact("supply", unit="V", source="Ohm; copper 234.5 °C rule of IEC 60228")
def drop_v(supply: View) -> float:
    """Voltage lost between battery and amplifiers, cable warm, with every amplifier at its rated power."""
    current = supply.job.full_current_a
    return float(physics.conductors.drop_v(loop_ohm=supply.warm_mohm / 1000, current_a=current))


@fact("supply", unit="%")
def drop_percent(supply: View) -> float:
    """That loss in per cent of the supply voltage."""
    return float(100 * supply.drop_v / supply.job.supply_v)


@fact("supply", unit="mm²", source=ASTM_B258)
def section_mm2(supply: View) -> float:
    """Copper section of the supply cable."""
    return _conductor(supply).area_mm2


@fact("supply", unit="A")
def planned_fuse_a(supply: View) -> float:
    """The fuse that the job plans for the supply cable."""
    return float(supply.spec.fuse_a)


@fact("supply", unit="°C")
def insulation_c(supply: View) -> float:
    """Temperature the insulation of the supply cable is rated for, as far as the table of currents goes."""
    given = supply.part.get_("insulation_c") if supply.has_("part") else None
    return insulated_c(
        "supply", supply.place_, float(given if given is not None else supply.assume_("cable_insulation"))
    )


def insulated_c(name: str, spot: Spot, rated_c: float) -> float:
    """Return what insulation is rated for as far as the table goes.

    Raises Missing below what belongs in a vehicle.
    """
    if rated_c < 60:
        raise Missing(f"{name}: a cable rated for 60 °C or more", spot, "its insulation is not one for vehicles")
    return min(rated_c, 125.0)


@fact("supply", unit="°C", source="33 CFR 183.425 takes 50 °C for an engine space")
def around_c(supply: View) -> float:
    """Hottest air along the supply cable."""
    given = supply.job.electrics.get_("engine_space_c")
    return float(given if given is not None else supply.assume_("air_in_the_engine_space"))


@fact("supply", unit="A", source=AMPACITY)
def ampacity_a(supply: View) -> float:
    """Current the supply cable carries for good, where it is warmest."""
    return carries_a("supply", supply.place_, supply.section_mm2, supply.insulation_c, table_or_measured(supply))


def table_or_measured(supply: View) -> float | Literal["engine space"]:
    """Return the hottest air along the cable as the table of currents wants it: its own row where nobody measured."""
    around = float(supply.around_c)
    return "engine space" if supply.job.electrics.get_("engine_space_c") is None else around


@fact("cable")
def comes_from(cable: View) -> str:
    """Where a speaker cable begins: at a network, or at a channel."""
    return str(cable.driver.network if cable.driver.has_("network") else cable.driver.channel)


@fact("cable", unit="mm²", source=ASTM_B258, name="section_mm2")
def cable_section_mm2(cable: View) -> float:
    """Copper section of a speaker cable."""
    return _conductor(cable).area_mm2


@fact("cable", unit="m")
def length_m(cable: View) -> float:
    """Length of a speaker cable from end to end."""
    return float(cable.spec.run_m)


@fact("cable", unit="mΩ", source=f"{CLASS_5}; by gauge: {ASTM_B258}", name="loop_mohm")
def cable_loop_mohm(cable: View) -> float:
    """Resistance of a speaker cable there and back, at 20 °C."""
    loop = physics.conductors.loop_ohm(ohm_per_m=_conductor(cable).ohm_per_m, run_m=cable.spec.run_m)
    return float(1000 * loop)


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
