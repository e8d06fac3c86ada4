"""From where a cone no longer reaches the listener's ear, and from where it no longer moves as one piece."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

PISTON = "piston in a baffle, 2·J1(x)/x = -6 dB, x = ka·sin(angle); J. Eargle, Electroacoustical Reference Data, 1994"

INDEX = (
    "directivity index of a piston in a baffle, x²/(1 − J1(2x)/x), x = ka; L. L. Beranek, Acoustics, 1954 (from memory)"
)


@fact("driver", unit="°")
def off_axis_deg(driver: View) -> float:
    """Surveyed angle between the driver's axis and the ear at the first listed seat."""
    seat = driver.first_seat
    if not seat:
        raise Missing("customer.seats", driver.job.place_, "list the listeners' seats, the most important first")
    record = driver.reach if driver.has_("reach") else driver.location.spec
    angles = record.off_axis_deg
    if seat not in angles:
        raise Missing(f"{driver}: off_axis_deg to {seat}", record.place_, "take it with a protractor and a string")
    return float(angles[seat])


@fact("driver", unit="Hz", source=PISTON)
def beams_above_hz(driver: View) -> float:
    """Frequency above which the first listed seat, off its axis, has lost 6 dB."""
    angle = driver.off_axis_deg
    if angle == 0:
        raise NotDefined("it points at the listener")
    # what is heard from behind a cone has gone round it; the side is as far as the formula reaches
    radius = driver.cone_radius_mm / 1000
    return float(physics.directivity.beams_above_hz(radius_m=radius, angle_deg=min(angle, 90.0)))


@fact("driver")
def names_its_break_up(driver: View) -> bool:
    """Whether its sheet says from where the cone breaks up."""
    return driver.part.get_("breaks_up_hz") is not None


@fact("driver", unit="dB/octave")
def high_slope_db_per_octave(driver: View) -> float:
    """Slope of the filter at the high edge; an edge with no filter named is taken as 24 dB/octave."""
    if not driver.has_high_edge:
        raise NotDefined("the high edge is open")
    slope = driver.way.plays[1].slope_db_per_octave
    return float(slope if slope is not None else driver.assume_("filter_slope"))


@fact("crossing", unit="dB", source=INDEX)
def lower_directs_db(crossing: View) -> float:
    """Directivity index of the lower way at the handover: how much its direct sound is ahead of what it sends about."""
    return _index_db(crossing.lower, crossing.handover_hz)


@fact("crossing", unit="dB", source=INDEX)
def upper_directs_db(crossing: View) -> float:
    """Directivity index of the upper way at the handover."""
    return _index_db(crossing.upper, crossing.handover_hz)


def _index_db(driver: View, frequency_hz: float) -> float:
    radius = driver.cone_radius_mm / 1000
    return float(physics.directivity.directivity_index_db(float(frequency_hz), radius_m=radius))


@fact("crossing", unit="dB", source=INDEX)
def directivity_step_db(crossing: View) -> float:
    """How much more the upper way sends about than the lower one where both are as loud straight ahead."""
    return float(crossing.lower_directs_db - crossing.upper_directs_db)


@fact("driver", unit="dB", source=INDEX)
def directivity_index_db(driver: View) -> float:
    """Directivity index at its high edge: how much its direct sound is ahead of an even spread of the same power."""
    return _index_db(driver, driver.high_edge_hz)
