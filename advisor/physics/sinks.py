"""How well an amplifier's case gets rid of heat where it is mounted.

The thermal resistance of a sink is its temperature above the air per watt. A datasheet states it for a sink free
in the air with its fins upright. Where none is stated it is worked out from the outline of the case. Either way
the place takes its toll: air that cannot rise does not cool, and a closed space warms up itself.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.convection import natural_convection_w_m2k, radiation_w_m2k
from advisor.physics.guards import Number, above_zero, not_below_zero, plain, within

Mounting = Literal["free", "vertical", "horizontal", "under a shelf", "boxed in", "carpeted"]

MOUNTING_SHARE: dict[Mounting, float] = {
    "free": 1.0,
    "vertical": 0.95,
    "horizontal": 0.8,
    "under a shelf": 0.65,
    "boxed in": 0.5,
    "carpeted": 0.4,
}
"""Share of its conductance in free air that a sink keeps; common practice, good to a tenth or two.

vertical: on an upright panel, fins upright; horizontal: on a floor, fins up; under a shelf: fins down, or a hand's
width below a seat; boxed in: small closed space; carpeted: lying on, or covered with, cloth.
"""

HOTTEST_SURFACE_C = 300.0


def mounted_k_w(*, free_k_w: Number, mounting: Mounting) -> Number:
    """Thermal resistance of a sink where it is mounted.

    Formula: R = R_free / share

    Parameters
    ----------
    free_k_w : float or array
        Thermal resistance in free air, fins upright [K/W]
    mounting : str
        One of `MOUNTING_SHARE`

    Returns
    -------
    Thermal resistance, same shape [K/W]

    Validity
    --------
    Natural convection. The shares are common practice and not measured.

    Raises
    ------
    ValueError
        If the resistance is not above zero or the mounting unknown.

    Examples
    --------
    >>> mounted_k_w(free_k_w=0.8, mounting="boxed in")
    1.6

    References
    ----------
    Common practice.

    """
    above_zero(free_k_w=free_k_w)
    if mounting not in MOUNTING_SHARE:
        raise ValueError(f'mounting must be one of {", ".join(MOUNTING_SHARE)}, but is "{mounting}"')
    return plain(np.asarray(free_k_w) / MOUNTING_SHARE[mounting])


def case_heat_w(
    *,
    surface_c: Number,
    air_c: Number,
    length_m: Number,
    width_m: Number,
    height_m: Number,
    emissivity: Number = 0.85,
    fin_ratio: Number = 1.0,
) -> tuple[Number, Number]:
    """Heat that the case of an amplifier gives to still air, by convection and by radiation.

    Formula: Qc = n [h_side 2 (l + w) h + h_up l w] (Ts - Ta), Qr = h_r [2 (l + w) h + l w] (Ts - Ta)

    Parameters
    ----------
    surface_c : float or array
        Temperature of the case, the same all over [C]
    air_c : float or array
        Temperature of the air and of what surrounds it [C]
    length_m, width_m, height_m : float or array
        Outline of the case, lying on its largest face [m]
    emissivity : float or array
        0 to 1, see `convection.radiation_w_m2k` [-]
    fin_ratio : float or array
        Surface with fins over that of the outline, 1 to 6 [-]; it counts for convection only

    Returns
    -------
    Heat by convection and heat by radiation [W]

    Validity
    --------
    Base on a surface that takes no heat; four sides and the top free. Fins wide enough apart for air to move.

    Raises
    ------
    ValueError
        If a length is not above zero, the fin ratio outside 1 to 6, or the case colder than the air.

    Examples
    --------
    >>> carried, radiated = case_heat_w(surface_c=60.0, air_c=25.0, length_m=0.3, width_m=0.2, height_m=0.05)
    >>> round(carried, 1), round(radiated, 1)
    (26.6, 23.4)

    References
    ----------
    As the two conductances in `convection`.

    """
    above_zero(length_m=length_m, width_m=width_m, height_m=height_m)
    within(1.0, 6.0, fin_ratio=fin_ratio)
    rise = np.subtract(surface_c, air_c)
    not_below_zero(rise_k=plain(rise))
    length, width, height = np.asarray(length_m), np.asarray(width_m), np.asarray(height_m)
    sides, top = 2.0 * (length + width) * height, length * width
    beside = natural_convection_w_m2k(surface_c=surface_c, air_c=air_c, length_m=height_m)
    above = natural_convection_w_m2k(
        surface_c=surface_c, air_c=air_c, length_m=plain(top / (2.0 * (length + width))), facing="up"
    )
    carried = np.asarray(fin_ratio) * (beside * sides + above * top) * rise
    shone = radiation_w_m2k(surface_c=surface_c, around_c=air_c, emissivity=emissivity)
    return plain(carried), plain(shone * (sides + top) * rise)


def case_surface_c(
    *,
    heat_w: float,
    air_c: float,
    length_m: float,
    width_m: float,
    height_m: float,
    emissivity: float = 0.85,
    fin_ratio: float = 1.0,
    mounting: Mounting = "free",
) -> float:
    """Temperature at which the case of an amplifier gives off all its heat.

    Formula: share (Qc + Qr) = Q, solved by halving the interval

    Parameters
    ----------
    heat_w : float
        Heat to get rid of [W]
    air_c : float
        Temperature of the air [C]
    length_m, width_m, height_m : float
        Outline of the case, lying on its largest face [m]
    emissivity : float
        0 to 1 [-]
    fin_ratio : float
        Surface with fins over that of the outline, 1 to 6 [-]
    mounting : str
        One of `MOUNTING_SHARE`

    Returns
    -------
    Surface temperature in the steady state [C]

    Validity
    --------
    As `case_heat_w`. Conductance grows with the temperature, so twice the heat is less than twice the rise.

    Raises
    ------
    ValueError
        If the case would pass 300 C.

    Examples
    --------
    >>> case_surface_c(heat_w=50.0, air_c=25.0, length_m=0.3, width_m=0.2, height_m=0.05)
    60.0

    References
    ----------
    As `case_heat_w`.

    """
    not_below_zero(heat_w=heat_w)
    share = 1.0 / float(mounted_k_w(free_k_w=1.0, mounting=mounting))

    def given_off(surface_c: float) -> float:
        carried, shone = case_heat_w(
            surface_c=surface_c,
            air_c=air_c,
            length_m=length_m,
            width_m=width_m,
            height_m=height_m,
            emissivity=emissivity,
            fin_ratio=fin_ratio,
        )
        return share * (float(carried) + float(shone))

    low, high = air_c, HOTTEST_SURFACE_C
    if given_off(high) < heat_w:
        raise ValueError(f"heat_w of {heat_w:g} would heat the case above {HOTTEST_SURFACE_C:g} C")
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        low, high = (low, middle) if given_off(middle) >= heat_w else (middle, high)
    return (low + high) / 2.0


def closed_space_k_w(*, wall_m2: Number, wall_w_m2k: Number = 3.0) -> Number:
    """Thermal resistance from the air inside a closed space to the air around it.

    Formula: R = 1 / (U A)

    Parameters
    ----------
    wall_m2 : float or array
        Wall that has the cabin's air on its other side [m2]
    wall_w_m2k : float or array
        Heat through the wall per area and kelvin: bare sheet metal 5, plywood or trim 3, padded 1 [W/(m2 K)]

    Returns
    -------
    Thermal resistance, broadcast over both [K/W]

    Validity
    --------
    No exchange of air. The walls' figures are common practice.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> closed_space_k_w(wall_m2=0.5)
    0.667

    References
    ----------
    Heat through a wall, textbook.

    """
    above_zero(wall_m2=wall_m2, wall_w_m2k=wall_w_m2k)
    return plain(1.0 / (np.asarray(wall_w_m2k) * wall_m2))
