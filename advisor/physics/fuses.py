"""Fuse ratings: which exist, which one suits a load, and which one still protects a cable.

A fuse protects the cable and not the device, so its rating lies between what the load draws all the time and
what the cable may carry. A continuous load may use three quarters of the rating, because a fuse that runs
warm ages.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.guards import Number, above_zero, plain, within

BLADE_RATINGS_A: tuple[float, ...] = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)
"""Blade fuses, ISO 8820-3; quoted from memory."""

BOLT_DOWN_RATINGS_A: tuple[float, ...] = (30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300)
"""Bolt-down strip fuses; common practice."""

STANDARD_RATINGS_A: tuple[float, ...] = tuple(sorted({*BLADE_RATINGS_A, *BOLT_DOWN_RATINGS_A}))

CONTINUOUS_SHARE = 0.75


def next_rating_a(*, current_a: Number) -> Number:
    """Smallest standard rating that is not below a current.

    Formula: look-up in `STANDARD_RATINGS_A`.

    Parameters
    ----------
    current_a : float or array
        Current [A]

    Returns
    -------
    Rating, same shape [A]

    Validity
    --------
    0 to 300 A, 12 V vehicle fuses.

    Raises
    ------
    ValueError
        If the current is not above zero or no standard rating reaches it.

    Examples
    --------
    >>> next_rating_a(current_a=62.0)
    70.0

    References
    ----------
    ISO 8820-3:2015 (blade, from memory); common practice (bolt-down).

    """
    above_zero(current_a=current_a)
    within(0.0, STANDARD_RATINGS_A[-1], current_a=current_a)
    ratings = np.array(STANDARD_RATINGS_A)
    return plain(ratings[np.searchsorted(ratings, current_a, side="left")])


def largest_rating_under_a(*, ampacity_a: Number) -> Number:
    """Largest standard rating that does not exceed what a cable may carry.

    Formula: look-up in `STANDARD_RATINGS_A`.

    Parameters
    ----------
    ampacity_a : float or array
        Current the cable may carry [A]

    Returns
    -------
    Rating, same shape [A]

    Validity
    --------
    Above 300 A the answer stays 300 A, the largest rating listed.

    Raises
    ------
    ValueError
        If the cable may not carry even the smallest rating.

    Examples
    --------
    >>> largest_rating_under_a(ampacity_a=136.0)
    125.0

    References
    ----------
    ISO 8820-3:2015 (blade, from memory); common practice (bolt-down).

    """
    within(STANDARD_RATINGS_A[0], float("inf"), ampacity_a=ampacity_a)
    ratings = np.array(STANDARD_RATINGS_A)
    return plain(ratings[np.searchsorted(ratings, ampacity_a, side="right") - 1])


def continuous_limit_a(*, rating_a: Number) -> Number:
    """Current that a fuse carries all the time without ageing.

    Formula: I = 0.75 In

    Parameters
    ----------
    rating_a : float or array
        Rating of the fuse [A]

    Returns
    -------
    Current, same shape [A]

    Validity
    --------
    25 C around the fuse; where it is warmer the limit is lower.

    Raises
    ------
    ValueError
        If the rating is not above zero.

    Examples
    --------
    >>> continuous_limit_a(rating_a=10.0)
    7.5

    References
    ----------
    Fuse makers' application notes (share of 0.75 at 25 C, read second-hand).

    """
    above_zero(rating_a=rating_a)
    return plain(CONTINUOUS_SHARE * np.asarray(rating_a))


def rating_for_load_a(*, load_a: Number, share: float = CONTINUOUS_SHARE) -> Number:
    """Smallest standard rating that a continuous load uses no more than a given share of.

    Formula: In >= I / share

    Parameters
    ----------
    load_a : float or array
        Continuous current of the load [A]
    share : float
        Share of the rating that may be used all the time, 0.5 to 1; 0.8 is the other common rule (1.25 I)
        [-]

    Returns
    -------
    Rating, same shape [A]

    Validity
    --------
    As `next_rating_a`; inrush is not looked at.

    Raises
    ------
    ValueError
        If the load is not above zero or no standard rating reaches it.

    Examples
    --------
    >>> rating_for_load_a(load_a=7.5)
    10.0
    >>> rating_for_load_a(load_a=5.0, share=0.8)
    7.5

    References
    ----------
    As `continuous_limit_a`.

    """
    above_zero(load_a=load_a)
    within(0.5, 1.0, share=share)
    # A hair less, so that rounding in the division does not ask for the rating above.
    return next_rating_a(current_a=plain(np.asarray(load_a) / share * (1.0 - 1e-12)))
