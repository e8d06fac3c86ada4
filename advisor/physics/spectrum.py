"""Rows of frequencies and what is read off them: levels, delays as phase, where one curve passes under another."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.physics.guards import Number, above_zero, plain
from advisor.physics.phasors import Phasor, plain_phasor

Row = NDArray[np.float64]
LEAST = 1e-6


def at_hz(*frequencies_hz: float) -> Row:
    """Return some frequencies as a row.

    >>> at_hz(75.0, 2400.0).tolist()
    [75.0, 2400.0]
    """
    above_zero(frequencies_hz=np.array(frequencies_hz))
    return np.array(frequencies_hz, dtype=np.float64)


def steps_hz(*, low_hz: float, high_hz: float, count: int) -> Row:
    """Return frequencies from low to high in equal steps on the scale of octaves.

    >>> steps_hz(low_hz=20.0, high_hz=80.0, count=3).round(6).tolist()
    [20.0, 40.0, 80.0]
    """
    above_zero(low_hz=low_hz, high_hz=high_hz)
    return _geomspace(low_hz, high_hz, count)


@functools.lru_cache(maxsize=64)
def _geomspace(low_hz: float, high_hz: float, count: int) -> Row:
    row = np.geomspace(low_hz, high_hz, count)
    row.setflags(write=False)  # the same for all who ask
    return row


def around_hz(*, middle_hz: float, octaves: float, count: int) -> Row:
    """Return frequencies so many octaves to either side of a middle, in equal steps of octaves.

    >>> around_hz(middle_hz=100.0, octaves=1.0, count=3).tolist()
    [50.0, 100.0, 200.0]
    """
    above_zero(middle_hz=middle_hz)
    return np.asarray(middle_hz * 2.0 ** np.linspace(-octaves, octaves, count), dtype=np.float64)


def level_db(ratio: Phasor | Number) -> Number:
    """Level of an amplitude ratio, no lower than -120.

    Formula: 20 log10 |ratio|

    >>> round(level_db(0.5), 2)
    -6.02
    """
    if type(ratio) is float:  # numpy takes five times as long for one
        return 20 * math.log10(max(abs(ratio), LEAST))
    return plain(20 * np.log10(np.maximum(np.abs(ratio), LEAST)))


def arriving(on_axis: Phasor, *, levels_db: Sequence[float], aside: Number | None = None) -> NDArray[np.complex128]:
    """Return what arrives of one sound at several places, a row for each.

    `levels_db` are those it arrives at, `aside` what is left of it off its axis, a row for each place.

    >>> arriving(np.array([1.0, 2.0]), levels_db=[0.0, 20.0]).real.tolist()
    [[1.0, 2.0], [10.0, 20.0]]
    """
    gains: Number = np.array([[10 ** (level / 20)] for level in levels_db])
    return np.asarray(on_axis * (gains if aside is None else gains * aside))


def delayed_rows(frequency_hz: Row, *, delays_s: Sequence[float]) -> NDArray[np.complex128]:
    """Turn of phase by several delays, a row for each.

    >>> delayed_rows(np.array([1000.0]), delays_s=[0.0, 0.0005]).real.tolist()
    [[1.0], [-1.0]]
    """
    return np.asarray(np.exp(np.array([[-2j * math.pi * delay] for delay in delays_s]) * frequency_hz))


def lowest_of_mean(rows: Sequence[NDArray[np.complex128]]) -> list[float]:
    """Return the least amplitude in each row of the mean of some tables.

    >>> lowest_of_mean([np.array([[1.0, 3.0]]), np.array([[1.0, -4.0]])])
    [0.5]
    """
    total = rows[0] if len(rows) == 1 else sum(rows[1:], rows[0]) / len(rows)
    return [float(lowest) for lowest in np.abs(total).min(axis=-1)]


def delayed(frequency_hz: Number, *, delay_s: float) -> Phasor:
    """Turn of phase by a delay.

    Formula: exp(-2 pi j f t)

    >>> abs(delayed(1000.0, delay_s=0.0005) + 1) < 1e-12
    True
    """
    return plain_phasor(np.exp(-2j * math.pi * np.asarray(frequency_hz) * delay_s))


def lesser(one: Number, other: Number) -> Number:
    """Return the lesser of two, element by element.

    >>> lesser(np.array([1.0, 5.0]), 3.0).tolist()
    [1.0, 3.0]
    """
    return plain(np.minimum(one, other))


def falls_through_zero_hz(frequency_hz: Row, difference: Row) -> float | None:
    """Frequency nearest the middle of a row at which a difference falls through zero; None where it does not.

    >>> round(falls_through_zero_hz(np.array([50.0, 100.0, 200.0]), np.array([3.0, 1.0, -1.0])), 2)
    141.42
    """
    falls = np.flatnonzero((difference[:-1] >= 0) & (difference[1:] < 0))
    if not falls.size:
        return None
    at = min(falls, key=lambda index: abs(index - frequency_hz.size // 2))
    share = difference[at] / (difference[at] - difference[at + 1])
    return float(frequency_hz[at] * (frequency_hz[at + 1] / frequency_hz[at]) ** share)
