"""Power and voltage: what an amplifier gives into a load and what it draws for it.

Powers are those of a sine unless a name says otherwise; voltages are root mean square. The crest factor of a
signal is its peak over its root mean square, in decibels: 3.01 for a sine. Music played so that its peaks
just reach those of the rated sine has a mean power below the rated one by the difference of the two crest
factors.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero, plain, sqrt, within

SINE_CREST_DB = 10.0 * np.log10(2.0)


def power_w(*, voltage_v: Number, load_ohm: Number) -> Number:
    """Power that a voltage gives into a load.

    Formula: P = V**2 / R

    Parameters
    ----------
    voltage_v : float or array
        Root-mean-square voltage [V]
    load_ohm : float or array
        Resistance, broadcast against it [ohm]

    Returns
    -------
    Mean power [W]

    Validity
    --------
    Resistive load. A loudspeaker's impedance varies with frequency, so this is its rated power.

    Raises
    ------
    ValueError
        If the voltage is below zero or the load not above it.

    Examples
    --------
    >>> power_w(voltage_v=2.0, load_ohm=4.0)
    1.0

    References
    ----------
    Ohm's law.

    """
    not_below_zero(voltage_v=voltage_v)
    above_zero(load_ohm=load_ohm)
    return plain(np.square(voltage_v) / load_ohm)


def speaker_voltage_v(*, power_w: Number, load_ohm: Number) -> Number:
    """Voltage at the terminals of a load that takes a given power.

    Formula: V = sqrt(P R)

    Parameters
    ----------
    power_w : float or array
        Mean power [W]
    load_ohm : float or array
        Resistance, broadcast against it [ohm]

    Returns
    -------
    Root-mean-square voltage [V]

    Validity
    --------
    As `power_w`.

    Raises
    ------
    ValueError
        If the power is below zero or the load not above it.

    Examples
    --------
    >>> speaker_voltage_v(power_w=50.0, load_ohm=4.0)
    14.14

    References
    ----------
    Ohm's law.

    """
    not_below_zero(power_w=power_w)
    above_zero(load_ohm=load_ohm)
    return sqrt(power_w * load_ohm)


def rail_limited_power_w(*, supply_v: Number, load_ohm: Number, waveform: Literal["sine", "square"] = "sine") -> Number:
    """Most that a bridged output stage without a converter can give from its supply.

    Formula: P = V**2 / (2 R) for a sine, V**2 / R for a square wave

    Parameters
    ----------
    supply_v : float or array
        Direct voltage at the amplifier [V]
    load_ohm : float or array
        Resistance, broadcast against it [ohm]
    waveform : str
        "sine" for undistorted output, "square" for the power printed on the box

    Returns
    -------
    Mean power [W]

    Validity
    --------
    Lossless stage, so a ceiling: real ones lose 1 to 2 V on the way.

    Raises
    ------
    ValueError
        If a value is not above zero or the waveform unknown.

    Examples
    --------
    >>> rail_limited_power_w(supply_v=14.4, load_ohm=4.0)
    25.92

    References
    ----------
    Derived from Ohm's law with a peak equal to the supply.

    """
    above_zero(supply_v=supply_v, load_ohm=load_ohm)
    shares = {"sine": 0.5, "square": 1.0}
    if waveform not in shares:
        raise ValueError(f'waveform must be "sine" or "square", but is "{waveform}"')
    return plain(shares[waveform] * np.square(supply_v) / load_ohm)


def mean_power_share(*, crest_factor_db: Number) -> Number:
    """Mean power of a signal whose peaks just reach those of a sine, as a share of the sine's power.

    Formula: x = 10**((3.01 - CF)/10)

    Parameters
    ----------
    crest_factor_db : float or array
        Crest factor of the signal [dB]

    Returns
    -------
    Share, same shape [-]; above 1 below a sine's crest factor (a square wave, crest factor 0, gives 2)

    Validity
    --------
    Unclipped signal.

    Raises
    ------
    ValueError
        Outside 0 to 60 dB.

    Examples
    --------
    >>> mean_power_share(crest_factor_db=12.0)
    0.126

    References
    ----------
    Derived from the definition of the crest factor.

    """
    within(0.0, 60.0, crest_factor_db=crest_factor_db)
    return plain(10.0 ** ((SINE_CREST_DB - np.asarray(crest_factor_db)) / 10.0))


def crest_factor_db(*, mean_power_share: Number) -> Number:
    """Crest factor of a signal from its mean power as a share of the equally high sine's.

    Formula: CF = 3.01 - 10 log10 x

    Parameters
    ----------
    mean_power_share : float or array
        Mean power over that of the sine with the same peaks [-]

    Returns
    -------
    Crest factor, same shape [dB]

    Validity
    --------
    Shares up to 2 (a square wave).

    Raises
    ------
    ValueError
        If the share is not above zero or exceeds 2.

    Examples
    --------
    >>> crest_factor_db(mean_power_share=1 / 8)
    12.04

    References
    ----------
    Derived from the definition of the crest factor.

    """
    above_zero(mean_power_share=mean_power_share)
    within(0.0, 2.0, mean_power_share=mean_power_share)
    return plain(SINE_CREST_DB - 10.0 * np.log10(mean_power_share))


def current_a(*, power_w: Number, efficiency: Number, supply_v: Number) -> Number:
    """Direct current that an amplifier draws for a given output.

    Formula: I = P / (eta V)

    Parameters
    ----------
    power_w : float or array
        Power into all its loads together [W]
    efficiency : float or array
        Output over input power, 0 to 1 [-]
    supply_v : float or array
        Direct voltage at the amplifier [V]

    Returns
    -------
    Mean current [A]

    Validity
    --------
    Mean over a time long against the signal; peaks come out of capacitors and battery.

    Raises
    ------
    ValueError
        If the power is below zero, the voltage not above it, or the efficiency outside 0 to 1.

    Examples
    --------
    >>> current_a(power_w=400.0, efficiency=0.8, supply_v=12.5)
    40.0

    References
    ----------
    Definition of efficiency.

    """
    not_below_zero(power_w=power_w)
    above_zero(efficiency=efficiency, supply_v=supply_v)
    within(0.0, 1.0, efficiency=efficiency)
    return plain(power_w / efficiency / supply_v)
