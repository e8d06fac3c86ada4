"""Ports of vented boxes: how long, how wide, and how fast the air in them goes.

The air in a port is a mass on the spring of the air in the box. It takes along some air outside both ends, so the
port acts longer than it is. Too narrow a port works its air so hard that it becomes audible.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from advisor.physics.air import SOUND_SPEED_20C_M_S
from advisor.physics.guards import Number, above_zero, not_below_zero, plain

Ends = Literal["both flanged", "one flanged", "both free"]
FLANGED = 0.8217
FREE = 0.6133
END_CORRECTION: dict[Ends, float] = {
    "both flanged": 2 * FLANGED,
    "one flanged": FLANGED + FREE,
    "both free": 2 * FREE,
}
"""Air taken along outside both ends, in radii of the port."""

AUDIBLE_M_S = 17.0
"""Peak velocity, about 5 % of the speed of sound, that is advised as a limit. Advice, not physics."""


def _end_correction_m(area_m2: Number, ends: Ends) -> Number:
    if ends not in END_CORRECTION:
        raise ValueError(f"ends must be one of {', '.join(END_CORRECTION)}, but is {ends}")
    return plain(END_CORRECTION[ends] * np.sqrt(np.asarray(area_m2) / math.pi))


def port_length_m(
    *,
    tuned_hz: Number,
    box_m3: Number,
    area_m2: Number,
    count: int = 1,
    ends: Ends = "one flanged",
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Length of the ports that tune a box.

    Formula: L = c² n S / ((2 pi fB)² Vb) - k sqrt(S / pi), k = 0.822 for an end in a wall, 0.613 for a free one

    Parameters
    ----------
    tuned_hz : float or array
        Frequency to tune to [Hz]
    box_m3 : float or array
        Inner volume, less what driver, bracing and ports take up [m3]
    area_m2 : float or array
        Cross-section of one port [m2]
    count : int
        How many equal ports there are [-]
    ends : str
        "both flanged", "one flanged" (one end in the baffle, the other in the air of the box) or "both free"
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Length of each port, inputs broadcast [m]

    Validity
    --------
    Round port of constant section, short against the wavelength, its inner end a diameter away from any wall. A slot
    along a wall acts longer, a flared port shorter.

    Raises
    ------
    ValueError
        For an input that is not above zero, a count below one or unknown ends, or where even a bare hole of this
        area tunes lower than wanted.

    Examples
    --------
    >>> round(1000 * port_length_m(tuned_hz=33.0, box_m3=0.034, area_m2=0.00785), 0)
    561.0

    References
    ----------
    A. N. Norris, I. C. Sheng, "Acoustic Radiation from a Circular Pipe with an Infinite Flange", J. Sound Vib. 135(1),
    1989 (0.8217, from memory); H. Levine, J. Schwinger, "On the Radiation of Sound from an Unflanged Circular Pipe",
    Phys. Rev. 73(4), 1948 (0.6133, from memory).

    """
    above_zero(tuned_hz=tuned_hz, box_m3=box_m3, area_m2=area_m2, sound_speed_m_s=sound_speed_m_s)
    _require_ports(count)
    omega = 2 * math.pi * np.asarray(tuned_hz)
    acting = np.asarray(sound_speed_m_s) ** 2 * count * area_m2 / (omega**2 * box_m3)
    length = acting - _end_correction_m(area_m2, ends)
    if np.any(length < 0):
        raise ValueError(f"a bare hole of {area_m2} m2 tunes {box_m3} m3 below {tuned_hz} Hz; the port must be larger")
    return plain(length)


