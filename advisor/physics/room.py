"""Room that things take: a box with its walls, and devices that stand in one place beside each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

from advisor.physics.guards import Number, above_zero, not_below_zero, plain

Sides = tuple[float, float, float]


def cube_outer_m3(*, inner_m3: Number, wall_m: Number) -> Number:
    """Volume that a box takes at least, walls included: that of a cube.

    Formula: (V^(1/3) + 2 t)^3

    Parameters
    ----------
    inner_m3 : float or array
        Volume inside the walls, driver and port included [m3]
    wall_m : float or array
        Thickness of the walls [m]

    Returns
    -------
    float or array
        Volume outside [m3]

    Validity
    --------
    A lower bound: any other shape with the same walls takes more; bracing is neglected.

    Raises
    ------
    ValueError
        If the volume is not above zero or the wall below zero.

    Examples
    --------
    >>> round(float(cube_outer_m3(inner_m3=0.027, wall_m=0.02)), 6)
    0.039304

    References
    ----------
    Geometry.

    """
    above_zero(inner_m3=inner_m3)
    not_below_zero(wall_m=wall_m)
    return plain((inner_m3 ** (1 / 3) + 2 * wall_m) ** 3)


def row_gap_m(*, space_m: Sides, devices_m: Sequence[Sides]) -> float:
    """Widest even gap around and between devices that stand in a row in one place; below zero they do not go in.

    Formula: (side - sum of lengths along it) / (n + 1), best over the sides of the place and the turns of each device

    Parameters
    ----------
    space_m : three floats
        Sides of the place [m]
    devices_m : list of three floats each
        Sides of each device [m]

    Returns
    -------
    float
        The gap; what crosses the row is asked to fit, without a gap of its own [m]

    Validity
    --------
    Devices are boxes, turned by right angles, in one row; two rows may do better.

    Raises
    ------
    ValueError
        If a side is not above zero, or there is no device.

    Examples
    --------
    >>> round(row_gap_m(space_m=(0.5, 0.3, 0.1), devices_m=[(0.2, 0.2, 0.05), (0.24, 0.15, 0.05)]), 4)
    0.05

    References
    ----------
    Geometry.

    """
    if not devices_m:
        raise ValueError("there must be at least one device")
    for sides in (space_m, *devices_m):
        above_zero(length_m=sides[0], width_m=sides[1], height_m=sides[2])
    gaps = []
    for along in range(3):
        across = [space_m[side] for side in range(3) if side != along]
        lengths = [_shortest(device, across) for device in devices_m]
        gaps.append((space_m[along] - sum(lengths)) / (len(devices_m) + 1))
    return max(gaps)


def _shortest(device: Sides, across: Sequence[float]) -> float:
    """Return the shortest side a device can turn along the row; its longest, and more, where none fits across."""
    turns = [turn[0] for turn in permutations(device) if turn[1] <= across[0] and turn[2] <= across[1]]
    return min(turns, default=2 * max(device) + sum(across))
