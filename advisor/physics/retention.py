"""What holds heavy things in place: the force of a box or an amplifier when the vehicle stops at once.

Two very different demands. While driving, loads are held against less than one g. In a crash they are held against
twenty, and a heavy box that comes loose then kills.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, above_zero, plain

STANDARD_GRAVITY_M_S2 = 9.80665

CRASH_G = 20.0
"""Lower edge of the test corridor of UN R17 (20 to 28 g); quoted from memory, unconfirmed."""

Direction = Literal["forward", "backward", "sideways", "upward"]

DRIVING_G: dict[Direction, float] = {
    "forward": 0.8,
    "backward": 0.5,
    "sideways": 0.5,
    "upward": 0.2,
}
"""What road transport holds a load against while driving; a page prints these without their decimal points."""


def force_n(*, mass_kg: Number, deceleration_g: Number = CRASH_G) -> Number:
    """Force that holds a mass against a deceleration.

    Formula: F = m a, a in multiples of 9.80665 m/s2

    Parameters
    ----------
    mass_kg : float or array
        Mass of the thing held, with all that is in it [kg]
    deceleration_g : float or array
        Deceleration in multiples of gravity [-]

    Returns
    -------
    Force, broadcast over both [N]

    Validity
    --------
    Rigidly held, so without the jerk of a slack strap, which can double it.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> force_n(mass_kg=25.0, deceleration_g=20.0)
    4903.

    References
    ----------
    Newton's second law.

    """
    above_zero(mass_kg=mass_kg, deceleration_g=deceleration_g)
    return plain(np.asarray(mass_kg) * deceleration_g * STANDARD_GRAVITY_M_S2)


def driving_force_n(*, mass_kg: Number, direction: Direction) -> Number:
    """Force that holds a mass in place through hard braking, cornering and bumps, but no crash.

    Formula: F = m a, a from the table of what road transport is held against

    Parameters
    ----------
    mass_kg : float or array
        Mass of the thing held, with all that is in it [kg]
    direction : str
        "forward", "backward", "sideways" or "upward"

    Returns
    -------
    Force, same shape [N]

    Validity
    --------
    Friction is not counted. A load that only withstands this is a missile in a crash: see `force_n`.

    Raises
    ------
    ValueError
        If the mass is not above zero or the direction unknown.

    Examples
    --------
    >>> driving_force_n(mass_kg=25.0, direction="forward")
    196.

    References
    ----------
    Load restraint practice in road transport (0.8 g forward, 0.5 g sideways and backward, 0.2 g upward).

    """
    if direction not in DRIVING_G:
        raise ValueError(f'direction must be one of {", ".join(DRIVING_G)}, but is "{direction}"')
    return force_n(mass_kg=mass_kg, deceleration_g=DRIVING_G[direction])


def mean_deceleration_g(*, speed_m_s: Number, stopping_m: Number) -> Number:
    """Mean deceleration of a vehicle that stops within a distance.

    Formula: a = v**2 / (2 s), in multiples of 9.80665 m/s2

    Parameters
    ----------
    speed_m_s : float or array
        Speed before [m/s]
    stopping_m : float or array
        Way on which it stops: what crumples [m]

    Returns
    -------
    Deceleration in multiples of gravity, broadcast over both [-]

    Validity
    --------
    Mean over the way; the peak is about twice it.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> mean_deceleration_g(speed_m_s=50 / 3.6, stopping_m=0.5)
    19.7

    References
    ----------
    Conservation of energy.

    """
    above_zero(speed_m_s=speed_m_s, stopping_m=stopping_m)
    return plain(np.square(speed_m_s) / (2.0 * np.asarray(stopping_m)) / STANDARD_GRAVITY_M_S2)
