"""What a meter has to show when the work is done: the values expected, and how far off they may be."""

from __future__ import annotations

from advisor.facts.heat import WARMING_MIN
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

HOUR_MIN = 60
PERCENT = 100


@fact("driver", unit="Ω", source="resistances in a row; series and parallel connection")
def dc_ohm(driver: View) -> float:
    """What an ohmmeter shows at the far end of its cable, everything else unplugged."""
    coil = driver.part.get_("re_ohm")
    if coil is None:
        raise Missing(
            f"re_ohm of {driver}", driver.part.place_, "the coil's resistance, off its sheet or its terminals"
        )
    cable = float(driver.cable.loop_mohm) / 1000 if driver.has_("cable") else 0.0
    return float(coil * driver.wiring_factor) + cable


def _within(job: View, what: str) -> float:
    return float(job.assume_("bench_tolerances")[what])


@fact("job", unit="%")
def ohms_within_percent(job: View) -> float:
    """How far a measured resistance may be off."""
    return _within(job, "resistance")


@fact("job", unit="%")
def volts_within_percent(job: View) -> float:
    """How far a measured voltage may be off."""
    return _within(job, "voltage")


@fact("job", unit="%")
def amps_within_percent(job: View) -> float:
    """How far a measured current may be off."""
    return _within(job, "current")


@fact("job", unit="%")
def kelvins_within_percent(job: View) -> float:
    """How far a measured rise of temperature may be off."""
    return _within(job, "rise of temperature")


@fact("job", unit="%")
def tuning_within_percent(job: View) -> float:
    """How far the tuning of a box may be off."""
    return _within(job, "tuning")


@fact("job", unit="dB")
def levels_within_db(job: View) -> float:
    """How far two ways may be apart in level once they are set."""
    return _within(job, "level")


@fact("job", unit="mV", source="common practice")
def offset_allowed_mv(job: View) -> float:
    """Most direct voltage that an amplifier may show at its terminals without music."""
    return float(job.assume_("dc_offset_allowed"))


@fact("job", unit="A", source="Kirchhoff")
def idle_current_a(job: View) -> float:
    """Current of the whole system switched on, without music."""
    devices = [*job.processors, *job.amplifiers]
    if not devices:
        raise NotDefined("there is nothing to switch on")
    lacking = [str(one) for one in devices if one.part.get_("idle_a") is None]
    if lacking:
        raise Missing(f"idle_a of {', '.join(lacking)}", job.place_, "add it to the part")
    return float(sum(one.part.idle_a for one in devices))


@fact("channel", unit="mV")
def noise_mv(channel: View) -> float:
    """Noise at its terminals without music."""
    return float(channel.noise_v * 1000)


@fact("amplifier", unit="V", source="Ohm: the loss goes with the current")
def playing_v(amplifier: View) -> float:
    """Voltage at its terminals with the engine running and loud music."""
    job = amplifier.job
    return float(job.supply_v - amplifier.lost_v * job.programme_current_a / job.full_current_a)


@fact("amplifier", unit="V")
def loaded_v(amplifier: View) -> float:
    """Voltage at its terminals with the engine running and every amplifier at its rated power."""
    return float(amplifier.job.supply_v - amplifier.lost_v)


@fact("amplifier", unit="K", source="first-order response, textbook")
def rise_after_an_hour_k(amplifier: View) -> float:
    """How much warmer than the air around it its case is after an hour of loud music."""
    warming = amplifier.warming_with_fan_c if amplifier.is_blown else amplifier.warming_still_c
    return float(warming[WARMING_MIN.index(HOUR_MIN)] - amplifier.hottest_air_c)


@fact("supply", unit="A")
def parked_a(supply: View) -> float:
    """Current that may flow while the vehicle is parked, an hour after locking."""
    return float(supply.standby_a)


@fact("supply", unit="m")
def fuse_from_battery_m(supply: View) -> float:
    """How far from the battery's post the main fuse sits, along the cable."""
    return float(supply.spec.fuse_from_battery_m)


@fact("supply", unit="m")
def plus_m(supply: View) -> float:
    """Length of the plus cable from the battery to the amplifiers."""
    return float(supply.spec.run_m)


@fact("job", unit="dB")
def loudness_to_expect_db(job: View) -> float:
    """How loud it has to get at the seat: as the customer wants it, or as far as the plan reaches."""
    if job.customer.get_("loudness_db") is None:
        raise NotDefined("the customer named no loudness")
    try:
        reached = float(job.loudest_at_seat_db)
    except (Missing, NotDefined):  # the sheets do not tell how loud it gets
        return float(job.customer.loudness_db)
    return min(float(job.customer.loudness_db), reached)
