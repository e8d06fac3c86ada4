"""What two ears make of sounds from several places: time between them, arrivals that cancel, height above the ear."""

from __future__ import annotations

import numpy as np

from advisor.physics.air import SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, not_below_zero, plain, within

HEAD_RADIUS_M = 0.0875
COMPLETE_DB = 60.0
"""Two equal arrivals cancel entirely; nothing measured in a cabin is deeper than this."""


def ear_to_ear_s(
    *, angle_deg: Number, head_radius_m: Number = HEAD_RADIUS_M, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S
) -> Number:
    """Time between the two ears for a sound from the side.

    Formula: t = a (angle + sin angle) / c

    Parameters
    ----------
    angle_deg : float or array
        Angle from straight ahead, 0 to 90 [degree]
    head_radius_m : float or array
        Radius of the head [m]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Time, inputs broadcast [s]

    Validity
    --------
    A round head, a distant source, frequencies above about 2 kHz; below that the time is up to half longer.

    Raises
    ------
    ValueError
        For an angle outside 0 to 90, or another input that is not above zero.

    Examples
    --------
    >>> round(1e6 * ear_to_ear_s(angle_deg=90.0, sound_speed_m_s=343.0))
    656

    References
    ----------
    R. S. Woodworth, "Experimental Psychology", 1938 (from memory).

    """
    within(0.0, 90.0, angle_deg=angle_deg)
    above_zero(head_radius_m=head_radius_m, sound_speed_m_s=sound_speed_m_s)
    angle = np.deg2rad(angle_deg)
    return plain(np.asarray(head_radius_m) * (angle + np.sin(angle)) / sound_speed_m_s)


def first_cancellation_hz(*, apart_s: Number) -> Number:
    """Lowest frequency at which two arrivals of one signal are in opposite phase.

    Formula: f = 1 / (2 t)

    Parameters
    ----------
    apart_s : float or array
        Time between the two arrivals [s]

    Returns
    -------
    Frequency, same shape [Hz]

    Validity
    --------
    Both arrive in the same polarity; further cancellations lie at 3, 5, 7 ... times this frequency.

    Raises
    ------
    ValueError
        If the time is not above zero.

    Examples
    --------
    >>> first_cancellation_hz(apart_s=0.002)
    250.0

    References
    ----------
    Superposition.

    """
    above_zero(apart_s=apart_s)
    return plain(0.5 / np.asarray(apart_s))


def cancellation_db(*, level_difference_db: Number) -> Number:
    """How deep two arrivals in opposite phase fall under what they add up to by their power.

    Formula: -20 log10[ (1 - r) / sqrt(1 + r²) ], r = 10^(-|difference|/20)

    Parameters
    ----------
    level_difference_db : float or array
        How much louder one of the two is [dB]

    Returns
    -------
    Depth, same shape, no more than 60 [dB]

    Validity
    --------
    One frequency, two arrivals of one signal; reflections fill part of the gap.

    Raises
    ------
    ValueError
        If the difference is not finite.

    Examples
    --------
    >>> round(cancellation_db(level_difference_db=10.0), 2)
    3.73

    References
    ----------
    Superposition.

    """
    not_below_zero(level_difference_db=np.abs(level_difference_db))
    ratio = 10 ** (-np.abs(level_difference_db) / 20)
    least = 10 ** (-COMPLETE_DB / 20)
    return plain(-20 * np.log10(np.maximum((1 - ratio) / np.sqrt(1 + ratio**2), least)))


def elevation_deg(*, height_m: Number, ear_height_m: Number, distance_m: Number) -> Number:
    """Angle at which a place is seen from the ear, above the level of the ear; below it where negative.

    Formula: angle = asin[ (h - h_ear) / r ]

    Parameters
    ----------
    height_m : float or array
        Height of the place over any ground [m]
    ear_height_m : float or array
        Height of the ear over the same ground [m]
    distance_m : float or array
        Distance from the place to the ear, along the straight line [m]

    Returns
    -------
    Angle, inputs broadcast [degree]

    Validity
    --------
    Geometry.

    Raises
    ------
    ValueError
        For a distance that is not above zero, or is shorter than the heights are apart.

    Examples
    --------
    >>> round(elevation_deg(height_m=0.75, ear_height_m=1.25, distance_m=1.0), 1)
    -30.0

    References
    ----------
    Definition.

    """
    above_zero(distance_m=distance_m)
    share = (np.asarray(height_m) - np.asarray(ear_height_m)) / np.asarray(distance_m)
    if not np.all(np.isfinite(share) & (np.abs(share) <= 1)):
        raise ValueError(f"the distance of {distance_m} m is shorter than the two heights are apart")
    return plain(np.rad2deg(np.arcsin(share)))
