"""What every function of physics/ needs at its door: the number types, and refusals in plain sentences.

A quantity may be one float or an array of them. `plain` hands back the kind that came in, so that a
float in gives a float out and not a zero-dimensional array.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Number = float | NDArray[np.float64]


def plain(value: object) -> Number:
    """Return a float for a single number and an array for several.

    >>> plain(np.float64(2.5))
    2.5
    """
    if isinstance(value, float):  # nearly all are, numpy's among them
        return float(value)
    array = np.asarray(value, dtype=np.float64)
    return float(array) if array.ndim == 0 else array


def log10(value: Number) -> Number:
    """Return the common logarithm; for single numbers numpy takes ten times as long.

    >>> log10(1000.0)
    3.0
    """
    return math.log10(value) if isinstance(value, float) else plain(np.log10(value))


def sqrt(value: Number) -> Number:
    """Return the square root of what is not below zero.

    >>> sqrt(9.0)
    3.0
    """
    return math.sqrt(value) if isinstance(value, float) else plain(np.sqrt(value))


def above_zero(**values: Number) -> None:
    """Refuse any named value that is not finite and above zero.

    >>> above_zero(load_ohm=-4.0)
    Traceback (most recent call last):
    ...
    ValueError: load_ohm must be a finite number above zero, but is -4.0
    """
    for name, value in values.items():
        if type(value) is float and 0 < value < math.inf:
            continue  # nearly all are single numbers, and asking numpy takes ten times as long
        if not (np.isfinite(value) & (np.asarray(value) > 0)).all():
            raise ValueError(f"{name} must be a finite number above zero, but is {value}")


def not_below_zero(**values: Number) -> None:
    """Refuse any named value that is not finite, or is below zero.

    >>> not_below_zero(run_m=float("nan"))
    Traceback (most recent call last):
    ...
    ValueError: run_m must be a finite number of zero or more, but is nan
    """
    for name, value in values.items():
        if type(value) is float and 0 <= value < math.inf:
            continue
        if not (np.isfinite(value) & (np.asarray(value) >= 0)).all():
            raise ValueError(f"{name} must be a finite number of zero or more, but is {value}")


def within(low: float, high: float, **values: Number) -> None:
    """Refuse any named value outside low..high, both ends allowed.

    >>> within(0.0, 1.0, efficiency=1.2)
    Traceback (most recent call last):
    ...
    ValueError: efficiency must lie between 0 and 1, but is 1.2
    """
    for name, value in values.items():
        if type(value) is float and low <= value <= high and math.isfinite(value):
            continue
        array = np.asarray(value)
        if not (np.isfinite(array) & (array >= low) & (array <= high)).all():
            raise ValueError(f"{name} must lie between {low:g} and {high:g}, but is {value}")
