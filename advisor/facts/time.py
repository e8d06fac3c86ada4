"""When the sound of each driver arrives, and the delay that lines it up with the latest."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View

ISO_9613 = "ISO 9613-1: 343.2 m/s · √(T/293.15 K)"


@fact("job", unit="°C")
def listening_c(job: View) -> float:
    """Air temperature the system is listened to at."""
    given = job.spec.get_("air_c")
    return float(given if given is not None else job.assume_("listening_air"))


@fact("job", unit="m/s", source=ISO_9613)
def sound_speed_m_s(job: View) -> float:
    """Speed of sound in the cabin."""
    return float(physics.air.sound_speed_m_s(temperature_c=job.listening_c))


def distance_to(driver: View, seat: str) -> float:
    """Return the taped distance from a driver to the ear at a seat [m]."""
    if not seat:
        raise Missing("customer.seats", driver.job.place_, "list the listeners' seats, the most important first")
    record = driver.reach if driver.has_("reach") else driver.location.spec
    distances = record.distance_m
    if seat not in distances:
        raise Missing(f"{driver}: distance_m to {seat}", record.place_, f"tape it from the driver to the {seat}'s ear")
    return float(distances[seat])


@fact("driver", unit="m")
def distance_m(driver: View) -> float:
    """Taped distance from the driver to the ear at the first listed seat."""
    return distance_to(driver, driver.first_seat)


@fact("driver", unit="ms", source=ISO_9613)
def arrival_ms(driver: View) -> float:
    """Time the sound takes from the driver to the ear at the first listed seat."""
    return float(driver.distance_m / driver.job.sound_speed_m_s * 1000)


@fact("job", unit="ms")
def latest_arrival_ms(job: View) -> float:
    """Arrival of the driver that is furthest from the first listed seat."""
    return job.engine_.decisive(max, *[lambda driver=driver: driver.arrival_ms for driver in job.drivers])


@fact("driver", unit="ms")
def delay_ms(driver: View) -> float:
    """Delay that lines the driver up with the latest arrival."""
    return float(driver.job.latest_arrival_ms - driver.arrival_ms)
