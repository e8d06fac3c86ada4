"""Levels in decibels: of voltages against 1 V and 0.775 V, and of several sources or noises together.

A level in dBV or dBu is a voltage; one does not need to know the impedance. Levels of sources that have
nothing to do with each other add by power.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.guards import Number, above_zero, log10, plain, within

DBU_V = float(np.sqrt(0.6))
"""0 dBu: the voltage of 1 mW in 600 ohm."""


def dbv(*, voltage_v: Number) -> Number:
    """Level of a voltage against 1 V.

    Formula: L = 20 log10 V

    Parameters
    ----------
    voltage_v : float or array
        Root-mean-square voltage [V]

    Returns
    -------
    Level, same shape [dBV]

    Validity
    --------
    Any voltage above zero.

    Raises
    ------
    ValueError
        If the voltage is not above zero.

    Examples
    --------
    >>> dbv(voltage_v=2.0)
    6.02

    References
    ----------
    IEC 60027-3, logarithmic quantities.

    """
    above_zero(voltage_v=voltage_v)
    return plain(20.0 * np.log10(voltage_v))


def volts_of_dbv(*, level_dbv: Number) -> Number:
    """Voltage of a level against 1 V.

    Formula: V = 10**(L/20)

    Parameters
    ----------
    level_dbv : float or array
        Level [dBV]

    Returns
    -------
    Root-mean-square voltage, same shape [V]

    Validity
    --------
    -300 to 100 dBV.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> volts_of_dbv(level_dbv=-10.0)
    0.3162

    References
    ----------
    IEC 60027-3, logarithmic quantities.

    """
    within(-300.0, 100.0, level_dbv=level_dbv)
    return plain(10.0 ** (np.asarray(level_dbv) / 20.0))


def dbu(*, voltage_v: Number) -> Number:
    """Level of a voltage against 0.7746 V.

    Formula: L = 20 log10(V / sqrt(0.6))

    Parameters
    ----------
    voltage_v : float or array
        Root-mean-square voltage [V]

    Returns
    -------
    Level, same shape [dBu]

    Validity
    --------
    Any voltage above zero.

    Raises
    ------
    ValueError
        If the voltage is not above zero.

    Examples
    --------
    >>> dbu(voltage_v=1.2277)
    4.00

    References
    ----------
    ITU-R BS.645 (from memory).

    """
    above_zero(voltage_v=voltage_v)
    return plain(20.0 * np.log10(np.asarray(voltage_v) / DBU_V))


def volts_of_dbu(*, level_dbu: Number) -> Number:
    """Voltage of a level against 0.7746 V.

    Formula: V = sqrt(0.6) 10**(L/20)

    Parameters
    ----------
    level_dbu : float or array
        Level [dBu]

    Returns
    -------
    Root-mean-square voltage, same shape [V]

    Validity
    --------
    -300 to 100 dBu.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> volts_of_dbu(level_dbu=4.0)
    1.2277

    References
    ----------
    ITU-R BS.645 (from memory).

    """
    within(-300.0, 100.0, level_dbu=level_dbu)
    return plain(DBU_V * 10.0 ** (np.asarray(level_dbu) / 20.0))


def sum_of_levels_db(*, levels_db: Number, axis: int = -1) -> Number:
    """Level of several unrelated sources together.

    Formula: L = 10 log10(sum of 10**(Li/10))

    Parameters
    ----------
    levels_db : array
        Levels of the sources [dB]
    axis : int
        Axis along which the sources lie

    Returns
    -------
    Level of all together, one dimension fewer [dB]

    Validity
    --------
    Sources without a fixed phase between them. Two equal signals in phase add 6 dB and not 3.

    Raises
    ------
    ValueError
        If there is no level, or one outside -300 to 300 dB.

    Examples
    --------
    >>> sum_of_levels_db(levels_db=np.array([85.0, 85.0]))
    88.01

    References
    ----------
    Handbook rule of addition by power, from memory.

    """
    levels = np.atleast_1d(np.asarray(levels_db, dtype=np.float64))
    if levels.size == 0:
        raise ValueError("levels_db must hold at least one level, but is empty")
    within(-300.0, 300.0, levels_db=levels)
    return plain(10.0 * np.log10(np.sum(10.0 ** (levels / 10.0), axis=axis)))


def noise_distance_at_power_db(*, distance_1w_db: Number, power_w: Number) -> Number:
    """Distance of the noise from a given output, when it is stated against 1 W.

    Formula: S/N = S/N(1 W) + 10 log10 P

    Parameters
    ----------
    distance_1w_db : float or array
        Noise below an output of 1 W [dB]
    power_w : float or array
        The output wanted as reference, often the rated one, broadcast against it [W]

    Returns
    -------
    Noise below that output [dB]

    Validity
    --------
    Noise that does not grow with the output, that is of the analogue stages.

    Raises
    ------
    ValueError
        If the power is not above zero.

    Examples
    --------
    >>> noise_distance_at_power_db(distance_1w_db=80.0, power_w=95.0)
    99.78

    References
    ----------
    Derived from the definition of the level.

    """
    above_zero(power_w=power_w)
    return plain(distance_1w_db + 10.0 * log10(power_w))
