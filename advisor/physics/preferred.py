"""Preferred values: the steps in which resistors and capacitors are sold.

The two series are older than the formula that nearly gives them: 27 to 47 and 82 differ from rounded powers of ten,
so they are listed and never computed.
"""

from __future__ import annotations

import functools
import math
from bisect import bisect_left
from typing import Literal

from advisor.physics.guards import above_zero

Series = Literal["E12", "E24"]
STEPS: dict[Series, tuple[int, ...]] = {
    "E12": (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82),
    "E24": (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
}
"""IEC 60063:2015."""


@functools.lru_cache(maxsize=64)
def _sold(series: Series, decade: int) -> tuple[float, ...]:
    """What is sold of a decade, up to the first of the next.

    Built from text, as 47 times a power of ten is not always the float nearest to the printed value.
    """
    return tuple([float(f"{step}e{decade}") for step in (*STEPS[series], 100)])


def nearest(*, value: float, series: Series = "E24") -> float:
    """Preferred value nearest to a wanted one, by ratio.

    Formula: the v of the series for which |log(v / wanted)| is least

    Parameters
    ----------
    value : float
        Wanted value, any unit [-]
    series : str
        "E12" or "E24"

    Returns
    -------
    Preferred value in the unit of the wanted one [-]

    Validity
    --------
    Any decade. Above or below of equal ratio, the lower is taken.

    Raises
    ------
    ValueError
        If the value is not above zero or the series unknown.

    Examples
    --------
    >>> nearest(value=3.991), nearest(value=44.26e-6, series="E12")
    (3.9, 4.7e-05)

    References
    ----------
    IEC 60063:2015, Preferred number series for resistors and capacitors.

    """
    above_zero(value=value)
    if series not in STEPS:
        raise ValueError(f'series must be "E12" or "E24", but is "{series}"')
    decade = math.floor(math.log10(value)) - 1
    sold = _sold(series, decade)
    above = min(max(bisect_left(sold, value), 1), len(sold) - 1)
    lower, upper = sold[above - 1], sold[above]
    return lower if value / lower <= upper / value else upper
