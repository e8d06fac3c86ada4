"""The cabin as a pressure vessel: the lift a small closed space gives to low frequencies.

Below the first mode of its length the air in a cabin no longer carries waves; it is compressed as a whole, and sound
pressure rises by 12 dB per octave towards low frequencies against the open air. Doors, vents and panels leak, so the
rise ends somewhere. Measured cars differ by many decibels: this is an upper bound, not a prediction.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.air import SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, not_below_zero, plain


def first_axial_mode_hz(*, length_m: Number, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S) -> Number:
    """Lowest frequency at which half a wave fits into a length.

    Formula: f = c / (2 L)

    Parameters
    ----------
    length_m : float or array
        Longest inner dimension of the cabin [m]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Frequency, inputs broadcast [Hz]

    Validity
    --------
    Stiff parallel ends. Slanted glass and soft seats lower and broaden the mode.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> round(first_axial_mode_hz(length_m=2.9), 1)
    59.2

    References
    ----------
    Any textbook of room acoustics (from memory).

    """
    above_zero(length_m=length_m, sound_speed_m_s=sound_speed_m_s)
    return plain(np.asarray(sound_speed_m_s) / (2 * np.asarray(length_m)))


def cabin_gain_db(frequency_hz: Number, *, mode_hz: Number, leak_hz: Number) -> Number:
    """Lift of sound pressure in a cabin against the open air.

    Formula: 20 log10[ (f² + f1²) / (f² + fL²) ]

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    mode_hz : float or array
        First mode of the cabin, below which pressure rises [Hz]
    leak_hz : float or array
        Frequency below which leaks keep it from rising further; 0 for a sealed cabin [Hz]

    Returns
    -------
    Gain, inputs broadcast; 40 log10(f1 / fL) at the lowest frequencies [dB]

    Validity
    --------
    Smooth well-damped corners: modes and their peaks and dips are left out, and the cabin is taken as stiff. A leaky
    cabin with soft panels gains less.

    Raises
    ------
    ValueError
        For a frequency or mode that is not above zero, or a leak below zero or not below the mode.

    Examples
    --------
    >>> round(cabin_gain_db(20.0, mode_hz=60.0, leak_hz=15.0), 1)
    16.1

    References
    ----------
    The slope: S. Linkwitz, on closed boxes in small closed spaces. The corner shapes: common practice, derived from a
    spring of air and a leak with the inertia of the air in it.

    """
    above_zero(frequency_hz=frequency_hz, mode_hz=mode_hz)
    not_below_zero(leak_hz=leak_hz)
    if np.any(np.greater_equal(leak_hz, mode_hz)):
        raise ValueError(f"leak_hz ({leak_hz}) must be below mode_hz ({mode_hz})")
    squared = np.square(frequency_hz)
    return plain(20 * np.log10((squared + np.square(mode_hz)) / (squared + np.square(leak_hz))))


def sealed_gain_db(
    frequency_hz: Number,
    *,
    cabin_m3: Number,
    distance_m: Number = 1.0,
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Pressure of a source in a stiff sealed space, against the same source in half space at a distance.

    Formula: 20 log10[ 2 pi r c² / ((2 pi f)² V) ]

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    cabin_m3 : float or array
        Volume of air in the cabin [m3]
    distance_m : float or array
        Distance the open-air level is given for [m]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Gain, inputs broadcast; negative where the space is too large to compress at that frequency [dB]

    Validity
    --------
    Well below the first mode, no leak, stiff walls: what a real vehicle stays under.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> round(sealed_gain_db(20.0, cabin_m3=3.0), 1)
    23.9

    References
    ----------
    Derived: pressure rho c² U / (s V) in the space over rho s U / (2 pi r) in half space.

    """
    above_zero(frequency_hz=frequency_hz, cabin_m3=cabin_m3, distance_m=distance_m, sound_speed_m_s=sound_speed_m_s)
    open_air = (2 * math.pi * np.asarray(frequency_hz)) ** 2 / (2 * math.pi * np.asarray(distance_m))
    return plain(20 * np.log10(np.asarray(sound_speed_m_s) ** 2 / (cabin_m3 * open_air)))
