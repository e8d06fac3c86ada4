"""Response of a driver in its box: sound pressure over frequency, 1 where the cone's mass rules.

A closed box, and a baffle so large that back and front never meet, give a second-order high-pass; a vented
box a fourth-order one. All are complex: level and phase in one. They hold while the cone is small against the
wavelength and moves as one piece.
"""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero, plain
from advisor.physics.phasors import Phasor, plain_phasor


def _ratio(frequency_hz: Number, reference_hz: float, polynomial: list[float]) -> Phasor:
    """Return s^n over the polynomial of degree n, at s = j f / reference."""
    not_below_zero(frequency_hz=frequency_hz)
    s = 1j * np.asarray(frequency_hz) / reference_hz
    return plain_phasor(s ** (len(polynomial) - 1) / np.polyval(polynomial, s))


def closed_box(
    *, resonance_hz: Number, total_q: Number, compliance_volume_m3: Number, box_m3: Number
) -> tuple[Number, Number]:
    """Resonance and Q of a driver in a closed box.

    Formula: fc / fs = Qtc / Qts = sqrt(1 + Vas / Vb)

    Parameters
    ----------
    resonance_hz : float or array
        Free-air resonance [Hz]
    total_q : float or array
        Total Q in free air, source resistance included [-]
    compliance_volume_m3 : float or array
        Volume of air as stiff as the suspension [m3]
    box_m3 : float or array
        Inner volume of the box, less what driver and bracing take up [m3]

    Returns
    -------
    tuple of float or array
        Resonance [Hz] and Q [-] in the box

    Validity
    --------
    Unfilled box without losses; the change of air load between free air and box is neglected.

    Raises
    ------
    ValueError
        For any input that is not above zero.

    Examples
    --------
    >>> hz, q = closed_box(resonance_hz=30.0, total_q=0.40, compliance_volume_m3=0.060, box_m3=0.02824)
    >>> round(hz, 1), round(q, 3)
    (53.0, 0.707)

    References
    ----------
    R. H. Small, "Closed-Box Loudspeaker Systems, Part I: Analysis", JAES 20(10), 1972.

    """
    above_zero(
        resonance_hz=resonance_hz,
        total_q=total_q,
        compliance_volume_m3=compliance_volume_m3,
        box_m3=box_m3,
    )
    stiffening = np.sqrt(1 + np.asarray(compliance_volume_m3) / box_m3)
    return plain(resonance_hz * stiffening), plain(total_q * stiffening)


def closed_box_volume_m3(*, total_q: Number, compliance_volume_m3: Number, box_q: Number) -> Number:
    """Volume of the closed box that gives a driver a wanted Q.

    Formula: Vb = Vas / [ (Qtc / Qts)² - 1 ]

    Parameters
    ----------
    total_q : float or array
        Total Q in free air [-]
    compliance_volume_m3 : float or array
        Volume of air as stiff as the suspension [m3]
    box_q : float or array
        Wanted Q in the box [-]

    Returns
    -------
    float or array
        Inner volume [m3]

    Validity
    --------
    As `closed_box`, of which it is the inverse.

    Raises
    ------
    ValueError
        For any input that is not above zero, or a wanted Q at or below that in free air: no box lowers Q.

    Examples
    --------
    >>> round(1000 * closed_box_volume_m3(total_q=0.40, compliance_volume_m3=0.060, box_q=0.7071), 2)
    28.24

    References
    ----------
    R. H. Small, "Closed-Box Loudspeaker Systems, Part I: Analysis", JAES 20(10), 1972.

    """
    above_zero(total_q=total_q, compliance_volume_m3=compliance_volume_m3, box_q=box_q)
    if np.any(np.less_equal(box_q, total_q)):
        raise ValueError(f"box_q must be above total_q ({total_q}), as a box only raises Q, but is {box_q}")
    return plain(compliance_volume_m3 / ((np.asarray(box_q) / total_q) ** 2 - 1))


