"""Air as the medium of sound: how fast sound travels in it, and how heavy it is.

Dry air near sea level. In a parked vehicle the temperature runs from -20 to 70 degrees Celsius, which moves
the speed of sound, and with it every delay and every mode, by 8 per cent either way.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero, plain, sqrt

ZERO_CELSIUS_K = 273.15
SOUND_SPEED_20C_M_S = 343.2
AIR_DENSITY_20C_KG_M3 = 1.204
REFERENCE_PRESSURE_PA = 20e-6
DRY_AIR_GAS_CONSTANT_J_KGK = 287.05


def _kelvin(temperature_c: Number) -> Number:
    if isinstance(temperature_c, float | int) and -ZERO_CELSIUS_K < temperature_c < math.inf:
        return float(temperature_c) + ZERO_CELSIUS_K  # numpy takes ten times as long for one
    kelvin = np.add(temperature_c, ZERO_CELSIUS_K)
    if not np.all(kelvin > 0) or not np.all(np.isfinite(kelvin)):
        raise ValueError(f"temperature_c must be finite and above absolute zero, got {temperature_c}")
    return plain(kelvin)


def sound_speed_m_s(*, temperature_c: Number) -> Number:
    """Speed of sound in air.

    Formula: c = 343.2 * sqrt(T / 293.15), T in kelvin

    Parameters
    ----------
    temperature_c : float or array
        Air temperature [C]

    Returns
    -------
    float or array
        Speed of sound [m/s]

    Validity
    --------
    -20 to 50 °C by the standard, and an ideal gas beyond it. Humidity is neglected: saturated air at
    40 °C carries sound about 1 % faster.

    Raises
    ------
    ValueError
        At or below absolute zero.

    Examples
    --------
    >>> round(sound_speed_m_s(temperature_c=0.0), 1)
    331.3

    References
    ----------
    ISO 9613-1:1993, Attenuation of sound during propagation outdoors, part 1, annex A.

    """
    return SOUND_SPEED_20C_M_S * sqrt(_kelvin(temperature_c) / 293.15)


def air_density_kg_m3(*, temperature_c: Number, pressure_pa: Number = 101325.0) -> Number:
    """Density of dry air.

    Formula: rho = p / (R T), R = 287.05 J/(kg K)

    Parameters
    ----------
    temperature_c : float or array
        Air temperature [C]
    pressure_pa : float or array
        Static pressure [Pa]

    Returns
    -------
    float or array
        Density [kg/m3]

    Validity
    --------
    Ideal gas; humidity is neglected (saturated air at 40 °C is about 3 % lighter).

    Raises
    ------
    ValueError
        At or below absolute zero, or for a pressure that is not above zero.

    Examples
    --------
    >>> round(air_density_kg_m3(temperature_c=20.0), 3)
    1.204

    References
    ----------
    ISO 2533:1975, Standard atmosphere, clause 2.1 (gas constant of dry air).

    """
    above_zero(pressure_pa=pressure_pa)
    return plain(pressure_pa / (DRY_AIR_GAS_CONSTANT_J_KGK * _kelvin(temperature_c)))


def arrival_s(*, distance_m: Number, temperature_c: Number = 20.0) -> Number:
    """Time sound takes over a distance.

    Formula: t = d / c

    Parameters
    ----------
    distance_m : float or array
        Path length [m]
    temperature_c : float or array
        Air temperature [C]

    Returns
    -------
    float or array
        Travel time [s]

    Validity
    --------
    Straight path through still air of one temperature.

    Raises
    ------
    ValueError
        For a negative distance, or a temperature at or below absolute zero.

    Examples
    --------
    >>> round(1000 * float(arrival_s(distance_m=1.0, temperature_c=20.0)), 4)
    2.9138

    References
    ----------
    Definition of speed; see `sound_speed_m_s`.

    """
    not_below_zero(distance_m=distance_m)
    return plain(distance_m / sound_speed_m_s(temperature_c=temperature_c))


def wavelength_m(*, frequency_hz: Number, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S) -> Number:
    """Length of one period of sound in air.

    Formula: lambda = c / f

    Parameters
    ----------
    frequency_hz : float or array
        Frequency [Hz]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    float or array
        Wavelength [m]

    Validity
    --------
    Free air.

    Raises
    ------
    ValueError
        For a frequency or a speed that is not above zero.

    Examples
    --------
    >>> round(wavelength_m(frequency_hz=80.0), 2)
    4.29

    References
    ----------
    Definition of wavelength.

    """
    above_zero(frequency_hz=frequency_hz, sound_speed_m_s=sound_speed_m_s)
    return plain(sound_speed_m_s / frequency_hz)
