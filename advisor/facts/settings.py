"""What is set for each driver in polarity and time, as the job gives it or as it comes out best, and whether it can be.

A processor sets a channel, so drivers that share one share its delay and level; polarity is also made by the leads.
"""

from __future__ import annotations

from typing import Any

from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.time import distance_to
from advisor.facts.views import View
from advisor.reading.sides import BySide

SHARED = {"trim_db": "level", "delay_ms": "delay"}
"""What a processor sets for a channel, and its word."""


def given(driver: View, name: str) -> Any:
    """Return what the job gives for a driver's side under a key that may be written by side; None where it does not."""
    value = driver.way.get_(name)
    return value.of(driver.side) if isinstance(value, BySide) else value


@fact("driver", hidden=True)
def in_one_signal(driver: View) -> tuple[str, ...]:
    """The drivers that get one signal, the lowest first: those behind its network or on its channel."""
    found = sorted(_fed_with(driver), key=lambda one: float(one.low_edge_hz) if one.has_low_edge else 0.0)
    return tuple([str(one) for one in found])


def _fed_with(driver: View) -> tuple[View, ...]:
    if driver.has_("network"):
        return tuple(driver.network.drivers)
    return tuple(driver.channel.drivers) if driver.has_("channel") else (driver,)


def sharing(driver: View) -> list[View]:
    """Return the drivers that get one signal, the lowest first."""
    names = driver.in_one_signal
    if len(names) == 1:
        return [driver]
    named = {str(one): one for one in _fed_with(driver)}
    return [named[name] for name in names]


def given_to_channel(driver: View, name: str) -> Any:
    """Return what is given for a driver, else for one that gets the same signal, else None."""
    own = given(driver, name)
    if own is not None:
        return own
    return next((one for one in (given(other, name) for other in sharing(driver)) if one is not None), None)


@fact("driver")
def has_processor(driver: View) -> bool:
    """Whether a processor sets the channel it is on; taken for granted where no chain is drawn."""
    if not driver.job.has_chain:
        return True
    return bool(driver.has_("channel") and "processor high-pass" in driver.channel.makers)


@fact("driver")
def has_own_trim(driver: View) -> bool:
    """Whether the job gives the level set for it."""
    return given(driver, "trim_db") is not None


@fact("driver")
def has_own_polarity(driver: View) -> bool:
    """Whether the job gives its polarity."""
    return given(driver, "polarity") is not None


@fact("driver")
def has_own_delay(driver: View) -> bool:
    """Whether the job gives the delay set for it."""
    return given(driver, "delay_ms") is not None


@fact("driver")
def has_settings(driver: View) -> bool:
    """Whether the job gives a level or a delay for it, which only a processor can set."""
    return bool(driver.has_own_trim or driver.has_own_delay)


@fact("driver")
def settings_trouble(driver: View) -> str:
    """What stands against setting the level and delay given for it; `nothing` where they can be set."""
    if not driver.has_processor:
        return "no processor feeds its channel"
    for other in sharing(driver):
        for name, word in SHARED.items():
            mine, theirs = given(driver, name), given(other, name)
            if mine is not None and mine != theirs:
                said = f"which has a {word} of its own" if theirs is not None else f"so the {word} is set for both"
                return f"it gets one signal with {other}, {said}"
    return "nothing"


def refuse_without_processor(driver: View, instead: str) -> None:
    """Refuse a setting where there is nothing to set it in."""
    if not driver.has_processor:
        raise NotDefined(f"no processor feeds its channel; {instead}")


@fact("driver", source="superposition: the polarity in which it adds better to the way below it")
def polarity_to_set(driver: View) -> str:
    """Polarity to set or to wire: as given, else the one in which it adds better to the way below it."""
    own = given(driver, "polarity")
    if own is not None:
        return str(own)
    below = next((one for one in driver.job.crossings if str(one.upper) == str(driver)), None)
    if below is None:
        return "normal"
    lower = str(below.lower.polarity_to_set)
    return lower if below.better_polarity == "same" else turned_over(lower)


def turned_over(polarity: str) -> str:
    """Return the other polarity.

    >>> turned_over("normal")
    'inverted'
    """
    return "normal" if polarity == "inverted" else "inverted"


@fact("driver", unit="ms")
def delay_to_set_ms(driver: View) -> float:
    """Delay to set for it: as given, else what lines it up at the first listed seat; of a shared channel the lowest."""
    refuse_without_processor(driver, "nothing delays it")
    written = given_to_channel(driver, "delay_ms")
    if written is not None:
        return float(written)
    return max(0.0, float(driver.job.lined_up_ms - sharing(driver)[0].arrival_ms))


@fact("job", unit="ms")
def lined_up_ms(job: View) -> float:
    """When the ways arrive at the first listed seat once their delays are set: with the latest of them."""
    leads = [driver for driver in job.drivers if str(sharing(driver)[0]) == str(driver)]

    def arrives(driver: View) -> float:
        written = given_to_channel(driver, "delay_ms") if driver.has_processor else None
        return float(driver.arrival_ms) + float(written or 0.0)

    return job.engine_.decisive(max, *[lambda driver=driver: arrives(driver) for driver in leads])


def arrives_at_ms(driver: View, seat: str) -> float:
    """Return when the sound of a driver arrives at a seat, its delay included [ms]."""
    travels = distance_to(driver, seat) / float(driver.job.sound_speed_m_s) * 1000
    return travels + (float(driver.delay_to_set_ms) if driver.has_processor else 0.0)


@fact("way")
def has_a_polarity(way: View) -> bool:
    """Whether the job gives the polarity of either side."""
    return any(driver.has_own_polarity for driver in way.drivers)


@fact("way")
def sides_polarity(way: View) -> str:
    """Whether both sides are set in one polarity: `alike` or `opposite`."""
    return "alike" if len({str(driver.polarity_to_set) for driver in way.drivers}) == 1 else "opposite"


@fact("processor")
def names_its_longest_delay(processor: View) -> bool:
    """Whether its sheet says how far it can delay a channel."""
    return processor.part.get_("longest_delay_ms") is not None


@fact("processor", unit="ms")
def delay_needed_ms(processor: View) -> float:
    """Longest delay that any way is to be set to."""
    delayed = [driver for driver in processor.job.drivers if driver.has_processor]
    if not delayed:
        raise NotDefined("no way is on a channel that it sets")
    return processor.engine_.decisive(max, *[lambda driver=driver: driver.delay_to_set_ms for driver in delayed])