def closed_response(frequency_hz: Number, *, box_resonance_hz: float, box_q: float) -> Phasor:
    """Response of a closed box, or of an infinite baffle with the free-air values.

    Formula: G = s² / (s² + s/Q + 1), s = j f / fc

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    box_resonance_hz : float
        Resonance in the box, or free-air resonance in a baffle [Hz]
    box_q : float
        Q in the box, or total Q in a baffle [-]

    Returns
    -------
    complex or array
        Pressure against that far above resonance, shape of the frequencies [-]

    Validity
    --------
    Constant voltage drive, small signals, coil inductance neglected.

    Raises
    ------
    ValueError
        For a frequency below zero, or a resonance or Q that is not above zero.

    Examples
    --------
    >>> round(20 * math.log10(abs(closed_response(53.0, box_resonance_hz=53.0, box_q=0.7071))), 2)
    -3.01

    References
    ----------
    R. H. Small, "Closed-Box Loudspeaker Systems, Part I: Analysis", JAES 20(10), 1972.

    """
    above_zero(box_resonance_hz=box_resonance_hz, box_q=box_q)
    return _ratio(frequency_hz, box_resonance_hz, [1.0, 1 / box_q, 1.0])


def vented_response(
    frequency_hz: Number,
    *,
    resonance_hz: float,
    total_q: float,
    compliance_volume_m3: float,
    box_m3: float,
    tuned_hz: float,
    leakage_q: float = 7.0,
) -> Phasor:
    """Response of a vented box.

    Formula: G = s⁴ / (s⁴ + a1 s³ + a2 s² + a3 s + 1), s = j f / sqrt(fs fB), h = fB / fs, alpha = Vas / Vb,
    a1 = 1/(sqrt(h) QT) + sqrt(h)/QL, a2 = (alpha + 1 + h²)/h + 1/(QL QT), a3 = sqrt(h)/QT + 1/(sqrt(h) QL)

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    resonance_hz : float
        Free-air resonance of the driver [Hz]
    total_q : float
        Total Q in free air, source resistance included [-]
    compliance_volume_m3 : float
        Volume of air as stiff as the suspension [m3]
    box_m3 : float
        Inner volume of the box, less what driver, bracing and port take up [m3]
    tuned_hz : float
        Frequency the port is tuned to [Hz]
    leakage_q : float
        Q of the box by its leaks; infinite for none, 5 to 10 measured on boxes of 25 to 100 litres [-]

    Returns
    -------
    complex or array
        Pressure of cone, port and leak together, against that far above tuning, shape of the frequencies [-]

    Validity
    --------
    Constant voltage drive, small signals: a port worked hard compresses and loses output. Losses in the port
    and in filling are taken as part of the leak.

    Raises
    ------
    ValueError
        For a frequency below zero, or any other input that is not above zero.

    Examples
    --------
    >>> level = abs(vented_response(30.0, resonance_hz=30.0, total_q=0.4048, compliance_volume_m3=0.060,
    ...                             box_m3=0.05653, tuned_hz=30.0))
    >>> round(20 * math.log10(level), 2)
    -3.01

    References
    ----------
    R. H. Small, "Vented-Box Loudspeaker Systems, Part I: Small-Signal Analysis", JAES 21(5), 1973,
    eq. 22 to 24 (from memory); the coefficients are divided out so that a box without leaks needs no limit.

    """
    above_zero(
        resonance_hz=resonance_hz,
        total_q=total_q,
        compliance_volume_m3=compliance_volume_m3,
        box_m3=box_m3,
        tuned_hz=tuned_hz,
    )
    if not leakage_q > 0:
        raise ValueError(f"leakage_q must be above zero (infinite for no leak), but is {leakage_q}")
    tuning = tuned_hz / resonance_hz
    root = math.sqrt(tuning)
    a1 = 1 / (root * total_q) + root / leakage_q
    a2 = (compliance_volume_m3 / box_m3 + 1 + tuning**2) / tuning + 1 / (leakage_q * total_q)
    a3 = root / total_q + 1 / (root * leakage_q)
    return _ratio(frequency_hz, math.sqrt(resonance_hz * tuned_hz), [1.0, a1, a2, a3, 1.0])
