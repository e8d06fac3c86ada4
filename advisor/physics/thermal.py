"""Temperatures: through a chain of thermal resistances, in the steady state and on the way there, and with a fan.

Heat flows through thermal resistances as current through ohms; a case stores heat as a capacitor stores charge.
So a sink warms along an exponential, and how long it lasts before it cuts out follows from where it would end up.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from advisor.physics.cooling_air import heat_carried_j_m3k
from advisor.physics.guards import Number, above_zero, not_below_zero, plain


def chain_c(*, heat_w: float, resistances_k_w: Sequence[float], ambient_c: float) -> tuple[float, ...]:
    """Temperatures along a chain of thermal resistances that carries heat to the air.

    Formula: T_i = Ta + Q (R_i + R_(i+1) + ... + R_n)

    Parameters
    ----------
    heat_w : float
        Heat at the inner end [W]
    resistances_k_w : sequence of float
        Resistances from the inside out, such as chip to case, case to sink, sink to air [K/W]
    ambient_c : float
        Temperature of the air [C]

    Returns
    -------
    Temperature on the inner side of each resistance, same order [C]

    Validity
    --------
    Steady state, one path for the heat.

    Raises
    ------
    ValueError
        If heat or a resistance is below zero, or there is no resistance.

    Examples
    --------
    >>> chain_c(heat_w=5.0, resistances_k_w=(3.0, 1.0, 8.0), ambient_c=25.0)
    (85.0, 70.0, 65.0)

    References
    ----------
    Thermal equivalent of Ohm's law, textbook.

    """
    not_below_zero(heat_w=heat_w, resistances_k_w=np.asarray(resistances_k_w, dtype=np.float64))
    if not resistances_k_w:
        raise ValueError("resistances_k_w must hold at least one resistance, but is empty")
    outwards = np.cumsum(np.asarray(resistances_k_w, dtype=np.float64)[::-1])[::-1]
    return tuple(float(temperature) for temperature in ambient_c + heat_w * outwards)


def steady_c(*, heat_w: Number, k_per_w: Number, ambient_c: Number) -> Number:
    """Temperature a sink ends up at.

    Formula: T = Ta + Q R

    Parameters
    ----------
    heat_w : float or array
        Heat [W]
    k_per_w : float or array
        Thermal resistance from sink to air [K/W]
    ambient_c : float or array
        Temperature of the air [C]

    Returns
    -------
    Temperature, broadcast over the arguments [C]

    Validity
    --------
    Constant thermal resistance; real ones fall as the sink gets hotter.

    Raises
    ------
    ValueError
        If the heat is below zero or the resistance not above it.

    Examples
    --------
    >>> steady_c(heat_w=60.0, k_per_w=0.8, ambient_c=35.0)
    83.0

    References
    ----------
    Thermal equivalent of Ohm's law, textbook.

    """
    not_below_zero(heat_w=heat_w)
    above_zero(k_per_w=k_per_w)
    return plain(ambient_c + heat_w * k_per_w)


def warming_c(
    *, time_s: Number, start_c: Number, heat_w: Number, k_per_w: Number, heat_j_k: Number, ambient_c: Number
) -> Number:
    """Temperature of a sink some time after the heat sets in.

    Formula: T = T_end + (T_start - T_end) exp(-t/(R C))

    Parameters
    ----------
    time_s : float or array
        Time since then [s]
    start_c : float or array
        Temperature at the start [C]
    heat_w : float or array
        Heat, constant [W]
    k_per_w : float or array
        Thermal resistance from sink to air [K/W]
    heat_j_k : float or array
        Heat the sink stores per kelvin: 900 J per kg of aluminium [J/K]
    ambient_c : float or array
        Temperature of the air [C]

    Returns
    -------
    Temperature, broadcast over the arguments [C]

    Validity
    --------
    The sink is equally warm all over and its resistance constant.

    Raises
    ------
    ValueError
        If time or heat is below zero, or resistance or storage not above it.

    Examples
    --------
    >>> warming_c(time_s=1440.0, start_c=35.0, heat_w=60.0, k_per_w=0.8, heat_j_k=1800.0, ambient_c=35.0)
    65.3

    References
    ----------
    First-order response, textbook.

    """
    not_below_zero(time_s=time_s)
    above_zero(heat_j_k=heat_j_k)
    end = np.asarray(steady_c(heat_w=heat_w, k_per_w=k_per_w, ambient_c=ambient_c))
    return plain(end + (start_c - end) * np.exp(-np.asarray(time_s) / np.multiply(k_per_w, heat_j_k)))


def time_to_reach_s(
    *, limit_c: Number, start_c: Number, heat_w: Number, k_per_w: Number, heat_j_k: Number, ambient_c: Number
) -> Number:
    """Time until a warming sink reaches a temperature, such as that at which the amplifier cuts out.

    Formula: t = R C ln[(T_end - T_start)/(T_end - T_limit)]

    Parameters
    ----------
    limit_c : float or array
        Temperature to be reached [C]
    start_c : float or array
        Temperature at the start [C]
    heat_w : float or array
        Heat, constant [W]
    k_per_w : float or array
        Thermal resistance from sink to air [K/W]
    heat_j_k : float or array
        Heat the sink stores per kelvin [J/K]
    ambient_c : float or array
        Temperature of the air [C]

    Returns
    -------
    Time [s]; infinite where it never gets there, 0 where it starts there or above

    Validity
    --------
    As `warming_c`.

    Raises
    ------
    ValueError
        If heat is below zero, or resistance or storage not above it.

    Examples
    --------
    >>> time_to_reach_s(
    ...     limit_c=80.0, start_c=35.0, heat_w=60.0, k_per_w=0.8, heat_j_k=1800.0, ambient_c=35.0
    ... ) / 60
    66.5

    References
    ----------
    First-order response, textbook.

    """
    above_zero(heat_j_k=heat_j_k)
    end = np.asarray(steady_c(heat_w=heat_w, k_per_w=k_per_w, ambient_c=ambient_c))
    limit, start = np.broadcast_arrays(np.asarray(limit_c, dtype=np.float64), start_c)
    reaches = end > limit
    left = np.where(reaches, end - limit, 1.0)
    ratio = np.maximum(np.where(reaches, end - start, 1.0) / left, 1.0)
    time = np.multiply(k_per_w, heat_j_k) * np.log(ratio)
    return plain(np.where(start >= limit, 0.0, np.where(reaches, time, np.inf)))


def airflow_m3_s(*, heat_w: Number, rise_k: Number, intake_c: Number = 20.0) -> Number:
    """Air that a fan must move to carry heat away.

    Formula: V = Q / (rho cp dT)

    Parameters
    ----------
    heat_w : float or array
        Heat [W]
    rise_k : float or array
        Allowed rise of the air from intake to outlet [K]
    intake_c : float or array
        Temperature at which the volume is counted [C]

    Returns
    -------
    Airflow, broadcast over the arguments [m3/s]; times 3600 in m3/h, times 2119 in cubic feet per minute

    Validity
    --------
    All the heat goes into this air, near sea level. The flow is that in place: grilles and ducts halve a fan's
    rated one. The sink stays warmer than the air by its own resistance.

    Raises
    ------
    ValueError
        If the heat is below zero or the rise not above it.

    Examples
    --------
    >>> airflow_m3_s(heat_w=100.0, rise_k=35.0) * 2118.88
    5.00

    References
    ----------
    Conservation of energy.

    """
    not_below_zero(heat_w=heat_w)
    above_zero(rise_k=rise_k)
    return plain(np.asarray(heat_w) / (np.asarray(heat_carried_j_m3k(temperature_c=intake_c)) * rise_k))


def air_rise_k(*, heat_w: Number, airflow_m3_s: Number, intake_c: Number = 20.0) -> Number:
    """How much the air that a fan moves through a space warms up.

    Formula: dT = Q / (rho cp V)

    Parameters
    ----------
    heat_w : float or array
        Heat [W]
    airflow_m3_s : float or array
        Airflow in place [m3/s]
    intake_c : float or array
        Temperature at which the volume is counted [C]

    Returns
    -------
    Rise from intake to outlet, broadcast over the arguments [K]

    Validity
    --------
    As `airflow_m3_s`.

    Raises
    ------
    ValueError
        If the heat is below zero or the airflow not above it.

    Examples
    --------
    >>> air_rise_k(heat_w=100.0, airflow_m3_s=0.01)
    8.26

    References
    ----------
    Conservation of energy.

    """
    not_below_zero(heat_w=heat_w)
    above_zero(airflow_m3_s=airflow_m3_s)
    return plain(heat_w / (heat_carried_j_m3k(temperature_c=intake_c) * airflow_m3_s))
