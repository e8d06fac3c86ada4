"""Passive networks: the parts of a crossover, of impedance compensation and of attenuation, for a resistive load.

A network is designed for a load that is a plain resistance and a source without any. A loudspeaker is not a plain
resistance: `ladder.solve` tells what the same parts do with its real impedance.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from advisor.physics.filters import Family, Kind, polynomial
from advisor.physics.guards import Number, above_zero, plain
from advisor.physics.ladder import Element

HIGHEST_ORDER = 4


@lru_cache(maxsize=None, typed=True)
def prototype(family: Family, order: int) -> tuple[float, ...]:
    """Parts of a low-pass ladder for 1 ohm and an edge at 1 rad/s, from the load back to the source.

    Formula: continued fraction of even(D) / odd(D) or its inverse, whichever has the higher degree on top

    Parameters
    ----------
    family : str
        "butterworth", "linkwitz-riley" or "bessel"
    order : int
        1 to 4 [-]

    Returns
    -------
    Alternately series inductances [H] and shunt capacitances [F], the last one a series inductance

    Validity
    --------
    Source without resistance. The part nearest the load is an inductance for odd orders, a capacitance for even ones.

    Raises
    ------
    ValueError
        For a filter that does not exist, or an order above 4, which nobody builds of passive parts.

    Examples
    --------
    >>> [round(part, 4) for part in prototype("butterworth", 3)]
    [0.5, 1.3333, 1.5]

    References
    ----------
    W. Cauer's ladder development of a reactance; in the books as "singly terminated" filters.

    """
    denominator = polynomial(family, order)
    if order > HIGHEST_ORDER:
        raise ValueError(f"order must be 1 to {HIGHEST_ORDER} for a passive network, but is {order}")
    upper, lower = denominator[0::2], denominator[1::2]
    parts = []
    # Each step takes the pole at infinity off; polynomials hold every second power, so a step leaves one term less.
    while lower.size:
        part = upper[0] / lower[0]
        parts.append(float(part))
        rest = upper - part * np.pad(lower, (0, upper.size - lower.size))
        upper, lower = lower, rest[1:]
    return tuple(parts)


def network(*, family: Family, order: int, edge_hz: float, kind: Kind, load_ohm: float) -> tuple[Element, ...]:
    """Parts of a passive filter for a resistive load.

    Formula: low-pass L = l R / (2 pi f), C = c / (2 pi f R); high-pass C = 1 / (l 2 pi f R), L = R / (c 2 pi f)

    Parameters
    ----------
    family : str
        "butterworth", "linkwitz-riley" or "bessel"
    order : int
        1 to 4 [-]
    edge_hz : float
        The edge, as in `filters.response` [Hz]
    kind : str
        "high-pass" or "low-pass"
    load_ohm : float
        Resistance of the load [ohm]

    Returns
    -------
    Elements from the source to the load, without losses

    Validity
    --------
    Exact for a resistive load and a source without resistance.

    Raises
    ------
    ValueError
        For a filter that does not exist, an order above 4, or an edge or load that is not above zero.

    Examples
    --------
    >>> coil, capacitor = network(family="butterworth", order=2, edge_hz=2500.0, kind="low-pass", load_ohm=4.0)
    >>> round(1000 * coil.inductance_h, 4), round(1e6 * capacitor.capacitance_f, 2)
    (0.3601, 11.25)

    References
    ----------
    As `prototype`.

    """
    above_zero(edge_hz=edge_hz, load_ohm=load_ohm)
    if kind not in ("high-pass", "low-pass"):
        raise ValueError(f'kind must be "high-pass" or "low-pass", but is "{kind}"')
    parts = prototype(family, order)[::-1]
    omega = 2 * math.pi * edge_hz
    elements = []
    for place, part in enumerate(parts):
        if place % 2 == 0 and kind == "low-pass":
            elements.append(Element("series", inductance_h=part * load_ohm / omega))
        elif place % 2 == 0:
            elements.append(Element("series", capacitance_f=1 / (part * omega * load_ohm)))
        elif kind == "low-pass":
            elements.append(Element("shunt", capacitance_f=part / (omega * load_ohm)))
        else:
            elements.append(Element("shunt", inductance_h=load_ohm / (part * omega)))
    return tuple(elements)


def coil_compensation(*, coil_ohm: float, coil_h: float) -> Element:
    """Resistor and capacitor that make a coil with inductance look like a plain resistance.

    Formula: R = Re, C = Le / Re²

    Parameters
    ----------
    coil_ohm : float
        DC resistance of the coil [ohm]
    coil_h : float
        Inductance of the coil [H]

    Returns
    -------
    Element in parallel with the driver

    Validity
    --------
    Exact for a plain inductance, far above the driver's resonance. A real coil's inductance falls as frequency rises;
    a resistor of 1.25 Re is common practice then.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> round(1e6 * coil_compensation(coil_ohm=6.5, coil_h=1.87e-3).capacitance_f, 2)
    44.26

    References
    ----------
    O. J. Zobel, "Theory and Design of Uniform and Composite Electric Wave-Filters", BSTJ 2(1), 1923 (from memory).

    """
    above_zero(coil_ohm=coil_ohm, coil_h=coil_h)
    return Element("shunt", resistance_ohm=coil_ohm, capacitance_f=coil_h / coil_ohm**2)


def pad(*, load_ohm: float, drop_db: float) -> tuple[Element, Element]:
    """Series and shunt resistor of a pad as parts of a ladder, next to the load.

    Formula: as `pad_ohm`

    Parameters
    ----------
    load_ohm : float
        Resistance of the load [ohm]
    drop_db : float
        Attenuation, as a positive number [dB]

    Returns
    -------
    Elements from the source to the load

    Validity
    --------
    As `pad_ohm`.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> [round(part.resistance_ohm, 3) for part in pad(load_ohm=4.0, drop_db=3.0)]
    [1.168, 9.696]

    References
    ----------
    As `pad_ohm`.

    """
    series, shunt = pad_ohm(load_ohm=load_ohm, drop_db=drop_db)
    return Element("series", resistance_ohm=float(series)), Element("shunt", resistance_ohm=float(shunt))


def pad_ohm(*, load_ohm: Number, drop_db: Number) -> tuple[Number, Number]:
    """Two resistors that turn a load down without changing the impedance in front of them.

    Formula: Rs = R (1 - 1/K) in series, Rp = R / (K - 1) across the load, K = 10^(drop/20)

    Parameters
    ----------
    load_ohm : float or array
        Resistance of the load [ohm]
    drop_db : float or array
        Attenuation, as a positive number [dB]

    Returns
    -------
    Series and parallel resistance, inputs broadcast [ohm]

    Validity
    --------
    Resistive load.

    Raises
    ------
    ValueError
        For an input that is not above zero.

    Examples
    --------
    >>> series, parallel = pad_ohm(load_ohm=8.0, drop_db=6.0)
    >>> round(series, 3), round(parallel, 3)
    (3.991, 8.038)

    References
    ----------
    Ohm's law; the arrangement is common practice.

    """
    above_zero(load_ohm=load_ohm, drop_db=drop_db)
    ratio = 10 ** (np.asarray(drop_db) / 20)
    return plain(load_ohm * (1 - 1 / ratio)), plain(load_ohm / (ratio - 1))
