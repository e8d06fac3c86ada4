"""The system as one listener has it: how loud all of it gets, what is missing between ways, where voices come from."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

VOICE_HZ = (300.0, 3400.0)
TELEPHONE = "ITU-T G.712: 300 to 3400 Hz carries a voice (from memory)"
REACHED = "definition of sensitivity; R. H. Small, J. Audio Eng. Soc. 20(10), 1972, displacement-limited power"
HALF_DAYS = 2


@fact("driver", unit="dB", source="definition of sensitivity")
def power_limited_db(driver: View) -> float:
    """Level at 1 m in half space at the power it gets, all drivers of a side together, their coils hot."""
    power = driver.drive_w * driver.way.count**2  # side by side they double pressure where power gives half of that
    share, rated = driver.drive_w / driver.part.power_w, driver.assume_("loss_of_a_hot_coil")
    lost = physics.loudness.hot_coil_loss_db(power_share=float(share), at_rated_db=float(rated))
    level = driver.sensitivity_1w_db
    return float(physics.loudness.thermally_limited_db(sensitivity_1w_db=level, power_w=power, compression_db=lost))


@fact("driver")
def watts_could_lack(driver: View) -> bool:
    """Whether it has to be loud, its coil by its sheet bears what is wanted, and it gets less than it is rated for."""
    if not driver.has_("channel") or not driver.has_to_be_loud:
        return False
    try:
        bears = driver.thermal_limited_db >= driver.job.wanted_at_a_metre_db
        return bool(bears and driver.drive_w < driver.part.power_w)
    except (Missing, NotDefined):
        return False


@fact("driver", unit="dB", source=REACHED)
def travel_limited_db(driver: View) -> float:
    """Highest level at 1 m in half space that travel allows at the bottom of what it is to play."""
    if driver.has_low_edge:
        return float(driver.excursion_limited_db)
    pressure = driver.travel_limited_pa(physics.spectrum.at_hz(float(driver.plays_down_to_hz)))
    return float(physics.spectrum.level_db(pressure[0] / physics.air.REFERENCE_PRESSURE_PA))


@fact("driver", unit="dB", source=REACHED)
def loudest_db(driver: View) -> float:
    """Level one side of it reaches at 1 m in half space, until travel or power ends it; travel is no tweeter's end."""
    if driver.is_tweeter:
        return float(driver.power_limited_db)
    return driver.engine_.decisive(min, lambda: driver.power_limited_db, lambda: driver.travel_limited_db)


@fact("job", unit="dB", source=REACHED, name="loudest_db")
def all_reach_db(job: View) -> float:
    """Level that all ways reach which have to be loud: as loud as the weakest of them."""
    heard = [driver for driver in job.drivers if driver.has_to_be_loud]
    if not heard:
        raise NotDefined("nothing has to be loud")
    return job.engine_.decisive(min, *[lambda driver=driver: driver.loudest_db for driver in heard])


@fact("job", unit="dB", source=REACHED)
def loudest_at_seat_db(job: View) -> float:
    """That level as it is heard at the seat, both sides playing."""
    return float(job.loudest_db + job.assume_("seat_over_one_side_at_a_metre"))


@fact("job", unit="dB")
def wanted_at_a_metre_db(job: View) -> float:
    """Level that one side has to make a metre away for the loudness wanted at the seat."""
    return float(job.customer.loudness_db - job.assume_("seat_over_one_side_at_a_metre"))


@fact("job", unit="octaves")
def widest_hole_octaves(job: View) -> float:
    """The widest band that two neighbouring ways leave between them; 0 where all of them meet."""
    if not job.crossings:
        raise NotDefined("no two ways hand over to each other")
    return job.engine_.decisive(max, *[lambda one=one: one.hole_octaves for one in job.crossings])


@fact("job", unit="dB")
def deepest_handover_db(job: View) -> float:
    """Deepest that two ways together fall where they hand over, at the first listed seat."""
    if not job.crossings:
        raise NotDefined("no two ways hand over to each other")
    return job.engine_.decisive(max, *[lambda one=one: one.hole_db for one in job.crossings])


@fact("driver", unit="octaves", source=TELEPHONE)
def voice_octaves(driver: View) -> float:
    """Octaves of the voice that the driver is asked to play and covers."""
    low = max(VOICE_HZ[0], float(driver.covers_from_hz))
    high = min(VOICE_HZ[1], float(driver.plays_up_to_hz))
    if driver.has_high_edge:
        high = min(high, float(driver.high_edge_hz))
    return max(0.0, math.log2(high / low)) if high > low else 0.0


@fact("job", unit="%", source=TELEPHONE)
def voice_from_below_percent(job: View) -> float:
    """Share of the voice, counted in octaves, that comes from below the listener's knee, of all that is in front."""
    octaves = {"front": 0.0, "low": 0.0}
    for driver in job.drivers:
        if driver.side != "right" and driver.has_("location") and driver.location.spec.get_("zone") in octaves:
            octaves[driver.location.spec.zone] += float(driver.voice_octaves)
    heard = sum(octaves.values())
    if not heard:
        raise NotDefined("no place in front is surveyed for what plays the voice")
    return float(100 * octaves["low"] / heard)


@fact("job", unit="days")
def booked_days(job: View) -> float:
    """Days the vehicle stays in the workshop: its working days, the last half day booked whole."""
    return float(math.ceil(round(float(job.labour_days) * HALF_DAYS, 6)) / HALF_DAYS)


@fact("job", hidden=True, unit="money")
def named_budget(job: View) -> float:
    """What the customer can spend."""
    return float(job.customer.budget)
