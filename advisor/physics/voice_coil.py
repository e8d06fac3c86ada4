"""Impedance of a driver seen from its terminals: the coil, and what the moving cone gives back through the motor."""

from __future__ import annotations

import math

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero
from advisor.physics.phasors import Phasor, plain_phasor


def impedance_ohm(
    frequency_hz: Number,
    *,
    coil_ohm: float,
    resonance_hz: float,
    electrical_q: float,
    mechanical_q: float,
    coil_h: float = 0.0,
) -> Phasor:
    """Impedance of a driver with one resonance: in a baffle, a door or a closed box.

    Formula: Z = Re + s Le + Re (Qms/Qes) / (1 + j Qms (f/fs - fs/f))

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    coil_ohm : float
        DC resistance of the coil [ohm]
    resonance_hz : float
        Resonance as mounted [Hz]
    electrical_q : float
        Q by the motor at that resonance [-]
    mechanical_q : float
        Q by the losses at that resonance [-]
    coil_h : float
        Inductance of the coil [H]

    Returns
    -------
    complex or array
        Impedance, shape of the frequencies [ohm]

    Validity
    --------
    Small signals; the inductance is taken as one plain inductance, where a real one falls as frequency rises. A
    vented box has two resonances: `driver.vented`.

    Raises
    ------
    ValueError
        For an input that is not above zero, or an inductance below zero.

    Examples
    --------
    >>> at_resonance = impedance_ohm(30.0, coil_ohm=3.3, resonance_hz=30.0, electrical_q=0.5, mechanical_q=5.0)
    >>> round(abs(at_resonance), 1)
    36.3

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972 (from memory).

    """
    above_zero(
        frequency_hz=frequency_hz,
        coil_ohm=coil_ohm,
        resonance_hz=resonance_hz,
        electrical_q=electrical_q,
        mechanical_q=mechanical_q,
    )
    not_below_zero(coil_h=coil_h)
    hz = np.asarray(frequency_hz, dtype=np.float64)
    off_resonance = hz / resonance_hz - resonance_hz / hz
    moving = coil_ohm * (mechanical_q / electrical_q) / (1 + 1j * mechanical_q * off_resonance)
    return plain_phasor(coil_ohm + 2j * math.pi * hz * coil_h + moving)
