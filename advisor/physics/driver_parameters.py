"""The parameters of one driver, with what follows from them: total Q, moving mass, losses, force factor."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from advisor.physics import motor, thiele_small
from advisor.physics.guards import above_zero, not_below_zero


@dataclass(frozen=True)
class Driver:
    """Small-signal parameters of one driver, in SI units.

    Attributes: free-air resonance [Hz], electrical and mechanical Q [-], compliance as a volume of air [m3], cone
    area [m2], DC resistance [ohm] and inductance [H] of the coil.

    >>> sub = Driver(resonance_hz=28.0, electrical_q=0.45, mechanical_q=5.0, compliance_volume_m3=0.060,
    ...              cone_area_m2=0.0330, coil_ohm=3.2)
    >>> round(sub.total_q, 3), round(1000 * sub.moving_mass_kg, 1)
    (0.413, 83.2)
    """

    resonance_hz: float
    electrical_q: float
    mechanical_q: float
    compliance_volume_m3: float
    cone_area_m2: float
    coil_ohm: float
    coil_h: float = 0.0

    def __post_init__(self) -> None:
        above_zero(
            resonance_hz=self.resonance_hz,
            electrical_q=self.electrical_q,
            mechanical_q=self.mechanical_q,
            compliance_volume_m3=self.compliance_volume_m3,
            cone_area_m2=self.cone_area_m2,
            coil_ohm=self.coil_ohm,
        )
        not_below_zero(coil_h=self.coil_h)

    @cached_property
    def total_q(self) -> float:
        """Q with both dampings together [-]."""
        return float(thiele_small.total_q(electrical_q=self.electrical_q, mechanical_q=self.mechanical_q))

    @cached_property
    def compliance_m_n(self) -> float:
        """Compliance of the suspension [m/N]."""
        return float(
            motor.compliance_m_n(compliance_volume_m3=self.compliance_volume_m3, cone_area_m2=self.cone_area_m2)
        )

    @cached_property
    def moving_mass_kg(self) -> float:
        """Mass that moves with the cone, air load included [kg]."""
        return 1 / ((2 * math.pi * self.resonance_hz) ** 2 * self.compliance_m_n)

    @cached_property
    def loss_kg_s(self) -> float:
        """Mechanical resistance of the suspension [kg/s]."""
        return 2 * math.pi * self.resonance_hz * self.moving_mass_kg / self.mechanical_q

    @cached_property
    def force_factor_tm(self) -> float:
        """Force per ampere in the coil [T m]."""
        return float(
            motor.force_factor_tm(
                electrical_q=self.electrical_q,
                resonance_hz=self.resonance_hz,
                moving_mass_kg=self.moving_mass_kg,
                coil_ohm=self.coil_ohm,
            )
        )
