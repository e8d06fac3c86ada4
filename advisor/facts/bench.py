"""What is dialled in at the bench: delays as samples and way, how they drift, tones and voltages to set gains by."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.settings import sharing
from advisor.facts.time import ISO_9613
from advisor.facts.views import View

FAMILIES = {"linkwitz-riley": "Linkwitz-Riley", "butterworth": "Butterworth", "bessel": "Bessel"}
TWO_DIGITS = 2


def processor_before(driver: View) -> View:
    """Return the processor that feeds a driver's amplifier."""
    if not driver.has_processor or not driver.has_("amplifier"):
        raise NotDefined("no processor feeds it")
    processors: dict[str, View] = {str(one): one for one in driver.job.processors}
    senders = [str(link.sender) for link in driver.amplifier.links]
    found = next((processors[name] for name in senders if name in processors), None)
    if found is None:  # something stands between them
        found = next(iter(processors.values()))
    return found


@fact("driver", unit="Hz")
def sample_rate_hz(driver: View) -> float:
    """Rate its processor works at: what it counts delays in."""
    part = processor_before(driver).part
    rate = part.get_("sample_rate_hz")
    if rate is None:
        raise Missing(f"{part}: sample_rate_hz", part.place_, "the rate it works at inside, off its sheet")
    return float(rate)


@fact("driver", source="delay times sample rate, to the nearest whole sample")
def delay_samples(driver: View) -> int:
    """Delay to set for it in whole samples of its processor."""
    return round(float(driver.delay_to_set_ms) / 1000 * float(driver.sample_rate_hz))


@fact("driver", unit="cm", source=ISO_9613)
def delay_cm(driver: View) -> float:
    """Delay to set for it as way of the sound at the cabin's temperature."""
    return float(driver.delay_to_set_ms / 1000 * driver.job.sound_speed_m_s * 100)


@fact("job", unit="°C")
def cold_morning_c(job: View) -> float:
    """Air in the cabin on a cold morning."""
    return float(job.assume_("cold_morning_air"))


@fact("job", unit="°C")
def hot_cabin_c(job: View) -> float:
    """Air in the cabin after a day in the sun: as surveyed, else by rule of thumb."""
    given = job.cabin.get_("hottest_c")
    return float(given if given is not None else job.assume_("hot_cabin_air"))


def _delay_at(driver: View, air_c: float) -> float:
    speed = float(driver.job.sound_speed_m_s)
    longer = speed / float(physics.air.sound_speed_m_s(temperature_c=air_c)) - 1
    return float(driver.delay_to_set_ms + driver.delay_ms * longer)


@fact("driver", unit="ms", source=ISO_9613)
def delay_when_cold_ms(driver: View) -> float:
    """What its delay would have to be on a cold morning, when sound is slower."""
    return _delay_at(driver, float(driver.job.cold_morning_c))


@fact("driver", unit="ms", source=ISO_9613)
def delay_when_hot_ms(driver: View) -> float:
    """What its delay would have to be in a hot cabin, when sound is faster."""
    return _delay_at(driver, float(driver.job.hot_cabin_c))


@fact("driver", unit="ms", source=ISO_9613)
def delay_drift_ms(driver: View) -> float:
    """Farthest that its delay is off between a cold morning and a hot cabin, left as it is set."""
    set_to = float(driver.delay_to_set_ms)
    return max(abs(float(driver.delay_when_cold_ms) - set_to), abs(float(driver.delay_when_hot_ms) - set_to))


def _family(driver: View, index: int) -> str:
    edge = driver.way.plays[index]
    if edge.hz is None:
        raise NotDefined(f"the {('low', 'high')[index]} edge is open")
    if edge.family is None:
        way_out = f"name it, for example {edge.hz:g} LR24"
        raise Missing(f"{driver}: filter of its {('low', 'high')[index]} edge", driver.place_, way_out)
    return FAMILIES.get(edge.family, str(edge.family))


@fact("driver")
def low_filter(driver: View) -> str:
    """Kind of filter at its low edge."""
    return _family(driver, 0)


@fact("driver")
def high_filter(driver: View) -> str:
    """Kind of filter at its high edge."""
    return _family(driver, 1)


def _lead(channel: View) -> View:
    if not channel.drivers:
        raise NotDefined("nothing is connected to this channel")
    return sharing(channel.drivers[0])[0]


@fact("channel", unit="Hz", source="common practice: well inside the band, where the filters let the tone pass")
def test_tone_hz(channel: View) -> float:
    """Tone to set its gain with: an octave above its low edge, or the middle of its band where that is narrow."""
    lead = _lead(channel)
    low = float(lead.low_edge_hz if lead.has_low_edge else lead.plays_down_to_hz)
    high = float(lead.high_edge_hz if lead.has_high_edge else lead.plays_up_to_hz)
    tone = min(2 * low, math.sqrt(low * high))
    digits = TWO_DIGITS - 1 - math.floor(math.log10(tone))
    return float(round(tone, digits))


@fact("job", unit="dB", source="common practice (an overlap of 0 to 10 dB)")
def test_level_db(job: View) -> float:
    """Level of the tone to set gains with, against full scale: below it by the overlap."""
    return -float(job.assume_("gain_overlap"))


@fact("channel", unit="V", source="response of the named filters, see physics/filters.py")
def test_v(channel: View) -> float:
    """Voltage at its terminals to turn its gain up to with the tone: full output, less what the filters take."""
    lead = _lead(channel)
    tone = physics.spectrum.at_hz(float(channel.test_tone_hz))
    passed = 1.0
    if lead.low_edge_maker != "network":
        passed *= float(abs(lead.high_pass(tone))[0])
    if lead.high_edge_maker != "network":
        passed *= float(abs(lead.low_pass(tone))[0])
    return float(channel.full_output_v * passed)


@fact("driver")
def polarity_at_processor(driver: View) -> str:
    """Polarity to set for its channel; drivers that share one differ by their leads."""
    processor_before(driver)
    return str(sharing(driver)[0].polarity_to_set)


@fact("driver", source="polarity to set; where a processor sets the channel, against the lowest driver on it")
def leads(driver: View) -> str:
    """How its two leads go on: plus to plus, or crossed."""
    against = str(sharing(driver)[0].polarity_to_set) if driver.has_processor else "normal"
    return "plus to plus" if driver.polarity_to_set == against else "crossed: plus to minus"


@fact("driver", source="series and parallel connection")
def wiring_words(driver: View) -> str:
    """How the coils of a driver, and several drivers of one side, are joined."""
    words = []
    if driver.part.coils > 1:
        words.append(_joined("coils", driver.way.get_("coils"), f"{driver}: coils", driver))
    if driver.way.count > 1:
        words.append(_joined("drivers", driver.way.get_("joined"), f"{driver}: joined", driver))
    if not words:
        raise NotDefined("one driver with one coil: nothing is joined")
    return "; ".join(words)


def _joined(what: str, how: str | None, name: str, driver: View) -> str:
    if how is None:
        raise Missing(name, driver.way.place_, "say how they are wired: series or parallel")
    if how == "parallel":
        return f"{what} in parallel, all plus together, all minus together"
    return f"{what} in series, minus of each to plus of the next"
