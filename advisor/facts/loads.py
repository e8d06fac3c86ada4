"""What each amplifier channel drives: ohms and watts."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

IEC_60268 = "IEC 60268-3/-5, as digested in print: the lowest impedance is at least 80 % of the rated one"


@fact("driver", unit="Ω", source="series and parallel connection")
def wired_ohm(driver: View) -> float:
    """Rated impedance of the drivers of one side as wired, coils and all."""
    return _wired(driver, float(driver.part.impedance_ohm))


@fact("driver", unit="Ω", source=IEC_60268)
def lowest_ohm(driver: View) -> float:
    """Lowest impedance of the drivers of one side as wired: as given, else the coil's resistance, else 80 %."""
    part = driver.part
    lowest = part.get_("min_ohm") or part.get_("re_ohm")
    if lowest is None:
        lowest = physics.coils.rated_minimum_ohm(rated_ohm=part.impedance_ohm)
    return _wired(driver, float(lowest))


def _wired(driver: View, each_ohm: float) -> float:
    coils, count = driver.part.coils, driver.way.count
    if coils > 1:
        joined = driver.way.get_("coils")
        if joined is None:
            raise Missing(
                f"{driver}: coils", driver.way.place_, "say how the coils are wired: coils: series or parallel"
            )
        each_ohm = physics.coils.combine_ohm(each_ohm=each_ohm, count=coils, joined=joined)
    if count > 1:
        joined = driver.way.get_("joined")
        if joined is None:
            raise Missing(
                f"{driver}: joined", driver.way.place_, "say how the drivers are wired: joined: series or parallel"
            )
        each_ohm = physics.coils.combine_ohm(each_ohm=each_ohm, count=count, joined=joined)
    return float(each_ohm)


@fact("channel")
def is_used(channel: View) -> bool:
    """Whether anything is connected to the channel."""
    return len(channel.drivers) > 0


@fact("channel", unit="Ω", source="parallel connection; behind a network each band has the channel to itself")
def load_ohm(channel: View) -> float:
    """Rated load on the channel: drivers in parallel, of those behind one network the lowest."""
    return _joined(channel, "wired_ohm")


@fact("channel", unit="Ω", source=IEC_60268)
def lowest_load_ohm(channel: View) -> float:
    """Lowest load on the channel at any frequency."""
    return _joined(channel, "lowest_ohm")


def _joined(channel: View, name: str) -> float:
    branches: dict[str, float] = {}
    for driver in channel.drivers:
        branch = str(driver.network) if driver.has_("network") else str(driver)
        ohm = float(getattr(driver, name))
        branches[branch] = min(ohm, branches.get(branch, ohm))
    if not branches:
        raise NotDefined("nothing is connected to this channel")
    return float(physics.coils.parallel_ohm(branches.values()))


@fact("channel", unit="Ω")
def allowed_ohm(channel: View) -> float:
    """Lowest rated load its maker allows, on one channel or bridged as it is used."""
    return float(channel.bank.bridged_min_ohm if channel.bridged else channel.bank.min_ohm)


@fact(
    "channel", unit="W", source="rated watts by load; between rated loads in proportion, above them at the same voltage"
)
def watts(channel: View) -> float:
    """Rated watts into its load."""
    rated = channel.bank.bridged_watts if channel.bridged else channel.bank.watts
    if not rated:
        raise Missing(f"{channel.amplifier.part}: bridged_watts", channel.bank.place_, "add the bridged watts by load")
    load = float(channel.load_ohm)
    loads = sorted(rated)
    if load >= loads[-1]:
        return float(rated[loads[-1]] * loads[-1] / load)
    if load < loads[0]:
        return float(rated[loads[0]])
    upper = next(ohm for ohm in loads if ohm >= load)
    lower = loads[max(0, loads.index(upper) - 1)]
    share = 0.0 if upper == lower else (load - lower) / (upper - lower)
    return float(rated[lower] + share * (rated[upper] - rated[lower]))


@fact("channel", unit="W")
def driven_w(channel: View) -> float:
    """Rated power of what the channel drives; behind a network, of its largest member, which takes the bass."""
    powers = [float(driver.part.power_w) * driver.way.count for driver in channel.drivers]
    if not powers:
        raise NotDefined("nothing is connected to this channel")
    return float(
        max(powers) if any(driver.has_("network") for driver in channel.drivers) else min(powers) * len(powers)
    )


@fact("amplifier", unit="W")
def rated_w(amplifier: View) -> float:
    """Rated watts of all channels in use, into their loads."""
    return float(sum(channel.watts for channel in amplifier.channels if channel.is_used))
