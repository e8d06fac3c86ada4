"""Directivity of a cone: how far the sound off its axis falls behind the sound on it, and from where it beams.

The cone is taken as a flat stiff piston in a large baffle. A real cone is shallow and, at high frequencies, moves
only near its centre, so it beams somewhat later; a door and a dashboard are smaller baffles than the formula has.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.physics.air import SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, not_below_zero, plain, within

FIRST_NULL = 3.8317059702075125
"""First zero of J1: the edge of the main lobe, as k a sin(angle)."""

SMALL_KA = 0.05


def effective_radius_m(*, cone_area_m2: Number) -> Number:
    """Radius of the piston that moves as much air as a cone.

    Formula: a = sqrt(Sd / pi)

    Parameters
    ----------
    cone_area_m2 : float or array
        Effective area of the cone [m2]

    Returns
    -------
    Radius, same shape [m]

    Validity
    --------
    Round cones. An oval cone beams earlier along its long side than this radius says.

    Raises
    ------
    ValueError
        If the area is not above zero.

    Examples
    --------
    >>> round(1000 * effective_radius_m(cone_area_m2=0.0133), 1)
    65.1

    References
    ----------
    Definition.

    """
    above_zero(cone_area_m2=cone_area_m2)
    return plain(np.sqrt(np.asarray(cone_area_m2) / math.pi))


def _wave_number_radius(frequency_hz: Number, radius_m: Number, sound_speed_m_s: Number) -> NDArray[np.float64]:
    not_below_zero(frequency_hz=frequency_hz)
    above_zero(radius_m=radius_m, sound_speed_m_s=sound_speed_m_s)
    return np.asarray(2 * math.pi * np.asarray(frequency_hz) * radius_m / sound_speed_m_s)


def _j1(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Bessel function J1 by the trapezoid rule on Bessel's own integral, which converges geometrically.

    With n steps the error is that of the order 2 n - 1, far below a double's last digit for the n taken here; both
    ends of the integral cancel. A tenth of a second sooner at a cold start than the library's.
    """
    steps = 16 + int(np.max(x, initial=0.0))
    turn = np.arange(1, steps) * (math.pi / steps)
    return np.asarray(np.sum(np.cos(turn - np.asarray(x)[..., None] * np.sin(turn)), axis=-1) / steps)


def piston(
    frequency_hz: Number, *, radius_m: Number, angle_deg: Number, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S
) -> Number:
    """Amplitude off the axis of a piston, against that on its axis.

    Formula: D = 2 J1(x) / x, x = k a sin(angle), k = 2 pi f / c

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    radius_m : float or array
        Radius of the piston [m]
    angle_deg : float or array
        Angle from the axis, 0 to 90 [degree]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Amplitude ratio, negative in every other side lobe, inputs broadcast [-]

    Validity
    --------
    Stiff flat piston in an infinite baffle, listener many radii away.

    Raises
    ------
    ValueError
        For a negative frequency, an angle outside 0 to 90, or another input that is not above zero.

    Examples
    --------
    >>> round(piston(3000.0, radius_m=0.065, angle_deg=45.0), 3)
    0.389

    References
    ----------
    J. Eargle, "Electroacoustical Reference Data", 1994, piston in a large baffle.

    """
    within(0.0, 90.0, angle_deg=angle_deg)
    x = _wave_number_radius(frequency_hz, radius_m, sound_speed_m_s) * np.sin(np.deg2rad(angle_deg))
    # J1(x) is x/2 near zero, so that the ratio is 1 there; 1 stands in for x to keep the division away from 0/0.
    apart = np.where(x > 0, x, 1.0)
    return plain(np.where(x > 0, 2 * _j1(apart) / apart, 1.0))


def piston_at(frequency_hz: NDArray[np.float64], *, radius_m: float, angles_deg: Sequence[float]) -> Number:
    """Amplitude off the axis of a piston at several angles, against that on its axis, a row for each angle.

    Formula: as `piston`

    Parameters
    ----------
    frequency_hz : array
        Frequencies [Hz]
    radius_m : float
        Radius of the piston [m]
    angles_deg : floats
        Angles from the axis, 0 to 90 [degree]

    Returns
    -------
    Amplitude ratios, angles by frequencies [-]

    Validity
    --------
    As `piston`.

    Raises
    ------
    ValueError
        As `piston`.

    Examples
    --------
    >>> piston_at(np.array([3000.0]), radius_m=0.065, angles_deg=[0.0, 45.0]).round(3).tolist()
    [[1.0], [0.389]]

    References
    ----------
    As `piston`.

    """
    return piston(frequency_hz, radius_m=radius_m, angle_deg=np.array(angles_deg, dtype=np.float64)[:, None])


