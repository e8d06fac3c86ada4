"""Edges of a band: the frequencies at which a response has fallen by a given amount below its passband.

A response is any function from frequencies to complex or real amplitudes, 1 in its passband. Ripple and dips
mean that a level may be crossed more than once; the edge is where a listener going down (or up) from the far
end of the band first loses the given amount.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

STEPS_PER_OCTAVE = 48
RELATIVE_WIDTH = 1e-9
NARROWING_STEPS = 256


@cache
def _grid(low_hz: float, high_hz: float) -> NDArray[np.float64]:
    steps = int(np.ceil(STEPS_PER_OCTAVE * np.log2(high_hz / low_hz))) + 1
    grid = np.geomspace(low_hz, high_hz, steps)
    grid.setflags(write=False)
    return grid


def _crossing_hz(
    response: Callable[[NDArray[np.float64]], Any],
    drop_db: float,
    low_hz: float,
    high_hz: float,
    *,
    upper: bool,
) -> float:
    """Find the first fall through the level, searching up if `upper` and down if not."""
    if not drop_db > 0:
        raise ValueError(f"drop_db must be above zero, but is {drop_db}")
    if not 0 < low_hz < high_hz < np.inf:
        raise ValueError(f"the search needs 0 < low_hz < high_hz, but was given {low_hz} to {high_hz}")
    threshold = 10 ** (-drop_db / 20)
    searched = _grid(low_hz, high_hz)
    # Each pass keeps the one interval with the crossing and cuts it in 256: bisection, in few array calls.
    while True:
        above = np.abs(np.asarray(response(searched))) >= threshold
        falls = above[:-1] & ~above[1:] if upper else ~above[:-1] & above[1:]
        found = np.flatnonzero(falls)
        if found.size == 0:
            raise ValueError(
                f"the response does not fall through -{drop_db:g} dB between {low_hz:g} and {high_hz:g} Hz"
            )
        at = found[0] if upper else found[-1]
        left, right = float(searched[at]), float(searched[at + 1])
        if right - left <= RELATIVE_WIDTH * left:
            return 0.5 * (left + right)
        searched = np.linspace(left, right, NARROWING_STEPS + 1)


def lower_edge_hz(
    response: Callable[[NDArray[np.float64]], Any],
    *,
    drop_db: float,
    low_hz: float = 2.0,
    high_hz: float = 20000.0,
) -> float:
    """Frequency below which a response is a given amount under its passband.

    Formula: 20 log10 |G(f)| = -drop, the highest f at which the level falls through it going down

    Parameters
    ----------
    response : callable
        Array of frequencies [Hz] to array of amplitudes, 1 in the passband [-]
    drop_db : float
        How far the level has fallen, as a positive number [dB]
    low_hz : float
        Lower end of the search [Hz]
    high_hz : float
        Upper end of the search [Hz]

    Returns
    -------
    float
        The edge, to one part in 10⁹ [Hz]

    Validity
    --------
    Levels are looked at 48 times an octave: a dip narrower than that may be missed. A vented box may rise
    above the level again further down; that island is left out. Where the top of the search is itself below
    the level (a band-pass), the search first climbs into the band.

    Raises
    ------
    ValueError
        If the level is never crossed, the drop is not above zero, or the search interval is empty.

    Examples
    --------
    >>> second_order = lambda hz: 1 / (1 - (50 / hz) ** 2 - 1.41421356j * (50 / hz))
    >>> round(lower_edge_hz(second_order, drop_db=3.0103), 2)
    50.0

    References
    ----------
    Definition.

    """
    return _crossing_hz(response, drop_db, low_hz, high_hz, upper=False)


def upper_edge_hz(
    response: Callable[[NDArray[np.float64]], Any],
    *,
    drop_db: float,
    low_hz: float = 2.0,
    high_hz: float = 20000.0,
) -> float:
    """Frequency above which a response is a given amount under its passband.

    Formula: 20 log10 |G(f)| = -drop, the lowest f at which the level falls through it going up

    Parameters
    ----------
    response : callable
        Array of frequencies [Hz] to array of amplitudes, 1 in the passband [-]
    drop_db : float
        How far the level has fallen, as a positive number [dB]
    low_hz : float
        Lower end of the search [Hz]
    high_hz : float
        Upper end of the search [Hz]

    Returns
    -------
    float
        The edge, to one part in 10⁹ [Hz]

    Validity
    --------
    As `lower_edge_hz`, seen from the other end.

    Raises
    ------
    ValueError
        If the level is never crossed, the drop is not above zero, or the search interval is empty.

    Examples
    --------
    >>> round(upper_edge_hz(lambda hz: 1 / (1 + 1j * hz / 3000), drop_db=3.0103), 0)
    3000.0

    References
    ----------
    Definition.

    """
    return _crossing_hz(response, drop_db, low_hz, high_hz, upper=True)
