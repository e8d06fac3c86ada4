"""Air coils to wind by hand: turns, wire and former of a coil with the least wire for its inductance.

A coil as wide as its winding is deep, on a bore of twice that, has nearly the most inductance a length of wire can
give; it is what networks are wound as where no ready-made coil is at hand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.physics.guards import above_zero

SQUARE_COIL_H_M = 1.6994e-6
"""Inductance of one turn squared and one metre of mean radius, winding square and mean radius 1.5 times its side."""

COPPER_OHM_M = 1.7241e-8
"""Annealed copper at 20 °C, IEC 60028."""

WIRES_M = tuple(diameter * 1e-3 for diameter in (0.5, 0.56, 0.63, 0.71, 0.8, 0.9, 1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0))
"""Bare diameters of enamelled round wire, IEC 60317 after the R 20 series."""

COVERED = 1.08
"""What enamel adds to the diameter, and hands to the pitch."""


@dataclass(frozen=True)
class Winding:
    """A coil as it is wound: bare wire, turns, side of the square winding, bore, length and resistance of the wire."""

    wire_m: float
    turns: int
    side_m: float
    bore_m: float
    length_m: float
    resistance_ohm: float


def square_coil(*, inductance_h: float, wire_m: float) -> Winding:
    """Coil of an inductance with one wire.

    Formula: L = k a N^2 with a = 1.5 c, c = p sqrt(N), so N = (L / (1.5 k p))^0.4

    Parameters
    ----------
    inductance_h : float
        Inductance wanted [H]
    wire_m : float
        Diameter of the bare wire [m]

    Returns
    -------
    Winding
        Turns to the nearest whole one, all lengths [m], resistance at 20 °C [ohm]

    Validity
    --------
    Turns side by side and layer on layer at 1.08 times the bare diameter; wound by hand it comes out a few per cent
    off, so wind two turns more and take them off by the meter. Skin effect is neglected.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> coil = square_coil(inductance_h=1e-3, wire_m=1e-3)
    >>> coil.turns, round(coil.resistance_ohm, 2)
    (168, 0.49)

    References
    ----------
    H. B. Brooks, Design of standards of inductance, Bureau of Standards Journal of Research 7, 1931 (from memory).

    """
    above_zero(inductance_h=inductance_h, wire_m=wire_m)
    pitch = COVERED * wire_m
    turns = max(1, round((inductance_h / (1.5 * SQUARE_COIL_H_M * pitch)) ** 0.4))
    side = pitch * math.sqrt(turns)
    length = 2 * math.pi * 1.5 * side * turns
    ohm = COPPER_OHM_M * length / (math.pi * wire_m**2 / 4)
    return Winding(wire_m, turns, side, 2 * side, length, ohm)


def coil_with_at_most(*, inductance_h: float, resistance_ohm: float) -> Winding:
    """Coil of an inductance with the thinnest wire that keeps within a resistance.

    Formula: `square_coil` for one wire after the other

    Parameters
    ----------
    inductance_h : float
        Inductance wanted [H]
    resistance_ohm : float
        Most resistance its wire may have [ohm]

    Returns
    -------
    Winding
        The coil, with the thickest wire of the list where none of them keeps within

    Validity
    --------
    As `square_coil`.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> round(1000 * coil_with_at_most(inductance_h=1e-3, resistance_ohm=0.4).wire_m, 2)
    1.25

    References
    ----------
    As `square_coil`.

    """
    above_zero(inductance_h=inductance_h, resistance_ohm=resistance_ohm)
    coils = (square_coil(inductance_h=inductance_h, wire_m=wire) for wire in WIRES_M)
    fitting = (coil for coil in coils if coil.resistance_ohm <= resistance_ohm)
    return next(fitting, square_coil(inductance_h=inductance_h, wire_m=WIRES_M[-1]))
