"""What moves the cone: mass, suspension and motor, worked out from Thiele/Small parameters.

A datasheet often leaves out the moving mass, the compliance or the force factor. They follow from the
parameters it does print, and excursion and impedance need them.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.air import AIR_DENSITY_20C_KG_M3, SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, plain


def compliance_m_n(
    *,
    compliance_volume_m3: Number,
    cone_area_m2: Number,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Compliance of the suspension.

    Formula: Cms = Vas / (rho c² Sd²)

    Parameters
    ----------
    compliance_volume_m3 : float or array
        Volume of air as stiff as the suspension [m3]
    cone_area_m2 : float or array
        Effective area of the cone [m2]
    density_kg_m3 : float or array
        Density of air [kg/m3]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Compliance [m/N]

    Validity
    --------
    Small signals. Air compressed without exchange of heat.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(1000 * compliance_m_n(compliance_volume_m3=0.06, cone_area_m2=0.0330), 3)
    0.389

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(
        compliance_volume_m3=compliance_volume_m3,
        cone_area_m2=cone_area_m2,
        density_kg_m3=density_kg_m3,
        sound_speed_m_s=sound_speed_m_s,
    )
    return plain(compliance_volume_m3 / (density_kg_m3 * sound_speed_m_s**2 * cone_area_m2**2))


def compliance_volume_m3(
    *,
    compliance_m_n: Number,
    cone_area_m2: Number,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Volume of air as stiff as the suspension.

    Formula: Vas = rho c² Sd² Cms

    Parameters
    ----------
    compliance_m_n : float or array
        Compliance [m/N]
    cone_area_m2 : float or array
        Effective area of the cone [m2]
    density_kg_m3 : float or array
        Density of air [kg/m3]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Volume [m3]

    Validity
    --------
    As `compliance_m_n`, of which it is the inverse.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(1000 * compliance_volume_m3(compliance_m_n=0.389e-3, cone_area_m2=0.0330), 1)
    60.1

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(
        compliance_m_n=compliance_m_n,
        cone_area_m2=cone_area_m2,
        density_kg_m3=density_kg_m3,
        sound_speed_m_s=sound_speed_m_s,
    )
    return plain(density_kg_m3 * sound_speed_m_s**2 * cone_area_m2**2 * compliance_m_n)


def moving_mass_kg(
    *,
    compliance_volume_m3: Number,
    resonance_hz: Number,
    cone_area_m2: Number,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Mass that moves with the cone, its air load included.

    Formula: Mms = 1 / [ (2 pi fs)² Cms ]

    Parameters
    ----------
    compliance_volume_m3 : float or array
        Volume of air as stiff as the suspension [m3]
    resonance_hz : float or array
        Free-air resonance [Hz]
    cone_area_m2 : float or array
        Effective area of the cone [m2]
    density_kg_m3 : float or array
        Density of air [kg/m3]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Moving mass [kg]

    Validity
    --------
    Small signals; the air load is that at which the resonance was measured.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(1000 * moving_mass_kg(compliance_volume_m3=0.06, resonance_hz=30.0, cone_area_m2=0.0330), 1)
    72.4

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(resonance_hz=resonance_hz)
    compliance = compliance_m_n(
        compliance_volume_m3=compliance_volume_m3,
        cone_area_m2=cone_area_m2,
        density_kg_m3=density_kg_m3,
        sound_speed_m_s=sound_speed_m_s,
    )
    return plain(1 / ((2 * math.pi * resonance_hz) ** 2 * compliance))


def force_factor_tm(*, electrical_q: Number, resonance_hz: Number, moving_mass_kg: Number, coil_ohm: Number) -> Number:
    """Force of the motor per ampere in its coil.

    Formula: Bl = sqrt( 2 pi fs Mms Re / Qes )

    Parameters
    ----------
    electrical_q : float or array
        Q by the motor alone [-]
    resonance_hz : float or array
        Free-air resonance [Hz]
    moving_mass_kg : float or array
        Moving mass with air load [kg]
    coil_ohm : float or array
        DC resistance of the coil [ohm]

    Returns
    -------
    float or array
        Force factor [T m]

    Validity
    --------
    At rest position; it falls as the coil leaves the gap.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(force_factor_tm(electrical_q=0.45, resonance_hz=30.0, moving_mass_kg=0.0724, coil_ohm=3.2), 2)
    9.85

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(
        electrical_q=electrical_q,
        resonance_hz=resonance_hz,
        moving_mass_kg=moving_mass_kg,
        coil_ohm=coil_ohm,
    )
    return plain(np.sqrt(2 * math.pi * resonance_hz * moving_mass_kg * coil_ohm / electrical_q))


def efficiency_from_motor(
    *,
    force_factor_tm: Number,
    cone_area_m2: Number,
    moving_mass_kg: Number,
    coil_ohm: Number,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Reference efficiency from the motor, the cone and the mass.

    Formula: eta0 = rho / (2 pi c) * (Bl Sd / Mms)² / Re

    Parameters
    ----------
    force_factor_tm : float or array
        Force factor [T m]
    cone_area_m2 : float or array
        Effective area of the cone [m2]
    moving_mass_kg : float or array
        Moving mass with air load [kg]
    coil_ohm : float or array
        DC resistance of the coil [ohm]
    density_kg_m3 : float or array
        Density of air [kg/m3]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Efficiency as a share [-]

    Validity
    --------
    As `thiele_small.reference_efficiency`, with which it agrees.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> share = efficiency_from_motor(
    ...     force_factor_tm=9.85, cone_area_m2=0.0330, moving_mass_kg=0.0724, coil_ohm=3.2)
    >>> round(share, 5)
    0.00352

    References
    ----------
    L. L. Beranek, T. J. Mellow, "Acoustics: Sound Fields and Transducers", 2012.

    """
    above_zero(
        force_factor_tm=force_factor_tm,
        cone_area_m2=cone_area_m2,
        moving_mass_kg=moving_mass_kg,
        coil_ohm=coil_ohm,
        density_kg_m3=density_kg_m3,
        sound_speed_m_s=sound_speed_m_s,
    )
    air = density_kg_m3 / (2 * math.pi * sound_speed_m_s)
    return plain(air * (force_factor_tm * cone_area_m2 / moving_mass_kg) ** 2 / coil_ohm)


def motional_peak_ohm(*, coil_ohm: Number, mechanical_q: Number, electrical_q: Number) -> Number:
    """Impedance at the driver's resonance.

    Formula: Zmax = Re (1 + Qms / Qes)

    Parameters
    ----------
    coil_ohm : float or array
        DC resistance of the coil [ohm]
    mechanical_q : float or array
        Q by suspension losses alone [-]
    electrical_q : float or array
        Q by the motor alone [-]

    Returns
    -------
    float or array
        Impedance [ohm]

    Validity
    --------
    Coil inductance is neglected.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> round(motional_peak_ohm(coil_ohm=3.2, mechanical_q=4.05, electrical_q=0.45), 1)
    32.0

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    above_zero(coil_ohm=coil_ohm, mechanical_q=mechanical_q, electrical_q=electrical_q)
    return plain(coil_ohm * (1 + mechanical_q / electrical_q))
