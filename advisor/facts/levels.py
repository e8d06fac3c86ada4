"""How loud a driver is for a watt, and how much of a way's bass leaks into the range that tells its place."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL_1972 = "R. H. Small, J. Audio Eng. Soc. 20(10), 1972, Part I"


@fact("driver")
def electrical_q(driver: View) -> float:
    """Electrical Q of the driver: as given, or from its total and mechanical Q."""
    given = driver.part.get_("qes")
    if given is not None:
        return float(given)
    total, mechanical = driver.part.get_("qts"), driver.part.get_("qms")
    if total is None or mechanical is None:
        raise Missing(f"qes of {driver}", driver.part.place_, "add qes, or qts and qms, to the driver")
    return float(physics.thiele_small.electrical_q(total_q=total, mechanical_q=mechanical))


@fact("driver", source=SMALL_1972)
def reference_efficiency(driver: View) -> float:
    """Share of electrical power turned into sound on a large baffle, in the passband."""
    return float(
        physics.thiele_small.reference_efficiency(
            resonance_hz=driver.part.fs_hz,
            compliance_volume_m3=driver.part.vas_l / 1000,
            electrical_q=driver.electrical_q,
        )
    )


@fact("driver", unit="dB", source=SMALL_1972)
def sensitivity_1w_db(driver: View) -> float:
    """Level at 1 m on a large baffle for 1 W: from the Thiele/Small numbers, or as the datasheet says."""
    part = driver.part
    has_q = part.get_("qes") is not None or (part.get_("qts") is not None and part.get_("qms") is not None)
    if part.get_("fs_hz") is not None and part.get_("vas_l") is not None and has_q:
        efficiency = driver.reference_efficiency
        return float(physics.thiele_small.sensitivity_1w_db(reference_efficiency=efficiency))
    if part.sensitivity_at == "1 W":
        return float(part.sensitivity_db)
    return float(
        physics.thiele_small.sensitivity_from_voltage_db(
            sensitivity_2v83_db=part.sensitivity_db, impedance_ohm=driver.wired_ohm
        )
    )


@fact("driver")
def is_behind(driver: View) -> bool:
    """Whether the driver plays from behind the listener."""
    return bool(driver.has_("location") and driver.location.spec.zone == "rear")


@fact("driver")
def carries_bass_behind(driver: View) -> bool:
    """Whether it plays bass from behind: below the range where bass tells its place."""
    if not driver.is_behind or not driver.has_high_edge:
        return False
    return not driver.has_low_edge or driver.low_edge_hz < driver.assume_("bass_tells_its_place_from")


@fact("driver", unit="dB", source="response of the named filter, see physics/filters.py")
def leak_db(driver: View) -> float:
    """Level of the driver's low-pass where bass begins to tell its place, against its passband."""
    if not driver.has_high_edge:
        raise NotDefined("the high edge is open")
    edge = driver.way.plays[1]
    place = float(driver.assume_("bass_tells_its_place_from"))
    order = edge.order if edge.order is not None else int(driver.assume_("filter_slope")) // 6
    family = edge.family or "linkwitz-riley"
    gain = physics.filters.response(place, family=family, order=order, edge_hz=edge.hz, kind="low-pass")
    return 20 * math.log10(max(abs(complex(gain)), 1e-12))


@fact("job", unit="Hz")
def front_plays_down_to_hz(job: View) -> float:
    """How deep the front stage plays by itself: the lowest of its drivers, by its edge or where it gives up."""
    in_front = [driver for driver in job.drivers if not driver.is_behind]
    if not in_front:
        raise NotDefined("nothing plays from the front")
    return job.engine_.decisive(min, *[lambda driver=driver: driver.covers_from_hz for driver in in_front])


@fact("job", unit="Hz")
def front_asked_down_to_hz(job: View) -> float:
    """How deep the front stage is asked to play: as it plays, but by its edge where a way waits for a driver."""
    in_front = [driver for driver in job.drivers if not driver.is_behind]
    if not in_front:
        raise NotDefined("nothing plays from the front")

    def asked(driver: View) -> float:
        waited_for = driver.has_low_edge and not driver.is_the_bottom
        return float(driver.low_edge_hz if waited_for else driver.covers_from_hz)

    return job.engine_.decisive(min, *[lambda driver=driver: asked(driver) for driver in in_front])


@fact("driver", unit="Hz")
def covers_from_hz(driver: View) -> float:
    """Bottom of what the driver covers: its low edge, or where its cone gives up above that."""
    if not driver.has_low_edge:
        return float(driver.plays_down_to_hz)
    return driver.engine_.decisive(max, lambda: driver.low_edge_hz, lambda: driver.plays_down_to_hz)
