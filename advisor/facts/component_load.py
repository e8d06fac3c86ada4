"""What the parts of a passive network have to bear: heat in resistors, voltage on capacitors, current in coils."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from advisor.facts.network import LADDER, part_words
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

PROGRAMME = f"{LADDER}; music as equal power in every octave, more than it has at the top"


@dataclass(frozen=True)
class Borne:
    """One part at the channel's full voltage: its heat with music and with the worst sine, and its peaks."""

    words: str
    element: Any
    music_w: float
    sine_w: float
    peak_a: float
    peak_v: float

    @property
    def is_resistor(self) -> bool:
        """Whether it is there to turn power to heat."""
        return not self.element.inductance_h and bool(self.element.resistance_ohm)

    def __str__(self) -> str:
        if self.is_resistor:
            return f"{self.words}: {self.music_w:.2g} W with music, {self.sine_w:.2g} W with a steady tone"
        peak = f"{self.peak_a:.2g} A" if self.element.inductance_h else f"{self.peak_v:.0f} V"
        return f"{self.words}: {peak} at the peak"


@fact("network", hidden=True, source=PROGRAMME)
def borne(network: View) -> tuple[Borne, ...]:
    """What every part of one side bears at full output of the channel, over the range of hearing."""
    volts, share = float(network.channel.full_output_v), float(network.channel.job.programme_share)
    found: list[Borne] = []
    for driver in network.drivers:
        solved = driver.branch_over_all.at(volts)
        for (wanted, element), amperes, heat in zip(driver.branch, solved.element_a, solved.element_w, strict=True):
            dropped = amperes * abs(element.impedance_ohm(solved.frequency_hz))
            peak_a, peak_v = (math.sqrt(2) * float(values.max()) for values in (amperes, dropped))
            words = f"{driver}: {part_words(wanted, element)}"
            found.append(Borne(words, element, share * float(heat.mean()), float(heat.max()), peak_a, peak_v))
    if not found:
        raise NotDefined("the network makes no edge")
    return tuple(found)


@fact("network", source=PROGRAMME)
def part_loads(network: View) -> tuple[str, ...]:
    """What each part bears at full output: with music, and with a steady tone at the worst frequency."""
    return tuple(str(one) for one in network.borne)


def _resistors(network: View) -> list[Borne]:
    found = [one for one in network.borne if one.is_resistor]
    if not found:
        raise NotDefined("there is no resistor in the network")
    return found


@fact("network", unit="W", source=PROGRAMME)
def resistor_w(network: View) -> float:
    """Heat of the hottest resistor with loud music: the channel's peaks at its full output."""
    return max(one.music_w for one in _resistors(network))


@fact("network", unit="W", source=LADDER)
def resistor_sine_w(network: View) -> float:
    """Heat of the hottest resistor with a steady tone at full output, at the worst frequency."""
    return max(one.sine_w for one in _resistors(network))


@fact("network")
def hottest_resistor(network: View) -> str:
    """Which resistor gets hottest with music."""
    return max(_resistors(network), key=lambda one: one.music_w).words


@fact("network", unit="V", source=LADDER)
def capacitor_v(network: View) -> float:
    """Highest peak voltage on any of its capacitors at full output, at the worst frequency."""
    peaks = [one.peak_v for one in network.borne if one.element.capacitance_f is not None]
    if not peaks:
        raise NotDefined("there is no capacitor in the network")
    return float(max(peaks))
