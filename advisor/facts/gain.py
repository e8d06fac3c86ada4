"""Voltages from source to driver: what to set an input to, what clips first, what of the noise is heard."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

ANALOGUE = ("line", "speaker")
HEARD_FROM_HZ, HEARD_TO_HZ = 1000.0, 16_000.0
"""Where hiss is heard: below it the ear is dull to so soft a sound, above it most ears are."""
CLIPPING = ("what feeds it", "its input", "its output")


def _feeding(channel: View) -> View:
    links = channel.amplifier.links
    if not links:
        raise Missing(f"{channel.amplifier}: from", channel.amplifier.place_, "say what feeds it: from")
    link: View = links[0]
    if link.kind not in ANALOGUE:
        raise NotDefined("it is fed digitally, so there is no voltage to set")
    return link


@fact("channel", unit="V")
def source_v(channel: View) -> float:
    """The most that what feeds its amplifier puts out."""
    return float(_feeding(channel).offer.max_v)


@fact("channel", unit="V", source="common practice (an overlap of 0 to 10 dB)")
def sensitivity_to_set_v(channel: View) -> float:
    """Input voltage for full output to set its gain to: that of a full recording, less the overlap."""
    overlap = channel.assume_("gain_overlap")
    return float(physics.gain.sensitivity_to_set_v(source_v=channel.source_v, overlap_db=overlap))


@fact("channel", unit="V")
def input_least_v(channel: View) -> float:
    """Input voltage for full output at the most sensitive setting its amplifier has."""
    return float(_feeding(channel).take.min_v)


@fact("channel", unit="V", source="Ohm")
def full_output_v(channel: View) -> float:
    """Voltage at its terminals at full power."""
    return float(physics.powers.speaker_voltage_v(power_w=channel.power_w, load_ohm=channel.load_ohm))


@fact("channel", unit="dB", source="IEC 60027-3, logarithmic quantities")
def gain_db(channel: View) -> float:
    """Voltage gain from its input to its terminals, set as above."""
    return float(physics.gain.gain_db(output_v=channel.full_output_v, input_v=channel.sensitivity_to_set_v))


REFERRED = "definition of gain: each limit referred to the voltage that feeds the channel"


def _clips_at_v(channel: View) -> list[tuple[float, str]]:
    """Return what feeds it, its input and its output, each with the voltage before it that takes it to its limit.

    The one that clips first comes first; where two meet, the later one is meant to be first.
    """
    limits = (channel.source_v, _feeding(channel).take.max_v, channel.full_output_v)
    volts = physics.gain.clips_at_v(gains_db=(0.0, 0.0, channel.gain_db), limits_v=limits)
    pairs = [(round(float(volt), 9), name) for name, volt in zip(CLIPPING, volts, strict=True)]
    pairs.reverse()  # of those that clip at once, the last in the chain is named first
    return sorted(pairs, key=lambda pair: pair[0])


@fact("channel", source=REFERRED)
def first_to_clip(channel: View) -> str:
    """What reaches its limit first as the music gets louder: what feeds it, its input, or its output."""
    return _clips_at_v(channel)[0][1]


@fact("channel", source=REFERRED)
def clip_order(channel: View) -> str:
    """What clips first, what after it and by how much later, in words."""
    (first_v, first), *later = _clips_at_v(channel)
    words = [f"first {first}"]
    for volts, name in later:
        after_db = 20 * math.log10(volts / first_v)
        words.append(f"then {name}, {after_db:.1f} dB later" if after_db >= 0.05 else f"with it {name}")
    return ", ".join(words)


@fact("driver")
def noise_is_given(driver: View) -> bool:
    """Whether the sheet of its amplifier says how far its noise lies below its output."""
    return bool(driver.has_("amplifier") and driver.amplifier.part.get_("noise_distance_db") is not None)


@fact("channel", unit="V", source="S/N against 1 W plus 10 log P is S/N against the rated power, derived")
def noise_v(channel: View) -> float:
    """Noise at its terminals without music: its amplifier's own, and that of a processor before it where known."""
    part = channel.amplifier.part
    distance = float(part.noise_distance_db)
    if part.noise_distance_at == "1 W":
        distance = float(physics.levels.noise_distance_at_power_db(distance_1w_db=distance, power_w=channel.watts))
    rated_v = physics.powers.speaker_voltage_v(power_w=channel.watts, load_ohm=channel.load_ohm)
    gains, noises = [0.0], [float(rated_v) * 10 ** (-distance / 20)]
    for processor in channel.job.processors:
        before = processor.part.get_("noise_distance_db")
        if before is not None and str(processor) in (link.sender for link in channel.amplifier.links):
            gains, noises = [0.0, channel.gain_db], [channel.source_v * 10 ** (-before / 20), *noises]
    return float(physics.gain.output_noise_v(gains_db=gains, noises_v=noises))


@fact("driver", unit="dB", source="definition of sensitivity; spherical spreading")
def hiss_db(driver: View) -> float:
    """Noise of its channel at the ear of the first listed seat, without music, behind its network and pad."""
    noise_v = driver.channel.noise_v
    if noise_v <= 0:
        raise NotDefined("its channel is said to have no noise at all")
    to_2v83 = 10 * math.log10(physics.gain.SENSITIVITY_V**2 / driver.wired_ohm)
    return float(
        physics.gain.noise_at_ear_db(
            noise_v=noise_v,
            sensitivity_db=driver.sensitivity_1w_db + to_2v83,
            distance_m=driver.distance_m,
        )
        + driver.noise_passed_db
    )


@fact("driver", unit="dB", source="noise of all frequencies alike (white): mean power over the band that is heard")
def noise_passed_db(driver: View) -> float:
    """What its network and pad leave of the noise that is heard; 0 where it hangs on the channel itself."""
    if not driver.has_("network"):
        return 0.0
    try:
        passes = driver.network_passes
    except NotDefined:  # the network makes no edge of its band
        return -float(driver.pad_db)
    except Missing:  # nobody knows its parts; its pad may be known all the same
        return 0.0
    hz = physics.gain.evenly_hz(low_hz=HEARD_FROM_HZ, high_hz=HEARD_TO_HZ, count=151)
    return float(physics.spectrum.level_db(float((abs(passes(hz)) ** 2).mean()) ** 0.5))


@fact("link")
def is_digital(link: View) -> bool:
    """Whether the signal travels as numbers."""
    return link.kind not in ANALOGUE


@fact("link")
def could_be_digital(link: View) -> bool:
    """Whether both ends have a digital connection of one kind."""
    return bool(set(link.offered) & set(link.taken) - set(ANALOGUE))


@fact("link", unit="Hz", source="EIAJ RC-5720: 15 Mbit/s for a common receiver, counted as symbols (inferred)")
def optical_limit_hz(link: View) -> float:
    """Highest sample rate that an optical link carries."""
    return float(physics.digital.highest_optical_rate_hz(receiver=link.assume_("optical_receiver")))
