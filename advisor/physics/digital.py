"""Digital links: how far the quantisation noise lies below full scale, and what an optical link carries."""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, above_zero, plain, within

SYMBOLS_PER_SAMPLE = 128
"""Two channels of 32 bits, two symbols a bit (biphase mark)."""

SAMPLE_RATES_HZ = (32000.0, 44100.0, 48000.0, 88200.0, 96000.0, 176400.0, 192000.0)

# The first optical parts are stated with 3.1 Mbit/s, which is the data of 48 kHz before it becomes symbols.
RECEIVER_BAUD: dict[Literal["common", "automotive"], float] = {"common": 15e6, "automotive": 125e6}


def quantisation_distance_db(*, bits: Number) -> Number:
    """Distance of the quantisation noise below a full sine.

    Formula: S/N = 20 log10(2**N sqrt(1.5)), about 6.02 N + 1.76 dB

    Parameters
    ----------
    bits : float or array
        Word length [-]

    Returns
    -------
    Distance, same shape [dB]

    Validity
    --------
    Uniform steps, noise over half the sample rate, no dither (which costs 4.8 dB). Every 6 dB that the volume is
    turned down before the converter costs one bit.

    Raises
    ------
    ValueError
        Outside 1 to 64 bits.

    Examples
    --------
    >>> quantisation_distance_db(bits=16)
    98.09

    References
    ----------
    Textbook result for a full-scale sine (from memory).

    """
    within(1, 64, bits=bits)
    return plain(20.0 * np.log10(2.0) * np.asarray(bits) + 10.0 * np.log10(1.5))


def optical_symbol_rate_baud(*, sample_rate_hz: Number) -> Number:
    """Symbols a second that two channels need on the consumer digital interface.

    Formula: B = 128 fs

    Parameters
    ----------
    sample_rate_hz : float or array
        Sample rate [Hz]

    Returns
    -------
    Symbol rate, same shape [Bd]

    Validity
    --------
    Two channels of linear samples, as on an optical or coaxial link.

    Raises
    ------
    ValueError
        If the rate is not above zero.

    Examples
    --------
    >>> optical_symbol_rate_baud(sample_rate_hz=96000.0) / 1e6
    12.288

    References
    ----------
    IEC 60958-1 (frame of 64 bits, biphase mark; from memory).

    """
    above_zero(sample_rate_hz=sample_rate_hz)
    return plain(SYMBOLS_PER_SAMPLE * np.asarray(sample_rate_hz))


def highest_optical_rate_hz(*, receiver: Literal["common", "automotive"] = "common") -> float:
    """Highest standard sample rate that an optical link carries.

    Formula: largest of the standard rates with 128 fs <= limit of the receiver

    Parameters
    ----------
    receiver : str
        "common" (15 Mbit/s) or "automotive" (125 Mbit/s)

    Returns
    -------
    Sample rate [Hz]

    Validity
    --------
    Plastic fibre of up to 10 m, often only 5. Better parts may carry more than their class says.

    Raises
    ------
    ValueError
        If the receiver is unknown.

    Examples
    --------
    >>> highest_optical_rate_hz(receiver="common")
    96000.0

    References
    ----------
    EIAJ RC-5720 as quoted in an encyclopaedia; that its 15 Mbit/s count symbols is inferred.

    """
    if receiver not in RECEIVER_BAUD:
        raise ValueError(f'receiver must be "common" or "automotive", but is "{receiver}"')
    return max(rate for rate in SAMPLE_RATES_HZ if SYMBOLS_PER_SAMPLE * rate <= RECEIVER_BAUD[receiver])
