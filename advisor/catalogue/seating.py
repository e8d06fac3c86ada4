"""A design seated in one vehicle after another: the chain is drawn once for all vehicles that are built alike.

Vehicles are alike to a design where they have the same mappings at the same keys, in the places that it uses and
beside them, and places with the same sides: by nothing else of a vehicle is a chain drawn. Then nothing of it is
other than the mappings of the vehicle that it points to.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cached_property
from typing import Any

from advisor.catalogue.tokens import Numbers, VehicleTokens
from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.reading.origin import Origin
from advisor.reading.reader import named_seat
from advisor.reading.source import SourceFile
from advisor.reading.spec import Spec
from advisor.reading.vehicle import Location, Seat, Vehicle

Path = tuple[str, ...]
Shape = int
Marks = tuple[Any, ...]


class Body:
    """One vehicle of a catalogue, as designs are seated in it."""

    def __init__(self, numbers: Numbers, code: str, file: SourceFile, vehicle: Vehicle) -> None:
        self.code, self.file, self.vehicle, self.numbers = code, file, vehicle, numbers
        self.seats = {name: named_seat(seat, name) for name, seat in vehicle.seats.items()}
        self._shapes: dict[tuple[str, ...], Shape] = {}
        self._along: tuple[tuple[Path, ...], list[Spec]] = (), []

    @cached_property
    def tokens(self) -> VehicleTokens:
        """What stands at its leaves."""
        return VehicleTokens(self.numbers, self.code, self.vehicle, self.seats.values())

    @cached_property
    def specs(self) -> dict[Path, Spec]:
        """Every mapping of it, by the way to it."""
        seats: dict[Path, Spec] = {("seats", name): seat for name, seat in self.seats.items()}
        return {**dict(_walk(self.vehicle, ())), **seats}

    def along(self, paths: tuple[Path, ...]) -> list[Spec]:
        """Return its mappings at the ends of some ways; the next design asks for the same."""
        if self._along[0] != paths:
            self._along = paths, [self.specs[path] for path in paths]
        return self._along[1]

    def shape(self, places: tuple[str, ...]) -> Shape:
        """Return a number that is the same for bodies in which a design that uses some places is drawn alike."""
        found = self._shapes.get(places)
        if found is None:
            alike = self._beside, tuple([self._places.get(place) for place in places])
            found = self._shapes[places] = self.numbers.of(("shape", alike))
        return found

    @cached_property
    def _beside(self) -> Marks:
        return tuple([_mark(path, spec) for path, spec in self.specs.items() if path[:1] != ("locations",)])

    @cached_property
    def _places(self) -> dict[str, Marks]:
        found: dict[str, Marks] = {}
        for path, spec in self.specs.items():
            if path[:1] == ("locations",):
                found[path[1]] = (*found.get(path[1], ()), _mark(path, spec))
        return found


def _mark(path: Path, spec: Spec) -> Any:
    return path, spec.origin is not None, spec.sides if isinstance(spec, Location) else ()


def places_named(data: Any) -> tuple[str, ...]:
    """Return the places of the vehicle that a job names."""
    named = [item.get("at") for key in ("chain", "ways") for item in (data.get(key) or {}).values()]
    return tuple(sorted({at for at in named if isinstance(at, str)}))


class Seating:
    """A chain that was drawn in one vehicle, and where in it the vehicle's mappings stand."""

    def __init__(self, chain: Chain, body: Body) -> None:
        self.chain = chain
        of_spec = {id(spec): path for path, spec in body.specs.items()}
        of_seat = {spec.origin: path for path, spec in body.specs.items() if isinstance(spec, Seat)}
        of_place = {id(spec.origin): path for path, spec in body.specs.items() if spec.origin is not None}
        self.specs: list[tuple[dict[str, Spec], str]] = []
        self.places: list[tuple[Subject, int]] = []
        paths: list[Path] = []
        for subject in chain.subjects:
            for record, spec in subject.specs.items():
                path = of_seat.get(spec.origin) if isinstance(spec, Seat) else of_spec.get(id(spec))
                if path is not None:
                    self.specs.append((subject.specs, record))
                    paths.append(path)
        for subject in chain.subjects:
            if isinstance(subject.origin, Origin) and subject.origin.file is body.file:
                self.places.append((subject, len(paths)))
                paths.append(of_place[id(subject.origin)])
        self.paths = tuple(paths)
        self.job = chain.of_kind("job")[0]
        self._job = self.job.specs["spec"] = copy.copy(self.job.specs["spec"])

    def seat(self, body: Body) -> Chain:
        """Return the chain in another vehicle of the same shape; it is the one chain, changed."""
        found = body.along(self.paths)
        for (specs, record), spec in zip(self.specs, found, strict=False):
            specs[record] = spec
        for subject, number in self.places:
            subject.origin = found[number].origin
        object.__setattr__(self._job, "vehicle", body.code)
        return self.chain


def _walk(spec: Spec, path: Path) -> Iterator[tuple[Path, Spec]]:
    yield path, spec
    for name, value in vars(spec).items():
        if isinstance(value, Spec):
            yield from _walk(value, (*path, name))
        elif isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(inner, Spec):
                    yield from _walk(inner, (*path, name, str(key)))