def piston_db(
    frequency_hz: Number, *, radius_m: Number, angle_deg: Number, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S
) -> Number:
    """Level off the axis of a piston, against that on its axis.

    Formula: 20 log10 |2 J1(x) / x|

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    radius_m : float or array
        Radius of the piston [m]
    angle_deg : float or array
        Angle from the axis, 0 to 90 [degree]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Level, at or below zero, inputs broadcast; no lower than -300 in the nulls [dB]

    Validity
    --------
    As `piston`.

    Raises
    ------
    ValueError
        As `piston`.

    Examples
    --------
    >>> round(piston_db(3000.0, radius_m=0.065, angle_deg=45.0), 1)
    -8.2

    References
    ----------
    As `piston`.

    """
    ratio = piston(frequency_hz, radius_m=radius_m, angle_deg=angle_deg, sound_speed_m_s=sound_speed_m_s)
    return plain(20 * np.log10(np.maximum(np.abs(ratio), 1e-15)))


def _main_lobe(x: float) -> float:
    """2 J1(x) / x by its power series: exact to the last digits below 4, and no special functions to load."""
    term = total = 1.0
    for k in range(1, 24):
        term *= -(x * x / 4) / (k * (k + 1))
        total += term
    return total


def main_lobe_argument(*, drop_db: float) -> float:
    """Value of k a sin(angle) at which a piston has fallen by a given amount in its main lobe.

    Formula: 2 J1(x) / x = 10^(-drop/20), 0 < x < 3.8317

    Parameters
    ----------
    drop_db : float
        How far the level has fallen, as a positive number [dB]

    Returns
    -------
    The argument x [-]

    Validity
    --------
    As `piston`.

    Raises
    ------
    ValueError
        If the drop is not above zero.

    Examples
    --------
    >>> round(main_lobe_argument(drop_db=6.0), 4)
    2.2118

    References
    ----------
    As `piston`.

    """
    above_zero(drop_db=drop_db)
    return _falls_to(10 ** (-drop_db / 20))


@functools.lru_cache(maxsize=16)
def _falls_to(target: float) -> float:
    """The argument at which the main lobe has fallen to a ratio; nearly all ask for one."""
    low, high = 0.0, FIRST_NULL
    for _ in range(60):
        middle = 0.5 * (low + high)
        if _main_lobe(middle) > target:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def beams_above_hz(
    *, radius_m: Number, angle_deg: Number, drop_db: float = 6.0, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S
) -> Number:
    """Frequency above which a listener off the axis has lost a given amount.

    Formula: f = x c / (2 pi a sin(angle)), 2 J1(x) / x = 10^(-drop/20)

    Parameters
    ----------
    radius_m : float or array
        Radius of the piston [m]
    angle_deg : float or array
        Angle from the axis, above 0 to 90 [degree]
    drop_db : float
        How far the level has fallen, as a positive number [dB]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Frequency, inputs broadcast [Hz]

    Validity
    --------
    As `piston`. Side lobes further up stay more than 17 dB down.

    Raises
    ------
    ValueError
        For an angle outside 0 to 90 or of 0 (nothing is lost on the axis), or an input that is not above zero.

    Examples
    --------
    >>> round(beams_above_hz(radius_m=0.065, angle_deg=45.0), 0)
    2629.0

    References
    ----------
    As `piston`.

    """
    above_zero(radius_m=radius_m, angle_deg=angle_deg, sound_speed_m_s=sound_speed_m_s)
    within(0.0, 90.0, angle_deg=angle_deg)
    reach = 2 * math.pi * np.asarray(radius_m) * np.sin(np.deg2rad(angle_deg))
    return plain(main_lobe_argument(drop_db=drop_db) * np.asarray(sound_speed_m_s) / reach)


def directivity_index_db(
    frequency_hz: Number, *, radius_m: Number, sound_speed_m_s: Number = SOUND_SPEED_20C_M_S
) -> Number:
    """Level on the axis of a piston in a baffle, against a source of equal power that radiates all round.

    Formula: DI = 10 log10[ x² / (1 - J1(2x)/x) ], x = k a

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    radius_m : float or array
        Radius of the piston [m]
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Directivity index, 3.01 at low frequencies where only the baffle directs, inputs broadcast [dB]

    Validity
    --------
    As `piston`.

    Raises
    ------
    ValueError
        For a negative frequency or another input that is not above zero.

    Examples
    --------
    >>> round(directivity_index_db(20.0, radius_m=0.065), 2)
    3.01

    References
    ----------
    L. L. Beranek, "Acoustics", 1954, directivity factor of a rigid piston in a baffle (from memory).

    """
    x = _wave_number_radius(frequency_hz, radius_m, sound_speed_m_s)
    apart = np.maximum(x, SMALL_KA)
    # Below that, 1 - J1(2x)/x is a small difference of nearly equal numbers; its series in x is exact there.
    factor = np.where(x > SMALL_KA, apart**2 / (1 - _j1(2 * apart) / apart), 1 / (1 / 2 - x**2 / 12 + x**4 / 144))
    return plain(10 * np.log10(factor))
