"""Thiele/Small parameters: the handful of numbers that describe a driver while its cone moves as one piece.

A datasheet gives some of them (resonance, Q values, compliance as a volume of air) and hides the rest (moving
mass, force factor), which live in `motor` and are offered here as well. Together they close the circle.
Small's papers compute with c = 345 m/s and 1.18 kg/m³; the defaults here are air at 20 °C.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.air import AIR_DENSITY_20C_KG_M3, REFERENCE_PRESSURE_PA, SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, plain
from advisor.physics.motor import (
    compliance_m_n,
    compliance_volume_m3,
    efficiency_from_motor,
    force_factor_tm,
    motional_peak_ohm,
    moving_mass_kg,
)

__all__ = [
    "compliance_m_n",
    "compliance_volume_m3",
    "efficiency_from_motor",
    "electrical_q",
    "force_factor_tm",
    "motional_peak_ohm",
    "moving_mass_kg",
    "reference_efficiency",
    "sensitivity_1w_db",
    "sensitivity_from_voltage_db",
    "total_q",
]


def total_q(*, electrical_q: Number, mechanical_q: Number) -> Number:
    """Q of the driver with both its dampings, driven from a source without resistance.

    Formula: Qts = Qes Qms / (Qes + Qms)

    Parameters
    ----------
    electrical_q : float or array
        Q by the motor alone [-]
    mechanical_q : float or array
        Q by suspension losses alone [-]

    Returns
    -------
    float or array
        Total Q [-]

    Validity
    --------
    Small signals; cable and network resistance raise the electrical Q and must be in it already.

    Raises
    ------
    ValueError
        For a Q that is not above zero.

    Examples
    --------
    >>> round(total_q(electrical_q=0.45, mechanical_q=4.05), 3)
    0.405

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(electrical_q=electrical_q, mechanical_q=mechanical_q)
    return plain(electrical_q * mechanical_q / (electrical_q + mechanical_q))


def electrical_q(*, total_q: Number, mechanical_q: Number) -> Number:
    """Q by the motor alone, from the total and the mechanical Q.

    Formula: Qes = Qts Qms / (Qms - Qts)

    Parameters
    ----------
    total_q : float or array
        Total Q [-]
    mechanical_q : float or array
        Q by suspension losses alone [-]

    Returns
    -------
    float or array
        Electrical Q [-]

    Validity
    --------
    As `total_q`, of which it is the inverse.

    Raises
    ------
    ValueError
        For a Q that is not above zero, or a total Q at or above the mechanical Q.

    Examples
    --------
    >>> round(electrical_q(total_q=0.405, mechanical_q=4.05), 3)
    0.45

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(total_q=total_q, mechanical_q=mechanical_q)
    if np.any(np.greater_equal(total_q, mechanical_q)):
        raise ValueError(f"total_q ({total_q}) must be below mechanical_q ({mechanical_q})")
    return plain(total_q * mechanical_q / (mechanical_q - total_q))


def reference_efficiency(
    *,
    resonance_hz: Number,
    compliance_volume_m3: Number,
    electrical_q: Number,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Share of the electrical power that leaves as sound into half space, in the driver's passband.

    Formula: eta0 = (4 pi² / c³) fs³ Vas / Qes

    Parameters
    ----------
    resonance_hz : float or array
        Free-air resonance [Hz]
    compliance_volume_m3 : float or array
        Volume of air as stiff as the suspension [m3]
    electrical_q : float or array
        Q by the motor alone [-]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Efficiency as a share [-]

    Validity
    --------
    Above the resonance and while the cone is small against the wavelength. Power is reckoned in the
    coil's DC resistance.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(reference_efficiency(resonance_hz=30.0, compliance_volume_m3=0.06, electrical_q=0.45), 5)
    0.00352

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(
        resonance_hz=resonance_hz,
        compliance_volume_m3=compliance_volume_m3,
        electrical_q=electrical_q,
        sound_speed_m_s=sound_speed_m_s,
    )
    return plain(4 * math.pi**2 / sound_speed_m_s**3 * resonance_hz**3 * compliance_volume_m3 / electrical_q)


def sensitivity_1w_db(
    *,
    reference_efficiency: Number,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Sound pressure level of one watt at one metre in half space.

    Formula: SPL = 10 log10[ eta0 rho c / (2 pi p0²) ], p0 = 20 uPa

    Parameters
    ----------
    reference_efficiency : float or array
        Efficiency as a share [-]
    density_kg_m3 : float or array
        Density of air [kg/m3]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Level re 20 uPa [dB]

    Validity
    --------
    As `reference_efficiency`; radiation equal in all directions of the half space.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(sensitivity_1w_db(reference_efficiency=0.01), 2)
    92.16

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(
        reference_efficiency=reference_efficiency,
        density_kg_m3=density_kg_m3,
        sound_speed_m_s=sound_speed_m_s,
    )
    intensity_ratio = density_kg_m3 * sound_speed_m_s / (2 * math.pi * REFERENCE_PRESSURE_PA**2)
    return plain(10 * np.log10(reference_efficiency * intensity_ratio))


def sensitivity_from_voltage_db(*, sensitivity_2v83_db: Number, impedance_ohm: Number) -> Number:
    """Level of one watt at one metre, from the level at 2.83 volts.

    Formula: SPL(1 W) = SPL(2.83 V) - 10 log10(8 / R)

    Parameters
    ----------
    sensitivity_2v83_db : float or array
        Level at 2.83 V and 1 m [dB]
    impedance_ohm : float or array
        Resistance the watt is reckoned in [ohm]

    Returns
    -------
    float or array
        Level at 1 W and 1 m [dB]

    Validity
    --------
    2.83 V stands for sqrt(8) V, one watt in 8 ohm. Which resistance a datasheet reckons with, rated or DC,
    is its own choice.

    Raises
    ------
    ValueError
        For an impedance that is not above zero.

    Examples
    --------
    >>> round(sensitivity_from_voltage_db(sensitivity_2v83_db=91.0, impedance_ohm=4.0), 2)
    87.99

    References
    ----------
    Ohm's law; the rounding of sqrt(8) V to 2.83 V is common practice.

    """
    above_zero(impedance_ohm=impedance_ohm)
    return plain(sensitivity_2v83_db - 10 * np.log10(8.0 / impedance_ohm))
