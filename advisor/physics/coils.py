"""Loads joined together: coils and drivers in series and parallel, and what a rated impedance promises."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

import numpy as np

from advisor.physics.guards import Number, above_zero, plain

RATED_SHARE = 0.8


def combine_ohm(*, each_ohm: Number, count: int, joined: Literal["series", "parallel"]) -> Number:
    """Impedance of equal coils or drivers joined together.

    Formula: n Z in series, Z / n in parallel

    Parameters
    ----------
    each_ohm : float or array
        Impedance of one of them [ohm]
    count : int
        How many there are [-]
    joined : str
        "series" or "parallel"

    Returns
    -------
    float or array
        Impedance of all together [ohm]

    Validity
    --------
    Equal loads; drivers that share one box, or coils that share one gap, are equal by symmetry.

    Raises
    ------
    ValueError
        For an impedance that is not above zero, a count below one, or another way of joining.

    Examples
    --------
    >>> combine_ohm(each_ohm=4.0, count=2, joined="parallel")
    2.0

    References
    ----------
    Ohm's law.

    """
    above_zero(each_ohm=each_ohm)
    if count < 1:
        raise ValueError(f"count must be one or more, but is {count}")
    if joined == "series":
        return plain(np.multiply(each_ohm, count))
    if joined == "parallel":
        return plain(np.divide(each_ohm, count))
    raise ValueError(f'joined must be "series" or "parallel", but is "{joined}"')


def parallel_ohm(loads: Iterable[Any]) -> Any:
    """Impedance of any loads in parallel.

    Formula: 1 / Z = sum of 1 / Zi

    Parameters
    ----------
    loads : iterable of float, complex or array
        The impedances; arrays over frequency broadcast [ohm]

    Returns
    -------
    float, complex or array
        Impedance of all together, of the kind that went in [ohm]

    Validity
    --------
    Linear loads on one source.

    Raises
    ------
    ValueError
        For no loads at all, or one of zero (a short circuit).

    Examples
    --------
    >>> round(parallel_ohm([4.0, 4.0, 2.0]), 3)
    1.0

    References
    ----------
    Ohm's law.

    """
    listed = list(loads)
    if not listed:
        raise ValueError("parallel_ohm needs at least one load")
    if any(np.any(np.equal(load, 0)) for load in listed):
        raise ValueError("a load of zero ohm is a short circuit")
    return 1 / sum(1 / load for load in listed)


def rated_minimum_ohm(*, rated_ohm: Number) -> Number:
    """Lowest impedance that a loudspeaker of a rated impedance may show at any frequency.

    Formula: Zmin = 0.8 Zrated

    Parameters
    ----------
    rated_ohm : float or array
        Rated impedance [ohm]

    Returns
    -------
    float or array
        Lowest modulus of the impedance at any frequency, DC included [ohm]

    Validity
    --------
    What the standard asks of a maker. Not all datasheets keep to it.

    Raises
    ------
    ValueError
        For an impedance that is not above zero.

    Examples
    --------
    >>> round(rated_minimum_ohm(rated_ohm=4.0), 1)
    3.2

    References
    ----------
    IEC 60268-3 and IEC 60268-5, rated impedance (read in a digest of them).

    """
    above_zero(rated_ohm=rated_ohm)
    return plain(np.multiply(RATED_SHARE, rated_ohm))