def tuned_hz(
    *,
    length_m: Number,
    box_m3: Number,
    area_m2: Number,
    count: int = 1,
    ends: Ends = "one flanged",
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Frequency that ports tune a box to.

    Formula: fB = c / (2 pi) sqrt( n S / (Vb (L + k sqrt(S / pi))) )

    Parameters
    ----------
    length_m : float or array
        Length of each port, zero for a bare hole in a thin wall [m]
    box_m3 : float or array
        Inner volume, less what driver, bracing and ports take up [m3]
    area_m2 : float or array
        Cross-section of one port [m2]
    count : int
        How many equal ports there are [-]
    ends : str
        "both flanged", "one flanged" or "both free"
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Tuning, inputs broadcast [Hz]

    Validity
    --------
    As `port_length_m`, of which it is the inverse.

    Raises
    ------
    ValueError
        For a negative length, another input that is not above zero, a count below one or unknown ends.

    Examples
    --------
    >>> round(tuned_hz(length_m=0.561, box_m3=0.034, area_m2=0.00785), 1)
    33.0

    References
    ----------
    As `port_length_m`.

    """
    above_zero(box_m3=box_m3, area_m2=area_m2, sound_speed_m_s=sound_speed_m_s)
    not_below_zero(length_m=length_m)
    _require_ports(count)
    acting = np.asarray(length_m) + _end_correction_m(area_m2, ends)
    return plain(np.asarray(sound_speed_m_s) / (2 * math.pi) * np.sqrt(count * np.asarray(area_m2) / (box_m3 * acting)))


def pipe_resonance_hz(
    *,
    length_m: Number,
    area_m2: Number,
    ends: Ends = "one flanged",
    sound_speed_m_s: Number = SOUND_SPEED_20C_M_S,
) -> Number:
    """Lowest frequency at which a port rings as a pipe, half a wave long.

    Formula: f = c / (2 (L + k sqrt(S / pi)))

    Parameters
    ----------
    length_m : float or array
        Length of the port [m]
    area_m2 : float or array
        Cross-section of the port [m2]
    ends : str
        "both flanged", "one flanged" or "both free"
    sound_speed_m_s : float or array
        Speed of sound [m/s]

    Returns
    -------
    Frequency, inputs broadcast [Hz]

    Validity
    --------
    Straight pipe of constant section, open at both ends; a bend lowers it a little.

    Raises
    ------
    ValueError
        For a negative length, another input that is not above zero, or unknown ends.

    Examples
    --------
    >>> round(pipe_resonance_hz(length_m=0.561, area_m2=0.00785), 0)
    271.0

    References
    ----------
    Open pipe, textbook; end corrections as `port_length_m`.

    """
    above_zero(area_m2=area_m2, sound_speed_m_s=sound_speed_m_s)
    not_below_zero(length_m=length_m)
    return plain(np.asarray(sound_speed_m_s) / (2 * (np.asarray(length_m) + _end_correction_m(area_m2, ends))))


def port_velocity_m_s(*, flow_m3_s: Number, area_m2: Number, count: int = 1) -> Number:
    """Velocity of the air in each port.

    Formula: v = U / (n S)

    Parameters
    ----------
    flow_m3_s : float or array
        Volume flow through all ports; a peak gives a peak [m3/s]
    area_m2 : float or array
        Cross-section of one port at its narrowest [m2]
    count : int
        How many equal ports there are [-]

    Returns
    -------
    Velocity, inputs broadcast [m/s]

    Validity
    --------
    Mean over the cross-section.

    Raises
    ------
    ValueError
        For a negative flow, an area that is not above zero, or a count below one.

    Examples
    --------
    >>> round(port_velocity_m_s(flow_m3_s=0.1, area_m2=0.00785), 1)
    12.7

    References
    ----------
    Definition.

    """
    not_below_zero(flow_m3_s=flow_m3_s)
    above_zero(area_m2=area_m2)
    _require_ports(count)
    return plain(np.asarray(flow_m3_s) / (np.asarray(area_m2) * count))


def smallest_port_diameter_m(*, tuned_hz: Number, displacement_m3: Number) -> Number:
    """Diameter below which one round port is likely to be heard when the driver is worked to its limit.

    Formula: d = sqrt(fB VD), d in metres

    Parameters
    ----------
    tuned_hz : float or array
        Frequency the port is tuned to [Hz]
    displacement_m3 : float or array
        Cone area times largest excursion to one side [m3]

    Returns
    -------
    Diameter, inputs broadcast [m]

    Validity
    --------
    A rule of thumb that keeps the air near 5 % of the speed of sound on programme; a port with flared ends bears more.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> round(1000 * smallest_port_diameter_m(tuned_hz=30.0, displacement_m3=4e-4), 1)
    109.5

    References
    ----------
    R. H. Small, "Vented-Box Loudspeaker Systems, Part II: Large-Signal Analysis", JAES 21(6), 1973 (from memory).

    """
    above_zero(tuned_hz=tuned_hz, displacement_m3=displacement_m3)
    return plain(np.sqrt(np.asarray(tuned_hz) * displacement_m3))


def _require_ports(count: int) -> None:
    if count < 1:
        raise ValueError(f"count must be one or more, but is {count}")
