"""What an amplifier takes from the supply: without a signal, with music, at its rating."""

from __future__ import annotations

from collections.abc import Iterable

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

EIGHTH = "16 CFR 432.3: an eighth of the rated power stands for music"


def off_the_label(amplifier: View, *names: str) -> None:
    """Refuse to go on where the sheet lacks any of these, and name all it lacks at once."""
    lacking = [name for name in names if amplifier.part.get_(name) is None]
    if lacking:
        what = ", ".join(lacking[:-1]) + " and " * (len(lacking) > 1) + lacking[-1]
        name = f"{amplifier} ({amplifier.part}): {what}"
        raise Missing(name, amplifier.part.place_, "read it off the amplifier's label or sheet")


@fact("job", source="derived from the crest factor: 10^((3.01 − CF)/10)")
def programme_share(job: View) -> float:
    """Mean power of loud music as a share of the rated power."""
    return float(physics.powers.mean_power_share(crest_factor_db=job.assume_("programme_crest_factor")))


@fact("amplifier")
def is_in_use(amplifier: View) -> bool:
    """Whether anything is connected to it."""
    return any(channel.is_used for channel in amplifier.channels)


@fact("amplifier", unit="W")
def idle_w(amplifier: View) -> float:
    """What it takes from the supply without a signal."""
    off_the_label(amplifier, "idle_a")
    return float(amplifier.part.idle_a * amplifier.job.supply_v)


@fact("amplifier")
def working_efficiency(amplifier: View) -> float:
    """Efficiency at rated power: as given, or by class."""
    given = amplifier.part.get_("efficiency")
    if given is not None:
        return float(given)
    off_the_label(amplifier, "class")
    return float(amplifier.assume_("efficiency_by_class")[amplifier.part.class_])


@fact("amplifier", unit="W")
def all_channels_w(amplifier: View) -> float:
    """Rated watts of every channel it has, used or not: what efficiency and idle current are stated for."""
    banks = sum(bank.channels * bank.watts[max(bank.watts)] for bank in amplifier.part.banks if bank.watts)
    return float(max(banks, amplifier.rated_w))


@fact("amplifier", unit="W")
def playing_w(amplifier: View) -> float:
    """What it takes at its rating beyond what it takes without a signal, by its sheet."""
    off_the_label(amplifier, "class", "idle_a")
    return float(amplifier.all_channels_w / amplifier.working_efficiency - amplifier.idle_w)


@fact("amplifier", unit="W", source="class B reaches π/4 with a sine, textbook (from memory); class D 1; G/H derived")
def least_playing_w(amplifier: View) -> float:
    """The least that an output stage of its class can take for its rated watts."""
    off_the_label(amplifier, "class")
    return float(amplifier.all_channels_w / physics.losses.highest_efficiency(topology=amplifier.part.class_))


@fact("amplifier", unit="W", source=f"losses by class, see physics/losses.py; {EIGHTH}")
def taken_w(amplifier: View) -> float:
    """Mean power it takes from the supply with loud music: idle, and what its class loses on the way."""
    off_the_label(amplifier, "class", "idle_a")
    if amplifier.playing_w < amplifier.least_playing_w:
        raise Missing(
            f"{amplifier.part}: an efficiency that goes with its class and idle_a",
            amplifier.part.place_,
            "read both again",
        )
    rated, idle = float(amplifier.all_channels_w), float(amplifier.idle_w)
    all_playing = physics.losses.input_power_w(
        output_w=rated * amplifier.job.programme_share,
        rated_w=rated,
        rated_efficiency=amplifier.working_efficiency,
        idle_w=idle,
        topology=amplifier.part.class_,
        signal="noise",
    )
    return idle + float(amplifier.rated_w) / rated * (float(all_playing) - idle)


@fact("amplifier", unit="A", source=EIGHTH)
def current_a(amplifier: View) -> float:
    """Mean current with loud music."""
    return float(amplifier.taken_w / amplifier.job.supply_v)


@fact("amplifier", unit="A", source="power over efficiency and voltage")
def peak_current_a(amplifier: View) -> float:
    """Current at rated power on all channels in use."""
    return float(
        physics.powers.current_a(
            power_w=amplifier.rated_w, efficiency=amplifier.working_efficiency, supply_v=amplifier.job.supply_v
        )
    )


def of_all(amplifiers: Iterable[View], name: str) -> float:
    """Return the sum of a fact over some amplifiers.

    Raises Missing with what every one of them lacks, so that all labels are read in one go.
    """
    total, lacking = 0.0, []
    for amplifier in amplifiers:
        try:
            total += float(getattr(amplifier, name))
        except Missing as missing:
            lacking.append(missing)
    if lacking:
        names, ways_out = (
            dict.fromkeys(one.name for one in lacking),
            dict.fromkeys(one.way_out for one in lacking if one.way_out),
        )
        raise Missing("; ".join(names), lacking[0].spot, "; ".join(ways_out))
    return total


@fact("job", unit="A")
def full_current_a(job: View) -> float:
    """Current of all amplifiers at rated power."""
    if not job.amplifiers:
        raise Missing("an amplifier", job.place_, "the chain has none to feed")
    return of_all(job.amplifiers, "peak_current_a")


@fact("job", unit="A")
def programme_current_a(job: View) -> float:
    """Mean current of the audio system with loud music: amplifiers, and processors where theirs is known."""
    if not job.amplifiers:
        raise Missing("an amplifier", job.place_, "the chain has none to feed")
    processors = sum(float(processor.part.get_("idle_a") or 0.0) for processor in job.processors)
    return of_all(job.amplifiers, "current_a") + processors


def _speaker_watts(source: View) -> dict[float, float]:
    output = source.part.outputs.get("speaker")
    watts: dict[float, float] | None = output.get_("watts") if output is not None else None
    if not watts:
        raise NotDefined("its sheet states no watts for loudspeaker outputs")
    return watts


@fact("source", unit="W")
def claimed_w(source: View) -> float:
    """Watts a channel that its sheet states for the lowest load."""
    watts = _speaker_watts(source)
    return float(watts[min(watts)])


@fact("source", unit="W", source="derived from Ohm's law: V²/2R, the peak equal to the supply", name="rail_limited_w")
def source_rail_limited_w(source: View) -> float:
    """The most that a stage without a converter can give from this supply into that load, with a sine."""
    load = min(_speaker_watts(source))
    return float(physics.powers.rail_limited_power_w(supply_v=source.job.supply_v, load_ohm=load))
