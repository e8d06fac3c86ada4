"""What a capacitor or a second battery beside the amplifiers does to the voltage there while bass is played.

Both lie across the supply. A capacitor gives off charge while the voltage falls and is done when it has fallen; a
battery is a second source with a resistance of its own. The cable before them is a resistance that carries all
the current there is left to carry.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero, plain


def released_j(*, capacity_f: Number, from_v: Number, to_v: Number) -> Number:
    """Energy that a capacitor gives off while its voltage falls.

    Formula: E = C (U1**2 - U2**2) / 2

    Parameters
    ----------
    capacity_f : float or array
        Capacity [F]
    from_v : float or array
        Voltage at the start [V]
    to_v : float or array
        Voltage at the end, not above that [V]

    Returns
    -------
    Energy, broadcast over the arguments [J]; some of it is lost in the capacitor's own resistance

    Validity
    --------
    Constant capacity. What a farad gives off between 13.8 and 12 V feeds a kilowatt for 23 ms.

    Raises
    ------
    ValueError
        If the capacity is not above zero, a voltage below zero, or the voltage rises.

    Examples
    --------
    >>> released_j(capacity_f=1.0, from_v=13.8, to_v=12.0)
    23.22

    References
    ----------
    Energy of a capacitor, textbook.

    """
    above_zero(capacity_f=capacity_f)
    not_below_zero(to_v=to_v, fall_v=plain(np.subtract(from_v, to_v)))
    return plain(np.asarray(capacity_f) * (np.square(from_v) - np.square(to_v)) / 2.0)


def parallel_ohm(*, first_ohm: Number, second_ohm: Number) -> Number:
    """Resistance of two sources of the same voltage that feed one point.

    Formula: R = R1 R2 / (R1 + R2)

    Parameters
    ----------
    first_ohm, second_ohm : float or array
        Resistance of each with its cable [ohm]

    Returns
    -------
    Resistance, broadcast over both [ohm]

    Validity
    --------
    Both at the same voltage without load; a second battery less charged helps less.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> parallel_ohm(first_ohm=0.012, second_ohm=0.006)
    0.004

    References
    ----------
    Kirchhoff's laws.

    """
    above_zero(first_ohm=first_ohm, second_ohm=second_ohm)
    return plain(np.multiply(first_ohm, second_ohm) / np.add(first_ohm, second_ohm))


def with_capacitor_v(
    *,
    time_s: Number,
    source_v: Number,
    source_ohm: Number,
    current_a: Number,
    capacity_f: Number,
    capacitor_ohm: Number,
) -> Number:
    """Voltage at a load some time after it sets in, with a capacitor across it.

    Formula: U = U_end + (U_0 - U_end) exp(-t/T), U_end = Us - R I, U_0 = Us - I R r/(R + r), T = (R + r) C

    Parameters
    ----------
    time_s : float or array
        Time since the load set in [s]
    source_v : float or array
        Voltage of the source without load, to which the capacitor is charged [V]
    source_ohm : float or array
        Resistance R of source and cable, both ways [ohm]
    current_a : float or array
        Current of the load, constant from then on [A]
    capacity_f : float or array
        Capacity C [F]
    capacitor_ohm : float or array
        Resistance r of the capacitor in series, with its leads [ohm]

    Returns
    -------
    Voltage, broadcast over the arguments [V]

    Validity
    --------
    Constant current; an amplifier with a regulated converter draws a little less while the voltage is still up.

    Raises
    ------
    ValueError
        If time or current is below zero, or anything else not above it.

    Examples
    --------
    >>> with_capacitor_v(
    ...     time_s=0.015, source_v=12.4, source_ohm=0.013, current_a=100.0, capacity_f=1.0, capacitor_ohm=0.002
    ... )
    11.51

    References
    ----------
    First-order response of a resistance and a capacitor, textbook.

    """
    above_zero(source_v=source_v, source_ohm=source_ohm, capacity_f=capacity_f, capacitor_ohm=capacitor_ohm)
    not_below_zero(time_s=time_s, current_a=current_a)
    end = np.asarray(source_v) - np.multiply(source_ohm, current_a)
    both = np.asarray(parallel_ohm(first_ohm=source_ohm, second_ohm=capacitor_ohm))
    start = source_v - both * current_a
    constant_s = np.add(source_ohm, capacitor_ohm) * capacity_f
    return plain(end + (start - end) * np.exp(-np.asarray(time_s) / constant_s))


def capacitor_lifts_v(
    *,
    note_s: Number,
    source_ohm: Number,
    current_a: Number,
    capacity_f: Number,
    capacitor_ohm: Number,
) -> Number:
    """How much higher a capacitor holds the voltage on average over a note, against none.

    Formula: dU = I R**2/(R + r) (T/t) [1 - exp(-t/T)], T = (R + r) C

    Parameters
    ----------
    note_s : float or array
        Length t of the note [s]
    source_ohm : float or array
        Resistance R of source and cable, both ways [ohm]
    current_a : float or array
        Current of the load while it lasts [A]
    capacity_f : float or array
        Capacity C [F]
    capacitor_ohm : float or array
        Resistance r of the capacitor in series, with its leads [ohm]

    Returns
    -------
    Voltage gained on average, broadcast over the arguments [V]; at the end of the note hardly any is left

    Validity
    --------
    As `with_capacitor_v`, and a capacitor that is full again before the next note.

    Raises
    ------
    ValueError
        If the current is below zero, or anything else not above it.

    Examples
    --------
    >>> capacitor_lifts_v(note_s=0.1, source_ohm=0.013, current_a=100.0, capacity_f=1.0, capacitor_ohm=0.002)
    0.169

    References
    ----------
    Mean of `with_capacitor_v` over the note, less the voltage without a capacitor.

    """
    above_zero(note_s=note_s, source_ohm=source_ohm, capacity_f=capacity_f, capacitor_ohm=capacitor_ohm)
    not_below_zero(current_a=current_a)
    whole = np.add(source_ohm, capacitor_ohm)
    constant_s = whole * capacity_f
    at_first = np.asarray(current_a) * np.square(source_ohm) / whole
    return plain(at_first * constant_s / note_s * -np.expm1(-np.asarray(note_s) / constant_s))
