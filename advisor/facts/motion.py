"""What a driver's coil and cone do under voltage: its impedance, as mounted and as wired."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from advisor import physics
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL = "R. H. Small, Direct-Radiator Loudspeaker System Analysis, J. Audio Eng. Soc. 20(5), 1972"
LITRE = 1e-3


@fact("driver")
def mechanical_q(driver: View) -> float:
    """Mechanical Q of the driver: as given, or from its total and electrical Q."""
    given = driver.part.get_("qms")
    if given is not None:
        return float(given)
    # total and electrical Q are to each other as total and mechanical Q are
    return float(physics.thiele_small.electrical_q(total_q=driver.part.qts, mechanical_q=driver.part.qes))


@fact("driver", hidden=True, source="series and parallel connection")
def wiring_factor(driver: View) -> float:
    """How many times the impedance of one coil the drivers of one side have as wired."""
    if driver.part.coils == 1 and driver.way.count == 1:
        return 1.0
    return float(driver.wired_ohm / driver.part.impedance_ohm)


@fact("driver", unit="Ω", source=f"Zmax = Re (1 + Qms/Qes); {SMALL}")
def motional_peak_ohm(driver: View) -> float:
    """Highest impedance of the driver as wired, at its resonance."""
    peak = physics.motor.motional_peak_ohm(
        coil_ohm=driver.part.re_ohm, mechanical_q=driver.mechanical_q, electrical_q=driver.electrical_q
    )
    return float(peak * driver.wiring_factor)


@fact("driver", hidden=True, source=SMALL)
def model(driver: View) -> Any:
    """The driver as numbers for the equations of motion."""
    part = driver.part
    return physics.driver.Driver(
        resonance_hz=float(part.fs_hz),
        electrical_q=float(driver.electrical_q),
        mechanical_q=float(driver.mechanical_q),
        compliance_volume_m3=part.vas_l * LITRE,
        cone_area_m2=part.sd_cm2 * 1e-4,
        coil_ohm=float(part.re_ohm),
        coil_h=(part.get_("le_mh") or 0.0) * 1e-3,
    )


@fact("driver", hidden=True, source=SMALL)
def impedance(driver: View) -> Callable[[Any], Any]:
    """Impedance of the mounted drivers of one side as wired, against frequency."""
    part, factor = driver.part, driver.wiring_factor
    if driver.mounting == "vented box":
        box = {
            "driver": driver.model,
            "box_m3": float(driver.box_seems_l) * LITRE,
            "tuned_hz": float(driver.tuning_hz),
            "leakage_q": float(driver.assume_("box_leakage_q")),
        }
        return lambda hz: factor * physics.driver.vented(hz, **box).impedance_ohm
    # a box raises both Q as it raises the resonance
    rise = float(driver.box_resonance_hz / part.fs_hz)
    coil = {
        "coil_ohm": float(part.re_ohm),
        "coil_h": (part.get_("le_mh") or 0.0) * 1e-3,
        "resonance_hz": float(driver.box_resonance_hz),
        "electrical_q": driver.electrical_q * rise,
        "mechanical_q": driver.mechanical_q * rise,
    }
    return lambda hz: factor * physics.voice_coil.impedance_ohm(hz, **coil)
