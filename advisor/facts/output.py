"""What amplifiers give: how far their watts can be believed, and what is left of them as the voltage falls."""

from __future__ import annotations

from collections.abc import Iterator

from advisor import physics
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View

RAIL = "derived from Ohm's law: V²/2R, the peak equal to the supply"
BY_CONVERTER = "as its converter allows: regulated as rated, unregulated with V², none V²/2R"


@fact("amplifier")
def is_rated_by_standard(amplifier: View) -> bool:
    """Whether its watts were counted by CTA-2006: 14.4 V, 4 Ω, 1 % distortion, continuous."""
    return bool(amplifier.part.get_("rated") == "CTA-2006")


@fact("amplifier")
def is_rated_by_peaks(amplifier: View) -> bool:
    """Whether its watts are said to be those of a peak."""
    return bool(amplifier.part.get_("rated") == "peak")


@fact("amplifier", unit="W")
def claimed_w(amplifier: View) -> float:
    """Watts its sheet claims for all channels together, each into the lowest load that watts are stated for."""
    return float(sum(bank.channels * bank.watts[min(bank.watts)] for bank in amplifier.part.banks if bank.watts))


@fact("amplifier", unit="V", source="CTA-2006 (14.4 V)")
def rating_v(amplifier: View) -> float:
    """Supply voltage its watts were counted at."""
    given = amplifier.part.get_("rated_at_v")
    return float(given if given is not None else amplifier.assume_("rating_voltage"))


@fact("amplifier", unit="W", source="conservation of energy: no more comes out than its fuses let in")
def fuse_limited_w(amplifier: View) -> float:
    """The most that its own fuses at their rating let it give."""
    fuses = amplifier.part.get_("fuses_a")
    if fuses is None:
        way_out = "add up the fuses on its case, or say how its watts were counted (rated: CTA-2006)"
        raise Missing(f"{amplifier} ({amplifier.part}): fuses_a", amplifier.part.place_, way_out)
    return float(fuses * amplifier.rating_v * amplifier.working_efficiency)


@fact("channel", unit="W", source="a sine's peak is twice its mean power")
def believed_w(channel: View) -> float:
    """Continuous watts into its load: as stated, half of what is stated for a peak."""
    return float(channel.watts / 2 if channel.amplifier.is_rated_by_peaks else channel.watts)


@fact("channel", unit="W", source=RAIL)
def rail_limited_w(channel: View) -> float:
    """The most that a stage without a converter can give from this supply into this load, with a sine."""
    return _rail_w(channel, float(channel.job.supply_v))


def _rail_w(channel: View, volts: float) -> float:
    return float(physics.powers.rail_limited_power_w(supply_v=volts, load_ohm=channel.load_ohm))


def given_w(channel: View, volts: float) -> float:
    """Return what a channel gives into its real load at some supply voltage."""
    kind = channel.amplifier.part.power_supply
    if kind == "none":
        return float(channel.engine_.decisive(min, lambda: channel.believed_w, lambda: _rail_w(channel, volts)))
    if kind == "regulated":
        return float(channel.believed_w)
    return float(channel.believed_w * min(1.0, volts / channel.amplifier.rating_v) ** 2)


@fact("channel", unit="W", source=BY_CONVERTER)
def power_w(channel: View) -> float:
    """What it gives into its real load at the real supply voltage."""
    return given_w(channel, float(channel.job.supply_v))


@fact("channel", unit="W", source=BY_CONVERTER)
def lowest_power_w(channel: View) -> float:
    """What it gives into its real load at the lowest voltage on the road."""
    return given_w(channel, float(channel.job.lowest_v))


@fact("job")
def watts_fall_with_voltage(job: View) -> bool:
    """Whether any amplifier gives less as the voltage falls: one without regulated rails."""
    return any(amplifier.part.power_supply != "regulated" for amplifier in job.amplifiers)


def _used(job: View) -> Iterator[View]:
    for amplifier in job.amplifiers:
        yield from (channel for channel in amplifier.channels if channel.is_used)


@fact("job", unit="W")
def full_w(job: View) -> float:
    """What all channels in use give together at the supply voltage."""
    return float(sum(channel.power_w for channel in _used(job)))


@fact("job", unit="W")
def lowest_w(job: View) -> float:
    """What they give together at the lowest voltage on the road."""
    return float(sum(channel.lowest_power_w for channel in _used(job)))


@fact("supply", unit="W", source=BY_CONVERTER)
def peak_w(supply: View) -> float:
    """What all channels in use can give on a bass peak, at the voltage it leaves them."""
    return float(sum(given_w(channel, float(supply.peak_v)) for channel in _used(supply.job)))


@fact("supply", unit="W")
def sag_costs_w(supply: View) -> float:
    """Watts that the sag on a bass peak costs; an amplifier with regulated rails draws more current instead."""
    return float(supply.job.full_w - supply.peak_w)
