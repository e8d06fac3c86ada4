"""A job with everything it names looked up: what the chain is built from."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.reading.job import Device, Job, Way
from advisor.reading.parts import Box, Cable, Driver, Part
from advisor.reading.shop import Shop
from advisor.reading.vehicle import Location, Seat, Vehicle


@dataclass(frozen=True)
class Placed:
    """A location and the name it goes by."""

    name: str
    location: Location


@dataclass(frozen=True)
class PlacedDevice:
    """A device of the chain with its part (none for a network made for the job) and place."""

    name: str
    kind: str
    spec: Device
    part: Part | None
    code: str
    at: Placed | None


@dataclass(frozen=True)
class PlacedWay:
    """A way with its driver, box, speaker cable and place."""

    name: str
    spec: Way
    part: Driver
    code: str
    at: Placed | None
    box: Box | None
    cable: Cable | None


@dataclass(frozen=True)
class System:
    """Everything that was read for one job."""

    job: Job
    name: str
    vehicle: Vehicle
    vehicle_known: bool
    shop: Shop
    own_shop: Shop | None
    devices: dict[str, PlacedDevice]
    ways: dict[str, PlacedWay]
    seats: tuple[Seat, ...]
    supply_cable: Cable | None
    extras: dict[str, Part]
