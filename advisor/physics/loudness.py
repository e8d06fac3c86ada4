"""How loud a driver can play: until its cone reaches the end of its travel, or its coil the end of its heat.

Levels are those of a sine at 1 m in half space, root mean square re 20 uPa. At low frequencies travel is the limit and
falls by 12 dB per octave; higher up heat is.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.air import AIR_DENSITY_20C_KG_M3, REFERENCE_PRESSURE_PA
from advisor.physics.guards import Number, above_zero, log10, not_below_zero, plain


def excursion_limited_db(
    frequency_hz: Number,
    *,
    displacement_m3: Number,
    distance_m: Number = 1.0,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
) -> Number:
    """Highest level that a given displacement of air can make.

    Formula: 20 log10[ rho (2 pi f)² VD / (2 sqrt(2) pi r p0) ], VD = Sd Xmax

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    displacement_m3 : float or array
        Cone area times excursion to one side, all drivers together [m3]
    distance_m : float or array
        Distance [m]
    density_kg_m3 : float or array
        Density of air [kg/m3]

    Returns
    -------
    Level, inputs broadcast [dB]

    Validity
    --------
    Half space, no port, source small against the wavelength. Excursion is the linear one of the datasheet; a driver
    goes further, but not cleanly.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> round(excursion_limited_db(50.0, displacement_m3=0.049 * 0.015), 1)
    113.8

    References
    ----------
    R. H. Small, "Closed-Box Loudspeaker Systems, Part I: Analysis", JAES 20(10), 1972, displacement-limited power.

    """
    above_zero(
        frequency_hz=frequency_hz, displacement_m3=displacement_m3, distance_m=distance_m, density_kg_m3=density_kg_m3
    )
    acceleration = (2 * math.pi * np.asarray(frequency_hz)) ** 2 * displacement_m3
    pressure = density_kg_m3 * acceleration / (2 * math.sqrt(2) * math.pi * np.asarray(distance_m))
    return plain(20 * np.log10(pressure / REFERENCE_PRESSURE_PA))


def displacement_needed_m3(
    frequency_hz: Number,
    *,
    level_db: Number,
    distance_m: Number = 1.0,
    density_kg_m3: Number = AIR_DENSITY_20C_KG_M3,
) -> Number:
    """Displacement of air that a level asks for.

    Formula: VD = 2 sqrt(2) pi r p0 10^(L/20) / (rho (2 pi f)²)

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    level_db : float or array
        Level wanted [dB]
    distance_m : float or array
        Distance [m]
    density_kg_m3 : float or array
        Density of air [kg/m3]

    Returns
    -------
    Cone area times excursion to one side, inputs broadcast [m3]

    Validity
    --------
    As `excursion_limited_db`, of which it is the inverse.

    Raises
    ------
    ValueError
        For a frequency, distance or density that is not above zero.

    Examples
    --------
    >>> round(1e6 * displacement_needed_m3(50.0, level_db=113.8), 0)
    732.0

    References
    ----------
    As `excursion_limited_db`.

    """
    above_zero(frequency_hz=frequency_hz, distance_m=distance_m, density_kg_m3=density_kg_m3)
    pressure = REFERENCE_PRESSURE_PA * 10 ** (np.asarray(level_db) / 20)
    omega = 2 * math.pi * np.asarray(frequency_hz)
    return plain(2 * math.sqrt(2) * math.pi * np.asarray(distance_m) * pressure / (density_kg_m3 * omega**2))


def thermally_limited_db(*, sensitivity_1w_db: Number, power_w: Number, compression_db: Number = 0.0) -> Number:
    """Highest level that a given power can make in a driver's passband.

    Formula: SPL(1 W) + 10 log10 P - compression

    Parameters
    ----------
    sensitivity_1w_db : float or array
        Level of 1 W at 1 m [dB]
    power_w : float or array
        Power the coil bears, or the amplifier gives where that is less [W]
    compression_db : float or array
        What a hot coil loses, as a positive number [dB]

    Returns
    -------
    Level at 1 m, inputs broadcast [dB]

    Validity
    --------
    Passband. Copper at 200 °C has 1.7 times its cold resistance: at rated power 2 to 4 dB of compression are common
    practice to reckon with.

    Raises
    ------
    ValueError
        For a power that is not above zero or a negative compression.

    Examples
    --------
    >>> thermally_limited_db(sensitivity_1w_db=88.0, power_w=100.0, compression_db=2.0)
    106.0

    References
    ----------
    Definition of sensitivity.

    """
    above_zero(power_w=power_w)
    not_below_zero(compression_db=compression_db)
    return plain(sensitivity_1w_db + 10 * log10(power_w) - compression_db)


def hot_coil_loss_db(*, power_share: Number, at_rated_db: Number) -> Number:
    """Level that a coil warmed by so much of its rated power loses.

    Formula: 20 log10[1 + (10^(C/20) - 1) P/P0]

    Parameters
    ----------
    power_share : float or array
        Power it gets over the power it is rated for, P/P0 [-]
    at_rated_db : float or array
        What it loses at its rated power, as a positive number, C [dB]

    Returns
    -------
    Loss as a positive number, inputs broadcast [dB]

    Validity
    --------
    After minutes, when coil and magnet are warm; a short peak loses less. Temperature goes with power, the resistance
    of copper with temperature, and current with the reciprocal of resistance; that the power itself falls as the coil
    warms is neglected.

    Raises
    ------
    ValueError
        For a share or a loss below zero.

    Examples
    --------
    >>> round(hot_coil_loss_db(power_share=1.0, at_rated_db=3.0), 2)
    3.0
    >>> round(hot_coil_loss_db(power_share=0.5, at_rated_db=3.0), 2)
    1.63

    References
    ----------
    Derived from Ohm's law and a resistance that climbs in proportion to temperature.

    """
    not_below_zero(power_share=power_share, at_rated_db=at_rated_db)
    climbs = 10.0 ** (at_rated_db / 20) - 1
    return plain(20 * log10(1 + climbs * power_share))


def coherent_sum_db(*, levels_db: Number, phases_deg: Number, axis: int = -1) -> Number:
    """Level of several sources that play the same signal, each with its own phase at the listener.

    Formula: 20 log10 | sum of 10^(L/20) exp(j phase) |

    Parameters
    ----------
    levels_db : array
        Level of each source [dB]
    phases_deg : array
        Phase of each source, same shape or broadcast against it [degree]
    axis : int
        Axis that is summed over [-]

    Returns
    -------
    Level of the sum, shape of the inputs less that axis; -inf where they cancel entirely [dB]

    Validity
    --------
    One frequency at a time, one place. Sources that play different signals add by power instead:
    `levels.sum_of_levels_db`.

    Raises
    ------
    ValueError
        For no sources at all.

    Examples
    --------
    >>> round(coherent_sum_db(levels_db=np.array([80.0, 80.0]), phases_deg=np.array([0.0, 0.0])), 2)
    86.02

    References
    ----------
    Superposition.

    """
    phasors = 10 ** (np.asarray(levels_db) / 20) * np.exp(1j * np.deg2rad(phases_deg))
    if phasors.ndim == 0 or phasors.shape[axis] == 0:
        raise ValueError("coherent_sum_db needs at least one source along the axis")
    amplitude = np.abs(phasors.sum(axis=axis))
    with np.errstate(divide="ignore"):
        return plain(20 * np.log10(amplitude))
