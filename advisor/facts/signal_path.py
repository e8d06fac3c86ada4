"""The way of the signal: how often it is turned into numbers, whether it joins two grounds, how far ways lie apart."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.gain import ANALOGUE
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

AHEAD = ("front", "low")
LONGEST = 12
"""Devices in a row; more is a circle, which the chain refuses."""


@fact("amplifier")
def turned_by(amplifier: View) -> tuple[str, ...]:
    """Devices on its way that turn a voltage into numbers, from it back to the source."""
    devices = {str(one): one for one in (*amplifier.job.interfaces, *amplifier.job.processors)}
    found: list[str] = []
    here, goes_on_digitally = amplifier, False
    for _ in range(LONGEST):
        if not here.links:
            break
        link = here.links[0]
        comes_digitally = link.kind not in ANALOGUE
        works_in_numbers = here.subject_.kind == "processor" or goes_on_digitally
        if works_in_numbers and not comes_digitally:
            found.append(str(here))
        if link.sender not in devices:
            break
        here, goes_on_digitally = devices[link.sender], comes_digitally
    return tuple(found)


@fact("amplifier")
def conversions(amplifier: View) -> int:
    """How often its signal is turned into numbers and back after it left the source."""
    if not amplifier.links:
        raise Missing(f"{amplifier}: from", amplifier.place_, "say what feeds it: from")
    return len(amplifier.turned_by)


@fact("link")
def joins_two_grounds(link: View) -> bool:
    """Whether it is a line lead, unbalanced, between devices that are grounded on the body far apart."""
    if link.kind != "line" or not link.has_("take") or link.take.balanced:
        return False
    return bool(link.ends_apart and "body" in [supply.comes_back_by for supply in link.job.supplies])


@fact("link")
def ends_apart(link: View) -> bool:
    """Whether one end lies before the listeners and the other behind them."""
    devices = (*link.job.sources, *link.job.interfaces, *link.job.processors, *link.job.amplifiers)
    ends = [one for one in devices if str(one) in (link.sender, link.receiver)]
    zones = [one.location.spec.get_("zone") for one in ends if one.has_("location")]
    return "rear" in zones and any(zone in AHEAD for zone in zones)


@fact("driver", unit="dB", source="definition of sensitivity: 2.83 V are 1 W into 8 Ω")
def at_full_output_db(driver: View) -> float:
    """Level at 1 m with its channel at full output, behind its pad: before the processor turns anything down."""
    volts = float(driver.channel.full_output_v)
    return float(driver.sensitivity_2v83_db - driver.pad_db + 20 * math.log10(volts / physics.gain.SENSITIVITY_V))


def _quietest(job: View) -> tuple[float, View, View]:
    """Return by how much the loudest way lies above the quietest at full output, and both."""
    heard = [driver for driver in job.drivers if driver.has_to_be_loud and driver.has_("channel")]
    if len(heard) < 2:
        raise NotDefined("there are no two ways to be set against each other")
    levels = [(float(driver.at_full_output_db), index) for index, driver in enumerate(heard)]
    (least, low), (most, high) = min(levels), max(levels)
    return most - least, heard[low], heard[high]


@fact("job", unit="dB")
def level_spread_db(job: View) -> float:
    """How far the levels of the ways lie apart with every channel at full output; the rest is turned down."""
    return _quietest(job)[0]


@fact("job")
def spread_is_known(job: View) -> bool:
    """Whether the sheets of all ways that have to be loud tell it; where not, other rules ask for what is missing."""
    if not job.has_chain:
        return False
    try:
        return bool(_quietest(job))
    except (Missing, NotDefined):
        return False


@fact("job")
def loudest_way(job: View) -> str:
    """The driver that would be loudest with every channel at full output."""
    return str(_quietest(job)[2])


@fact("job")
def quietest_way(job: View) -> str:
    """The driver that would be quietest with every channel at full output."""
    return str(_quietest(job)[1])
