"""How long a battery lasts: at a current, and parked with everything off but what never sleeps.

A lead battery gives less of its charge the faster it is emptied. Peukert's law describes this above the current
its capacity is stated for. Below that current the law would promise more than was put in; there the capacity
itself is the limit.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.guards import Number, above_zero, plain, within

HOURS_PER_DAY = 24.0


def lasts_h(*, capacity_ah: Number, current_a: Number, exponent: Number = 1.2, rating_h: Number = 20.0) -> Number:
    """Time in which a current empties a full battery, by Peukert's law.

    Formula: t = H [C / (I H)]**k

    Parameters
    ----------
    capacity_ah : float or array
        Capacity when emptied within the rating time [A h]
    current_a : float or array
        Current [A]
    exponent : float or array
        Peukert's exponent: 1.05 (lithium) to 1.4 (old flooded lead), 1.2 is common practice [-]
    rating_h : float or array
        Time the capacity is stated for, 20 h for vehicle batteries [h]

    Returns
    -------
    Time until empty, broadcast over the arguments [h]

    Validity
    --------
    Constant current from the rated one (C/H) to about ten times that, 20 to 27 C. The other form of the law,
    t = C/I**k, is this one with a capacity stated at 1 A; with a 20 h capacity it is wrong.

    Raises
    ------
    ValueError
        If a value is not above zero, or the exponent outside 1 to 1.6.

    Examples
    --------
    >>> lasts_h(capacity_ah=100.0, current_a=10.0)
    8.71

    References
    ----------
    W. Peukert, Elektrotechnische Zeitschrift 20 (1897), in its 20 h form (from memory).

    """
    above_zero(capacity_ah=capacity_ah, current_a=current_a, rating_h=rating_h)
    within(1.0, 1.6, exponent=exponent)
    return plain(rating_h * (np.asarray(capacity_ah) / (np.asarray(current_a) * rating_h)) ** exponent)


def peukert_exponent(*, capacity_ah: Number, current_a: Number, lasts_h: Number, rating_h: Number = 20.0) -> Number:
    """Peukert's exponent from the capacity and one more statement, such as the reserve capacity.

    Formula: k = ln(t/H) / ln[C/(I H)]

    Parameters
    ----------
    capacity_ah : float or array
        Capacity when emptied within the rating time [A h]
    current_a : float or array
        Another current; 25 A for the reserve capacity [A]
    lasts_h : float or array
        How long the battery lasts at it [h]
    rating_h : float or array
        Time the capacity is stated for [h]

    Returns
    -------
    Exponent, broadcast over the arguments [-]

    Validity
    --------
    Both statements at the same temperature and down to the same voltage (10.5 V).

    Raises
    ------
    ValueError
        If a value is not above zero or the current is that of the rating, which tells nothing.

    Examples
    --------
    >>> peukert_exponent(capacity_ah=70.0, current_a=25.0, lasts_h=2.0)
    1.171

    References
    ----------
    Solved from the law in `lasts_h`.

    """
    above_zero(capacity_ah=capacity_ah, current_a=current_a, lasts_h=lasts_h, rating_h=rating_h)
    slower = np.log(np.asarray(capacity_ah) / (np.asarray(current_a) * rating_h))
    if np.any(np.abs(slower) < 1e-9):
        raise ValueError(f"current_a {current_a} is that of the rating, so the exponent cannot be told from it")
    return plain(np.log(np.asarray(lasts_h) / rating_h) / slower)


def parked_days(
    *,
    capacity_ah: Number,
    drain_a: Number,
    usable_share: Number = 0.5,
    exponent: Number = 1.2,
    rating_h: Number = 20.0,
) -> Number:
    """Days a parked vehicle can stand until it may not start.

    Formula: t = share * min{H [C/(I H)]**k, C/I}

    Parameters
    ----------
    capacity_ah : float or array
        Capacity when emptied within the rating time [A h]
    drain_a : float or array
        Current of all that never sleeps, after an hour's rest [A]
    usable_share : float or array
        Share of the charge that may go before starting is at risk, 0 to 1; 0.5 is common practice [-]
    exponent : float or array
        Peukert's exponent [-]
    rating_h : float or array
        Time the capacity is stated for [h]

    Returns
    -------
    Time, broadcast over the arguments [days]

    Validity
    --------
    Full, sound battery at 20 C. Discharge by itself (3 to 5 % a month) is neglected; cold and age take a third or
    more.

    Raises
    ------
    ValueError
        If a value is not above zero, or a share or exponent out of range.

    Examples
    --------
    >>> parked_days(capacity_ah=70.0, drain_a=0.050)
    29.2

    References
    ----------
    Peukert's law where it holds, conservation of charge elsewhere.

    """
    above_zero(drain_a=drain_a, usable_share=usable_share)
    within(0.0, 1.0, usable_share=usable_share)
    by_law = np.asarray(lasts_h(capacity_ah=capacity_ah, current_a=drain_a, exponent=exponent, rating_h=rating_h))
    by_charge = np.asarray(capacity_ah) / drain_a
    return plain(usable_share * np.minimum(by_law, by_charge) / HOURS_PER_DAY)
