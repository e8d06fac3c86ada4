"""Crossover and protective filters: the families, orders and edges that processors and networks offer.

A filter is a polynomial D(s) with D(0) = 1: the low-pass is 1 / D(s), the high-pass the same with s turned
into 1 / s, at s = j f / edge. Butterworth and Linkwitz-Riley have one edge each: -3 and -6 dB. Bessel filters
are published with three. Here the edge of a Bessel filter is its half-power point ("magnitude"), so that an
edge says how far a way plays in the same terms as Butterworth. Processors that reckon by phase or by delay
show other levels at their edge; `bessel_edge` gives those.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.physics.guards import Number, above_zero, not_below_zero
from advisor.physics.phasors import Phasor, plain_phasor

Family = Literal["butterworth", "linkwitz-riley", "bessel"]
Kind = Literal["high-pass", "low-pass"]
BesselEdge = Literal["magnitude", "phase", "delay"]
HIGHEST_ORDER = 8


def _butterworth(order: int) -> NDArray[np.float64]:
    angle = math.pi / (2 * order)
    rising = [1.0]
    for k in range(1, order // 2 + 1):
        rising.append(rising[-1] * math.cos((k - 1) * angle) / math.sin(k * angle))
    # The second half mirrors the first; copied, it does so to the last bit.
    return np.array(rising + rising[: order + 1 - len(rising)][::-1])


def _bessel(order: int, edge: str) -> NDArray[np.float64]:
    """Return the reverse Bessel polynomial, its frequency scaled to the edge that is asked for."""
    rising = [
        math.factorial(2 * order - k) / (2 ** (order - k) * math.factorial(k) * math.factorial(order - k))
        for k in range(order + 1)
    ]
    delay_one = np.array(rising[::-1]) / rising[0]
    if edge == "delay":
        scale = 1.0
    elif edge == "phase":
        # Far above the edge the phases of low- and high-pass then run as Butterworth's do.
        scale = float(delay_one[0]) ** (-1.0 / order)
    else:
        scale = _half_power(delay_one)
    return np.array([c * scale**power for c, power in zip(delay_one, range(order, -1, -1), strict=True)])


def _half_power(polynomial: NDArray[np.float64]) -> float:
    """Return the frequency at which a monotonic low-pass has fallen to half its power."""
    low, high = 0.5, 8.0
    while high - low > 1e-15 * high:
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if abs(np.polyval(polynomial, 1j * middle)) ** 2 < 2 else (low, middle)
    return 0.5 * (low + high)


@lru_cache(maxsize=None, typed=True)
def polynomial(family: Family, order: int, bessel_edge: BesselEdge = "magnitude") -> NDArray[np.float64]:
    """Denominator of a low-pass with its edge at 1 rad/s.

    Formula: Butterworth a[k] = prod cos((i-1) pi/2n) / sin(i pi/2n); Linkwitz-Riley the square of Butterworth
    of half the order; Bessel a[k] = (2n-k)! / (2^(n-k) k! (n-k)!), scaled in frequency to its edge

    Parameters
    ----------
    family : str
        "butterworth", "linkwitz-riley" or "bessel"
    order : int
        1 to 8; even for Linkwitz-Riley [-]
    bessel_edge : str
        What a Bessel filter's edge means: "magnitude" half power there, "phase" the phase of Butterworth
        there, "delay" a delay of 1 s at low frequencies

    Returns
    -------
    array of order + 1
        Coefficients, highest power first, last one 1; read-only [-]

    Validity
    --------
    Analogue prototypes. A digital filter of the same name departs from it near half its sample rate.

    Raises
    ------
    ValueError
        For an unknown family, an order outside 1 to 8, or an odd order of Linkwitz-Riley.

    Examples
    --------
    >>> polynomial("linkwitz-riley", 4).round(4).tolist()
    [1.0, 2.8284, 4.0, 2.8284, 1.0]

    References
    ----------
    S. Butterworth, "On the Theory of Filter Amplifiers", Experimental Wireless 7, 1930.
    S. H. Linkwitz, "Active Crossover Networks for Noncoincident Drivers", JAES 24(1), 1976.
    W. E. Thomson, "Delay Networks Having Maximally Flat Frequency Characteristics", Proc. IEE 96(III), 1949.

    """
    if not isinstance(order, int) or not 1 <= order <= HIGHEST_ORDER:
        raise ValueError(f"order must be a whole number from 1 to {HIGHEST_ORDER}, but is {order}")
    if bessel_edge not in ("magnitude", "phase", "delay"):
        raise ValueError(f'bessel_edge must be "magnitude", "phase" or "delay", but is "{bessel_edge}"')
    if family == "butterworth":
        found = _butterworth(order)
    elif family == "linkwitz-riley":
        if order % 2:
            raise ValueError(f"a Linkwitz-Riley filter has an even order, but this one is {order}")
        half = _butterworth(order // 2)
        found = np.convolve(half, half)
    elif family == "bessel":
        found = _bessel(order, bessel_edge)
    else:
        raise ValueError(f'family must be "butterworth", "linkwitz-riley" or "bessel", but is "{family}"')
    found.setflags(write=False)
    return found


def response(
    frequency_hz: Number,
    *,
    family: Family,
    order: int,
    edge_hz: float,
    kind: Kind,
    bessel_edge: BesselEdge = "magnitude",
) -> Phasor:
    """Response of one filter.

    Formula: low-pass 1 / D(s), high-pass 1 / D(1/s), s = j f / edge

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    family : str
        "butterworth", "linkwitz-riley" or "bessel"
    order : int
        1 to 8; even for Linkwitz-Riley [-]
    edge_hz : float
        The edge: -3.01 dB there for Butterworth and Bessel, -6.02 dB for Linkwitz-Riley [Hz]
    kind : str
        "high-pass" or "low-pass"
    bessel_edge : str
        What a Bessel filter's edge means; see `polynomial`

    Returns
    -------
    complex or array
        Output over input, shape of the frequencies [-]

    Validity
    --------
    As `polynomial`.

    Raises
    ------
    ValueError
        For a frequency below zero, an edge not above zero, or a filter that does not exist.

    Examples
    --------
    >>> at_edge = response(2800.0, family="linkwitz-riley", order=4, edge_hz=2800.0, kind="high-pass")
    >>> round(20 * math.log10(abs(at_edge)), 2)
    -6.02

    References
    ----------
    As `polynomial`.

    """
    not_below_zero(frequency_hz=frequency_hz)
    above_zero(edge_hz=edge_hz)
    denominator = polynomial(family, order, bessel_edge)
    s = 1j * np.asarray(frequency_hz) / edge_hz
    if kind == "low-pass":
        ratio = 1 / np.polyval(denominator, s)
    elif kind == "high-pass":
        # D(1/s) times s^n, so that 0 Hz divides nothing by zero.
        ratio = s**order / np.polyval(denominator[::-1], s)
    else:
        raise ValueError(f'kind must be "high-pass" or "low-pass", but is "{kind}"')
    return plain_phasor(ratio)


def section_q(family: Family, order: int) -> tuple[float, ...]:
    """Q of the second-order sections a filter is built of.

    Formula: Q = |p| / (2 |Re p|) for each pair of poles p

    Parameters
    ----------
    family : str
        "butterworth", "linkwitz-riley" or "bessel"
    order : int
        1 to 8; even for Linkwitz-Riley [-]

    Returns
    -------
    tuple of float
        Rising; a single pole left over by an odd order is not in it [-]

    Validity
    --------
    Any way of stating the edge: scaling the frequency leaves Q alone.

    Raises
    ------
    ValueError
        For a filter that does not exist.

    Examples
    --------
    >>> [round(q, 4) for q in section_q("butterworth", 4)]
    [0.5412, 1.3066]

    References
    ----------
    As `polynomial`.

    """
    if family == "linkwitz-riley":
        polynomial(family, order)
        half = section_q("butterworth", order // 2)
        # Two equal single poles make one section of Q 1/2.
        return ((0.5,) if (order // 2) % 2 else ()) + tuple(q for q in half for _ in range(2))
    poles = np.roots(polynomial(family, order))
    pairs = poles[poles.imag > 1e-6]
    return tuple(sorted(float(q) for q in np.abs(pairs) / (2 * np.abs(pairs.real))))


def slope_db_per_octave(order: int) -> float:
    """Steepness of a filter far from its edge.

    Formula: 6 dB per octave and order

    Parameters
    ----------
    order : int
        Order of the filter [-]

    Returns
    -------
    float
        Slope in the trade's round figure; the exact one is 6.02 dB per order [dB/octave]

    Validity
    --------
    Two octaves or more beyond the edge.

    Raises
    ------
    ValueError
        For an order below one.

    Examples
    --------
    >>> slope_db_per_octave(4)
    24.0

    References
    ----------
    Common practice.

    """
    if order < 1:
        raise ValueError(f"order must be one or more, but is {order}")
    return 6.0 * order
