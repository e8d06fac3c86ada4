"""Air as a coolant: how thick it is, how it conducts, how much heat it carries away.

Dry air near sea level. These are the numbers that natural convection and a fan's airflow need; density is
that of `air`.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.air import ZERO_CELSIUS_K, air_density_kg_m3
from advisor.physics.guards import Number, plain, within

HEAT_CAPACITY_J_KGK = 1006.0
"""At constant pressure; it varies by 0.4 % between -40 and 100 C."""


def viscosity_pa_s(*, temperature_c: Number) -> Number:
    """Dynamic viscosity of air.

    Formula: mu = 1.458e-6 T**1.5 / (T + 110.4), T in kelvin

    Parameters
    ----------
    temperature_c : float or array
        Air temperature [C]

    Returns
    -------
    Viscosity, same shape [Pa s]

    Validity
    --------
    -100 to 500 C, dry air, any pressure near the atmosphere's.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> viscosity_pa_s(temperature_c=15.0) * 1e5
    1.789

    References
    ----------
    U.S. Standard Atmosphere 1976, eq. 51 (from memory).

    """
    within(-100.0, 500.0, temperature_c=temperature_c)
    kelvin = np.add(temperature_c, ZERO_CELSIUS_K)
    return plain(1.458e-6 * kelvin**1.5 / (kelvin + 110.4))


def conductivity_w_mk(*, temperature_c: Number) -> Number:
    """Thermal conductivity of air.

    Formula: k = 2.64638e-3 T**1.5 / (T + 245.4 * 10**(-12/T)), T in kelvin

    Parameters
    ----------
    temperature_c : float or array
        Air temperature [C]

    Returns
    -------
    Conductivity, same shape [W/(m K)]

    Validity
    --------
    -100 to 500 C, dry air.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> conductivity_w_mk(temperature_c=15.0) * 1e3
    25.3

    References
    ----------
    U.S. Standard Atmosphere 1976, eq. 53 (from memory).

    """
    within(-100.0, 500.0, temperature_c=temperature_c)
    kelvin = np.add(temperature_c, ZERO_CELSIUS_K)
    return plain(2.64638e-3 * kelvin**1.5 / (kelvin + 245.4 * 10.0 ** (-12.0 / kelvin)))


def heat_carried_j_m3k(*, temperature_c: Number = 20.0) -> Number:
    """Heat that a volume of air takes up per kelvin.

    Formula: rho cp, cp = 1006 J/(kg K)

    Parameters
    ----------
    temperature_c : float or array
        Temperature at which the volume is counted, usually the fan's [C]

    Returns
    -------
    Heat per volume and kelvin, same shape [J/(m3 K)]

    Validity
    --------
    -100 to 500 C at 101 325 Pa; at 1500 m above the sea it is 17 % less.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> heat_carried_j_m3k(temperature_c=20.0)
    1211.

    References
    ----------
    F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass Transfer, Table A.4 (from memory).

    """
    within(-100.0, 500.0, temperature_c=temperature_c)
    return plain(HEAT_CAPACITY_J_KGK * air_density_kg_m3(temperature_c=temperature_c))
