"""Ladder networks: what a passive network with a real loudspeaker behind it passes on, asks for and turns to heat.

A ladder is a row of parts between source and load, each either in series with the load or in parallel with it. It is
solved from the load back to the source, one part at a time, at all frequencies at once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.physics.guards import above_zero, not_below_zero

Place = Literal["series", "shunt"]
Spectrum = NDArray[np.complex128]


@dataclass(frozen=True)
class Element:
    """One part of a ladder: resistance, inductance and capacitance in a row, any of them absent.

    An inductor brings its winding resistance along; resistor and capacitor in parallel with the load make one element.

    >>> choke = Element("series", resistance_ohm=0.3, inductance_h=1e-3)
    >>> choke.impedance_ohm(np.array([0.0, 1000.0])).round(3).tolist()
    [(0.3+0j), (0.3+6.283j)]
    """

    place: Place
    resistance_ohm: float = 0.0
    inductance_h: float = 0.0
    capacitance_f: float | None = None

    def __post_init__(self) -> None:
        if self.place not in ("series", "shunt"):
            raise ValueError(f'place must be "series" or "shunt", but is "{self.place}"')
        not_below_zero(resistance_ohm=self.resistance_ohm, inductance_h=self.inductance_h)
        if self.capacitance_f is not None:
            above_zero(capacitance_f=self.capacitance_f)
        elif self.resistance_ohm == 0 and self.inductance_h == 0:
            raise ValueError("an element needs a resistance, an inductance or a capacitance")

    def impedance_ohm(self, frequency_hz: NDArray[np.float64]) -> Spectrum:
        """Impedance at each frequency [ohm]."""
        s = 2j * math.pi * frequency_hz
        impedance = self.resistance_ohm + s * self.inductance_h
        if self.capacitance_f is not None:
            impedance = impedance + 1 / (s * self.capacitance_f)
        return np.asarray(impedance, dtype=np.complex128)


@dataclass(frozen=True)
class Solved:
    """A ladder under a given voltage, at each frequency.

    transfer: voltage at the load over that of the source [-]; input_ohm: impedance the source works into [ohm];
    flows: current in each element for one volt at the load [A]. What the parts bear is worked out when it is asked for.
    """

    frequency_hz: NDArray[np.float64]
    elements: tuple[Element, ...]
    load_ohm: Spectrum
    voltage_v: float
    transfer: Spectrum
    input_ohm: Spectrum
    flows: tuple[Spectrum, ...]

    def at(self, voltage_v: float) -> Solved:
        """Return the same ladder under another voltage."""
        return replace(self, voltage_v=voltage_v)

    @cached_property
    def load_w(self) -> NDArray[np.float64]:
        """Power into the load [W]."""
        return np.asarray(self._load_v**2 * (1 / self.load_ohm).real)

    @cached_property
    def element_a(self) -> NDArray[np.float64]:
        """Root-mean-square current in each element, one row per element [A]."""
        volts = self._load_v
        currents = [volts * np.abs(flow) for flow in self.flows]
        return np.array(currents).reshape(len(self.elements), self.frequency_hz.size)

    @cached_property
    def element_w(self) -> NDArray[np.float64]:
        """Power turned to heat in each element [W]."""
        resistances = np.array([part.resistance_ohm for part in self.elements]).reshape(len(self.elements), 1)
        return np.asarray(self.element_a**2 * resistances)

    @property
    def _load_v(self) -> NDArray[np.float64]:
        return np.abs(self.voltage_v * self.transfer)


def solve(
    frequency_hz: NDArray[np.float64],
    *,
    elements: Sequence[Element],
    load_ohm: Spectrum | complex,
    source_ohm: float = 0.0,
    voltage_v: float = 1.0,
) -> Solved:
    """Solve a ladder over frequency.

    Formula: from load to source, a series element Z adds I Z to the voltage, a shunt element V / Z to the current

    Parameters
    ----------
    frequency_hz : array
        Frequencies [Hz]
    elements : sequence of Element
        From the source to the load; none for a bare cable
    load_ohm : complex or array
        Impedance of the load, one value or one per frequency [ohm]
    source_ohm : float
        Resistance between the source's voltage and the first element [ohm]
    voltage_v : float
        Root-mean-square voltage of the source; powers go with its square [V]

    Returns
    -------
    Solved, arrays of the length of the frequencies

    Validity
    --------
    Linear parts that do not couple: inductors stand apart and at right angles.

    Raises
    ------
    ValueError
        For a frequency or voltage that is not above zero, a negative source resistance, a load of zero, or a
        shunt element without resistance that is a short circuit at one of the frequencies.

    Examples
    --------
    >>> low = [Element("series", inductance_h=2.251e-1 * 4 / 2500), Element("shunt", capacitance_f=1.125e-1 / 4 / 2500)]
    >>> at_edge = solve(np.array([2500.0]), elements=low, load_ohm=4.0)
    >>> (20 * np.log10(np.abs(at_edge.transfer))).round(2).tolist()
    [-3.01]

    References
    ----------
    Kirchhoff's laws.

    """
    above_zero(frequency_hz=frequency_hz, voltage_v=voltage_v)
    not_below_zero(source_ohm=source_ohm)
    hz = np.atleast_1d(np.asarray(frequency_hz, dtype=np.float64))
    load = np.asarray(load_ohm, dtype=np.complex128)
    if load.shape != hz.shape:
        load = np.broadcast_to(load, hz.shape)
    if not load.all():
        raise ValueError("a load of zero ohm is a short circuit")
    # Start from one volt at the load; what the source must give for that sets the scale at the end.
    voltage: Spectrum = np.ones_like(load)
    current = voltage / load
    flows: list[Spectrum] = []
    for element in reversed(elements):
        impedance = element.impedance_ohm(hz)
        if element.place == "series":
            flows.append(current)
            voltage = voltage + current * impedance
        elif not impedance.all():
            raise ValueError(f"{element} is a short circuit at one of the frequencies")
        else:
            flows.append(voltage / impedance)
            current = current + flows[-1]
    input_ohm = voltage / current
    transfer = 1 / (voltage + current * source_ohm)
    return Solved(hz, tuple(elements), load, voltage_v, transfer, input_ohm, tuple(reversed(flows)))
