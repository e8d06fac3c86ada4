"""What a capacitor, a second battery or the next thicker cable buys on a bass peak, each worked out the same way."""

from __future__ import annotations

from collections.abc import Iterator

from advisor import physics
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.supply import CONSTANT_POWER, SECTIONS_MM2, peak_behind_v, warm_ohm
from advisor.facts.views import SpecView, View
from advisor.reading.parts import Battery, Capacitor, Part

RC = "first-order response of resistances and a capacitor, textbook"


def extras_of(job: View, kind: type[Part]) -> Iterator[tuple[SpecView, float]]:
    """Yield what the job lists of a kind of part beside the chain, and how many of it."""
    for extra in job.extras:
        if isinstance(extra.part.spec_, kind):
            yield extra.part, float(extra.count)


@fact("supply")
def has_capacitor(supply: View) -> bool:
    """Whether a capacitor is planned, or listed among the parts."""
    return supply.spec.get_("capacitor_f") is not None or any(True for _ in extras_of(supply.job, Capacitor))


@fact("supply")
def has_second_battery(supply: View) -> bool:
    """Whether a second battery is planned, or listed among the parts."""
    return supply.spec.get_("second_battery_ah") is not None or any(True for _ in extras_of(supply.job, Battery))


@fact("supply", unit="mm²", source="IEC 60228, standard sections")
def next_thicker_mm2(supply: View) -> float:
    """The next standard section above that of the supply cable."""
    thicker = [area for area in SECTIONS_MM2 if area > supply.section_mm2]
    if not thicker:
        raise NotDefined("no thicker cable is looked at")
    return thicker[0]


@fact("supply", unit="V", source=CONSTANT_POWER)
def thicker_cable_buys_v(supply: View) -> float:
    """How much higher the next thicker cable holds the voltage on a bass peak, for as long as it lasts."""
    other_ohm = warm_ohm(supply, float(supply.next_thicker_mm2)) + supply.assume_("battery_resistance") / 1000
    return peak_behind_v(supply, other_ohm) - float(supply.peak_v)


@fact("supply", unit="F")
def capacitor_f(supply: View) -> float:
    """Capacity planned, or of the capacitors listed together; of a usual one where there is none."""
    planned = supply.spec.get_("capacitor_f")
    if planned is not None:
        return float(planned)
    listed = sum(part.capacity_f * count for part, count in extras_of(supply.job, Capacitor))
    return float(listed or supply.assume_("usual_capacitor"))


@fact("supply", unit="mΩ")
def capacitor_mohm(supply: View) -> float:
    """What the capacitors lose inside, all of them together."""
    return _together_mohm(supply, Capacitor, "capacitor_resistance")


def _together_mohm(supply: View, kind: type[Part], rule_of_thumb: str) -> float:
    passes = 0.0
    for part, count in extras_of(supply.job, kind):
        given = part.get_("resistance_mohm")
        passes += count / float(given if given is not None else supply.assume_(rule_of_thumb))
    return 1 / passes if passes else float(supply.assume_(rule_of_thumb))


@fact("supply", unit="V", source=RC)
def capacitor_buys_v(supply: View) -> float:
    """How much higher it holds the voltage at the end of a bass note, where it is lowest."""
    without = supply.assume_("battery_voltage_under_load") - supply.source_mohm / 1000 * supply.peak_a
    held = physics.storage.with_capacitor_v(
        time_s=supply.assume_("bass_note"),
        source_v=supply.assume_("battery_voltage_under_load"),
        **_circuit(supply),
    )
    return float(held - without)


@fact("supply", unit="V", source=f"{RC}; mean over the note")
def capacitor_lifts_v(supply: View) -> float:
    """How much higher it holds the voltage on average over a bass note: nearly all of it at the beginning."""
    lifted = physics.storage.capacitor_lifts_v(note_s=supply.assume_("bass_note"), **_circuit(supply))
    return float(lifted)


def _circuit(supply: View) -> dict[str, float]:
    """Return source, load and capacitor; the load draws what it settles at, so that it errs against no side by much."""
    return {
        "source_ohm": float(supply.source_mohm) / 1000,
        "current_a": float(supply.peak_a),
        "capacity_f": float(supply.capacitor_f),
        "capacitor_ohm": float(supply.capacitor_mohm) / 1000,
    }


@fact("supply", unit="mΩ")
def second_battery_mohm(supply: View) -> float:
    """What second batteries lose inside, all of those listed together; a usual one where none is."""
    return _together_mohm(supply, Battery, "second_battery_resistance")


@fact("supply", unit="V", source=f"two sources in parallel, Kirchhoff; {CONSTANT_POWER}")
def second_battery_buys_v(supply: View) -> float:
    """How much higher a second battery beside the amplifiers holds the voltage on a bass peak."""
    both_ohm = physics.storage.parallel_ohm(
        first_ohm=supply.source_mohm / 1000, second_ohm=supply.second_battery_mohm / 1000
    )
    return peak_behind_v(supply, float(both_ohm)) - float(supply.peak_v)


@fact("supply")
def thicker_cable_is_there(supply: View) -> bool:
    """Whether a thicker standard cable is there to be taken."""
    return bool(supply.section_mm2 < SECTIONS_MM2[-1])
