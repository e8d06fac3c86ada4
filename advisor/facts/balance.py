"""How loud each way is against the others: what its trim has to make up for, and how far off it stands as set."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.settings import given, given_to_channel, refuse_without_processor, sharing
from advisor.facts.time import distance_to
from advisor.facts.views import View

LEVELS = "definition of sensitivity; spherical spreading; gains set so that a full recording drives each channel fully"
SPREADING = "spherical spreading; up to its first mode a cabin has about one pressure throughout"
IN_THE_CABIN = 2.0
"""A way that ends within so many times the cabin's first mode counts as bass there."""


def fills_the_cabin(driver: View) -> bool:
    """Tell whether a driver plays so low that the whole cabin has its pressure."""
    cabins = driver.job.cabins
    length = cabins[0].spec.get_("length_m") if cabins else None
    if length is None or not driver.has_high_edge:
        return False
    first_mode_hz = float(physics.cabin.first_axial_mode_hz(length_m=length))  # the day's air does not matter here
    return bool(driver.high_edge_hz <= IN_THE_CABIN * first_mode_hz)


def lost_db(driver: View, seat: str) -> float:
    """Return what the direct sound of a driver loses on its way to a seat, against 1 m [dB]."""
    return 0.0 if fills_the_cabin(driver) else 20 * math.log10(distance_to(driver, seat))


@fact("driver", unit="dB", source=SPREADING)
def distance_loss_db(driver: View) -> float:
    """What its direct sound loses on the way to the first listed seat, against 1 m; bass in a cabin loses nothing."""
    return lost_db(driver, driver.first_seat)


@fact("driver", unit="dB", source=LEVELS)
def full_level_db(driver: View) -> float:
    """Its direct sound at the first listed seat when its channel gives its rated watts, before any trim."""
    channel = driver.channel
    volts = float(physics.powers.speaker_voltage_v(power_w=channel.watts, load_ohm=channel.load_ohm))
    return _at_one_voltage_db(driver) + 20 * math.log10(volts / physics.gain.SENSITIVITY_V)


def _at_one_voltage_db(driver: View) -> float:
    return float(driver.sensitivity_2v83_db - driver.pad_db - driver.distance_loss_db)


@fact("driver")
def is_fill(driver: View) -> bool:
    """Whether it only plays along from behind, and is set lower."""
    return bool(driver.is_behind and not driver.carries_bass_behind)


def _set_lower_db(driver: View) -> float:
    return float(driver.assume_("fill_is_set_to")) if driver.is_fill else 0.0


@fact("job", unit="dB", source=LEVELS)
def balance_db(job: View) -> float:
    """Level all ways are brought to: that of those whose trim is given, on average; else that of the quietest."""
    heard = [driver for driver in job.drivers if driver.has_processor and not driver.is_fill]
    trimmed = [driver.full_level_db + given(driver, "trim_db") for driver in heard if driver.has_own_trim]
    if trimmed:
        return float(sum(trimmed) / len(trimmed))
    known = [driver for driver in heard if _is_known(driver)]
    if not known:
        way_out = "give the drivers' sensitivity and the amplifier's watts"
        raise Missing("how loud any of the ways is", job.place_, way_out)
    return job.engine_.decisive(min, *[lambda driver=driver: driver.full_level_db for driver in known])


def _is_known(driver: View) -> bool:
    try:
        return driver.full_level_db is not None
    except (Missing, NotDefined):
        return False


@fact("driver", unit="dB", source=LEVELS)
def balanced_trim_db(driver: View) -> float:
    """Trim that makes it as loud at the first listed seat as the rest; a fill behind is set lower."""
    return float(driver.job.balance_db - driver.full_level_db) + _set_lower_db(driver)


@fact("driver", unit="dB", source=LEVELS)
def trim_to_set_db(driver: View) -> float:
    """Level to set for it in the processor: as given, else what makes all ways as loud at the first listed seat."""
    refuse_without_processor(driver, "its amplifier's gain sets its level")
    written = given_to_channel(driver, "trim_db")
    if written is not None:
        return float(written)
    wanted = [float(one.balanced_trim_db) for one in sharing(driver)]
    return sum(wanted) / len(wanted)


@fact("driver", unit="dB", source=LEVELS)
def stands_off_db(driver: View) -> float:
    """How much louder than the balance it is at the first listed seat, as set; where nobody set it, as after set-up."""
    if driver.is_trimmed:
        return set_off_db(driver)
    together = sharing(driver)
    if len(together) < 2 or not all(one.level_is_known and _is_taped(one) for one in together):
        return _set_lower_db(driver)
    levels = {str(one): _at_one_voltage_db(one) for one in together}
    return levels[str(driver)] - sum(levels.values()) / len(levels) + _set_lower_db(driver)


def set_off_db(driver: View) -> float:
    """Return how far a trim that is given puts a driver off the balance [dB]; what nobody trimmed is taken as on it."""
    if not driver.is_trimmed:
        return _set_lower_db(driver)
    return float(driver.full_level_db + driver.trim_to_set_db - driver.job.balance_db)


@fact("driver", hidden=True)
def is_trimmed(driver: View) -> bool:
    """Whether a level is given for it, or for one that gets the same signal, and can be set."""
    return bool(driver.has_processor) and given_to_channel(driver, "trim_db") is not None


def _is_taped(driver: View) -> bool:
    try:
        return driver.distance_loss_db is not None
    except Missing:
        return False


def offset_db(driver: View, seat: str) -> float:
    """Return how much louder than the balance a driver is at any seat [dB]: set for the first, heard at this one."""
    off = float(driver.stands_off_db)
    if not driver.has_processor:
        return off - lost_db(driver, seat)
    if seat == driver.first_seat:
        return off
    return off + float(driver.distance_loss_db) - lost_db(driver, seat)


@fact("way")
def has_both_sides(way: View) -> bool:
    """Whether it stands for a left and a right driver."""
    return len(way.drivers) == 2


@fact("way")
def has_a_trim(way: View) -> bool:
    """Whether the job gives the level set for either side."""
    return any(driver.has_own_trim for driver in way.drivers)


def _left_over_right_db(way: View) -> float:
    if not way.has_both_sides:
        raise NotDefined("it has no left and right")
    left, right = way.drivers
    # one kind of driver and channel on both sides: what is left between them is distance and trim
    trims = float(left.trim_to_set_db) - float(right.trim_to_set_db)
    return trims - float(left.distance_loss_db - right.distance_loss_db)


@fact("way", unit="dB", source=SPREADING)
def sides_apart_db(way: View) -> float:
    """How much louder one side's direct sound is than the other's at the first listed seat, as set."""
    return abs(_left_over_right_db(way))


@fact("way")
def louder_side(way: View) -> str:
    """Which side that is."""
    return "left" if _left_over_right_db(way) > 0 else "right"
