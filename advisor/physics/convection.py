"""Heat from a warm surface to still air: what rises with the air, and what is radiated.

Both are given as conductances per area. At the temperatures of an amplifier they are about equal, so a polished
or chromed case runs hotter than a black one of the same size.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.air import ZERO_CELSIUS_K, air_density_kg_m3
from advisor.physics.cooling_air import HEAT_CAPACITY_J_KGK, conductivity_w_mk, viscosity_pa_s
from advisor.physics.guards import Number, above_zero, plain, within

Facing = Literal["sideways", "up", "down"]

GRAVITY_M_S2 = 9.80665
STEFAN_BOLTZMANN_W_M2K4 = 5.670374e-8


def natural_convection_w_m2k(
    *, surface_c: Number, air_c: Number, length_m: Number, facing: Facing = "sideways"
) -> Number:
    """Conductance per area from a flat surface to still air by natural convection.

    Formula: h = Nu k/L with all properties at the mean of both temperatures and F = 1 + (0.492/Pr)**(9/16).
    Sideways: Nu = 0.68 + 0.670 Ra**(1/4) / F**(4/9) up to Ra = 1e9, above that
    Nu = [0.825 + 0.387 Ra**(1/6) / F**(8/27)]**2. Up: the larger of 0.54 Ra**(1/4) and 0.15 Ra**(1/3).
    Down: 0.27 Ra**(1/4).

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface [C]
    air_c : float or array
        Temperature of the air [C]
    length_m : float or array
        Height of a surface facing sideways; area over perimeter of one facing up or down [m]
    facing : str
        Where the surface faces: "sideways", "up" or "down"

    Returns
    -------
    Conductance per area, broadcast over the arguments; 0 without a difference for up and down [W/(m2 K)]

    Validity
    --------
    Warm surface in large still space; bare flat surface (in narrow fin gaps less air moves). A surface colder
    than the air is taken by the size of the difference, which is right for sideways and swaps up and down.
    Ra to 1e11; sideways it jumps by a third at 1e9 (a surface 0.77 m high, 30 K warm). The printed limits of Ra
    for up (1e4) and down (1e5) are passed downwards for small surfaces.

    Raises
    ------
    ValueError
        If the length is not above zero, a temperature lies outside -60 to 300 C or the facing is unknown.

    Examples
    --------
    >>> natural_convection_w_m2k(surface_c=60.0, air_c=25.0, length_m=0.05)
    7.11

    References
    ----------
    S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1323, eqs. 8 and 9; F. P. Incropera, D. P.
    DeWitt, Fundamentals of Heat and Mass Transfer, eqs. 9.30 to 9.32 (all from memory).

    """
    above_zero(length_m=length_m)
    within(-60.0, 300.0, surface_c=surface_c, air_c=air_c)
    film_c = plain((np.asarray(surface_c) + air_c) / 2.0)
    conductivity = np.asarray(conductivity_w_mk(temperature_c=film_c))
    viscosity = np.asarray(viscosity_pa_s(temperature_c=film_c))
    density = np.asarray(air_density_kg_m3(temperature_c=film_c))
    prandtl = HEAT_CAPACITY_J_KGK * viscosity / conductivity
    difference = np.abs(np.subtract(surface_c, air_c))
    length = np.asarray(length_m)
    buoyancy = GRAVITY_M_S2 * difference / np.add(film_c, ZERO_CELSIUS_K)
    rayleigh = buoyancy * length**3 * np.square(density / viscosity) * prandtl
    if facing == "sideways":
        spread = 1.0 + (0.492 / prandtl) ** (9.0 / 16.0)
        laminar = 0.68 + 0.670 * rayleigh**0.25 / spread ** (4.0 / 9.0)
        turbulent = np.square(0.825 + 0.387 * rayleigh ** (1.0 / 6.0) / spread ** (8.0 / 27.0))
        nusselt = np.where(rayleigh <= 1e9, laminar, turbulent)
    elif facing == "up":
        nusselt = np.maximum(0.54 * rayleigh**0.25, 0.15 * rayleigh ** (1.0 / 3.0))
    elif facing == "down":
        nusselt = 0.27 * rayleigh**0.25
    else:
        raise ValueError(f'facing must be "sideways", "up" or "down", but is "{facing}"')
    return plain(nusselt * conductivity / length)


def radiation_w_m2k(*, surface_c: Number, around_c: Number, emissivity: Number = 0.85) -> Number:
    """Conductance per area from a surface to what it sees, by radiation.

    Formula: h = eps sigma (T1**2 + T2**2) (T1 + T2), T in kelvin

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface [C]
    around_c : float or array
        Temperature of what surrounds it, usually that of the air [C]
    emissivity : float or array
        0 to 1: black anodised or painted 0.85, bare aluminium 0.1, chrome 0.08 [-]

    Returns
    -------
    Conductance per area, broadcast over the arguments [W/(m2 K)]

    Validity
    --------
    Surroundings large against the surface. Between fins that face each other little is lost: count the outline.

    Raises
    ------
    ValueError
        If the emissivity lies outside 0 to 1, or a temperature outside -60 to 300 C.

    Examples
    --------
    >>> radiation_w_m2k(surface_c=60.0, around_c=25.0)
    6.08

    References
    ----------
    Stefan-Boltzmann law; emissivities are common practice.

    """
    within(0.0, 1.0, emissivity=emissivity)
    within(-60.0, 300.0, surface_c=surface_c, around_c=around_c)
    hot = np.add(surface_c, ZERO_CELSIUS_K)
    cold = np.add(around_c, ZERO_CELSIUS_K)
    return plain(np.asarray(emissivity) * STEFAN_BOLTZMANN_W_M2K4 * (hot**2 + cold**2) * (hot + cold))
