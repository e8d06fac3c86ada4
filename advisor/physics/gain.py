"""Gain structure: which stage clips first, how to set the input of an amplifier, and what noise is left at the ear.

A chain of stages is written as two lists in the order of the signal: the gain of each stage, and the most it can
put out. A source is a stage of 0 dB. An input that clips is a stage of 0 dB as well.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.physics.guards import Number, above_zero, log10, not_below_zero, plain, within

SENSITIVITY_V = 2.83
"""Voltage at which the sensitivity of a driver is stated."""


def gain_db(*, output_v: Number, input_v: Number) -> Number:
    """Voltage gain between two points.

    Formula: G = 20 log10(Vout/Vin)

    Parameters
    ----------
    output_v : float or array
        Voltage after [V]
    input_v : float or array
        Voltage before [V]

    Returns
    -------
    Gain, broadcast over both [dB]

    Validity
    --------
    Below clipping.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> gain_db(output_v=20.0, input_v=2.0)
    20.0

    References
    ----------
    IEC 60027-3, logarithmic quantities.

    """
    above_zero(output_v=output_v, input_v=input_v)
    return plain(20.0 * np.log10(np.divide(output_v, input_v)))


def sensitivity_to_set_v(*, source_v: Number, overlap_db: Number = 0.0) -> Number:
    """Input voltage for full output that an amplifier is to be set to.

    Formula: V = Vs * 10**(-overlap/20)

    Parameters
    ----------
    source_v : float or array
        Most that the stage before gives without clipping [V]
    overlap_db : float or array
        How far below that the amplifier shall be full, for recordings that are not full themselves [dB]

    Returns
    -------
    Input voltage for full output, broadcast over both [V]

    Validity
    --------
    With an overlap of 0 both clip together. Each decibel of overlap lets the amplifier clip that much earlier on a
    full recording, and raises its noise by as much.

    Raises
    ------
    ValueError
        If the voltage is not above zero, or the overlap outside 0 to 20 dB.

    Examples
    --------
    >>> sensitivity_to_set_v(source_v=4.0, overlap_db=5.0)
    2.25

    References
    ----------
    Common practice (overlap of 0 to 10 dB).

    """
    above_zero(source_v=source_v)
    within(0.0, 20.0, overlap_db=overlap_db)
    return plain(np.asarray(source_v) * 10.0 ** (-np.asarray(overlap_db) / 20.0))


def _same_length(**lists: Sequence[float]) -> int:
    lengths = {name: len(values) for name, values in lists.items()}
    if len(set(lengths.values())) != 1 or 0 in lengths.values():
        told = " and ".join(f"{name} ({length})" for name, length in lengths.items())
        raise ValueError(f"{told} must name the same stages, at least one")
    return next(iter(lengths.values()))


def clips_at_v(*, gains_db: Sequence[float], limits_v: Sequence[float]) -> NDArray[np.float64]:
    """Voltage at the head of a chain at which each of its stages begins to clip.

    Formula: V_i = limit_i * 10**(-(G_1 + ... + G_i)/20)

    Parameters
    ----------
    gains_db : sequence of float
        Gain of each stage, in the order of the signal [dB]
    limits_v : sequence of float
        Most each stage can put out, root mean square of a sine [V]

    Returns
    -------
    Voltages, same order [V]; the lowest one is of the stage that clips first

    Validity
    --------
    Flat stages. A filter or a boost changes the gain with frequency: take it where it is highest.

    Raises
    ------
    ValueError
        If the lists differ in length or are empty, or a limit is not above zero.

    Examples
    --------
    >>> clips_at_v(gains_db=(0.0, 6.0, 26.0), limits_v=(4.0, 5.0, 20.0)).round(3).tolist()
    [4.0, 2.506, 0.502]

    References
    ----------
    Definition of gain.

    """
    _same_length(gains_db=gains_db, limits_v=limits_v)
    limits = np.asarray(limits_v, dtype=np.float64)
    above_zero(limits_v=limits)
    return np.asarray(limits * 10.0 ** (-np.cumsum(np.asarray(gains_db, dtype=np.float64)) / 20.0))


def output_noise_v(*, gains_db: Sequence[float], noises_v: Sequence[float]) -> float:
    """Noise at the end of a chain.

    Formula: V = sqrt{sum of [n_i * 10**((G_(i+1) + ... + G_n)/20)]**2}

    Parameters
    ----------
    gains_db : sequence of float
        Gain of each stage, in the order of the signal [dB]
    noises_v : sequence of float
        Noise that each stage itself adds, at its own output [V]

    Returns
    -------
    Noise [V]

    Validity
    --------
    Stages whose noises have nothing to do with each other, all over the same band. Hum and alternator whine add by
    voltage and not by power.

    Raises
    ------
    ValueError
        If the lists differ in length or are empty, or a noise is below zero.

    Examples
    --------
    >>> output_noise_v(gains_db=(0.0, 20.0), noises_v=(30e-6, 400e-6)) * 1e6
    500.0

    References
    ----------
    Addition of noise by power, textbook.

    """
    _same_length(gains_db=gains_db, noises_v=noises_v)
    square, after_db = 0.0, 0.0
    for gain, noise in zip(reversed(gains_db), reversed(noises_v), strict=True):
        not_below_zero(noises_v=noise)
        square += (noise * 10.0 ** (after_db / 20.0)) ** 2
        after_db += gain
    return math.sqrt(square)


def noise_at_ear_db(*, noise_v: Number, sensitivity_db: Number, distance_m: Number = 1.0) -> Number:
    """Sound pressure level that a noise voltage makes at the ear.

    Formula: L = S + 20 log10(v/2.83) - 20 log10(d)

    Parameters
    ----------
    noise_v : float or array
        Noise at the terminals of the driver [V]
    sensitivity_db : float or array
        Level of the driver at 2.83 V and 1 m [dB]
    distance_m : float or array
        From driver to ear [m]

    Returns
    -------
    Level, broadcast over the arguments [dB]

    Validity
    --------
    One driver, direct sound, noise inside its passband. A cabin adds a few decibels.

    Raises
    ------
    ValueError
        If voltage or distance is not above zero.

    Examples
    --------
    >>> noise_at_ear_db(noise_v=0.5e-3, sensitivity_db=92.0, distance_m=0.9)
    17.9

    References
    ----------
    Definition of sensitivity; spherical spreading.

    """
    above_zero(noise_v=noise_v, distance_m=distance_m)
    return plain(sensitivity_db + 20.0 * log10(noise_v / SENSITIVITY_V / distance_m))


def evenly_hz(*, low_hz: float, high_hz: float, count: int) -> NDArray[np.float64]:
    """Frequencies that each stand for the same share of a white noise.

    Formula: f = low + i (high - low)/(count - 1)

    Parameters
    ----------
    low_hz, high_hz : float
        Ends of the band [Hz]
    count : int
        How many [-]

    Returns
    -------
    Frequencies from low to high [Hz]

    Validity
    --------
    White noise has the same power in every hertz, so the mean of a power response over these is what passes of it.

    Raises
    ------
    ValueError
        If an end is not above zero.

    Examples
    --------
    >>> evenly_hz(low_hz=1000.0, high_hz=16000.0, count=4).tolist()
    [1000.0, 6000.0, 11000.0, 16000.0]

    References
    ----------
    Definition of white noise.

    """
    above_zero(low_hz=low_hz, high_hz=high_hz)
    return np.linspace(low_hz, high_hz, count)
