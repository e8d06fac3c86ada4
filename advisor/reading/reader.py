"""Reads a job file and all it names into a System, or tells every fault at once."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, TypeVar, cast

from advisor.errors import Fault, InputError, did_you_mean, shortened
from advisor.reading.border import build, salvage
from advisor.reading.files import Files
from advisor.reading.job import DEVICES, Device, Job, Run, Way
from advisor.reading.library import Library
from advisor.reading.origin import Origin, root_of
from advisor.reading.parts import KINDS, Box, Cable, Driver, Part
from advisor.reading.shop import Shop
from advisor.reading.source import SourceFile, read_source
from advisor.reading.spec import Spec
from advisor.reading.system import Placed, PlacedDevice, PlacedWay, System
from advisor.reading.vehicle import Location, Seat, Vehicle
from advisor.shipped import rules_folder

_NAME = re.compile(r"[^\W_](?:[\w -]*[\w])?")

P = TypeVar("P", bound=Part)


def read_job(path: Path, name: str | None = None) -> System:
    """Read a job, its library, vehicle and shop.

    Raises InputError with every fault that was found in any of the files.
    """
    name = name or str(path)
    return JobReader(path, name).system(read_source(path, name))


class OpenJob:
    """A job whose files are kept, so that it can be read again with changes without reading its library again."""

    def __init__(self, path: Path, name: str | None = None) -> None:
        """Read a job and all it names. Raises InputError."""
        self.path, self.name = path, name or str(path)
        self.source = read_source(self.path, self.name)
        reader = JobReader(self.path, self.name)
        self.system = reader.system(self.source)
        self.library = reader.library

    def changed(self, data: Any) -> System:
        """Return the job with other values in its file; each keeps the place it has, or would have beside others.

        Raises InputError with what is wrong with the values.
        """
        return JobReader(self.path, self.name, self.library).system(replace(self.source, data=data, checked=None))


class JobReader:
    """Collects faults while a job's names are looked up.

    A library that was read before is used as it is.
    """

    def __init__(self, path: Path, name: str, library: Library | None = None, files: Files | None = None) -> None:
        self.path, self.name = path, name
        self.faults: list[Fault] = []
        self.library_read = library is not None
        self.library = library or Library(self.faults, files or Files())
        self.library.faults = self.faults
        self.vehicle = Vehicle()
        self.vehicle_failed = False
        self.own_places: set[str] = set()

    def system(self, file: SourceFile) -> System:
        """Return the job of a file. Raises InputError with all that was found."""
        root = root_of(file)
        job = file.checked or build(Job, file.data, root, self.faults) or salvage(Job, file.data, root)
        if job is None or any(fault.where.startswith(("library", "vehicle")) for fault in self.faults):
            raise InputError(self.faults)
        opened = [self._open_library(folder, _at(job, "library", i)) for i, folder in enumerate(job.library)]
        if not all(opened):  # every code would be told as unknown
            raise InputError(self.faults)
        vehicle_known = self._find_vehicle(job)
        devices = {name: self._device(name, spec) for name, spec in job.chain.items()}
        ways = {name: self._way(name, spec) for name, spec in job.ways.items()}
        seats = tuple(self._seat(seat, index, job) for index, seat in enumerate(job.customer.seats))
        cable = self._cable(job.supply) if job.supply else None
        extras = {code: self._extra(code, job) for code in job.extras}
        shop, own_shop = self._shop(job)
        self._check_operations(job, shop)
        if self.faults:
            raise InputError(self.faults)
        return System(
            job=job,
            name=self.name,
            vehicle=self.vehicle,
            vehicle_known=vehicle_known,
            shop=shop,
            own_shop=own_shop,
            devices={name: device for name, device in devices.items() if device},
            ways={name: way for name, way in ways.items() if way},
            seats=tuple(seat for seat in seats if seat),
            supply_cable=cable,
            extras={code: part for code, part in extras.items() if part},
        )

    def _open_library(self, folder: str, asked: Origin) -> bool:
        path = self.path.parent / folder
        if self.library_read:
            return True
        if not os.path.isdir(path):  # noqa: PTH112 - false, and no error, for a name the system does not allow
            self.library.files.ask_for(path)  # it may come to be there
            what = f"there is no folder '{shortened(folder)}'"
            self.faults.append(asked.fault(what, "paths count from the job file"))
            return False
        self.library.add_folder(path, os.path.normpath(Path(self.name).parent / folder))
        return True

    def _find_vehicle(self, job: Job) -> bool:
        if job.vehicle is None:
            return False
        asked = _at(job, "vehicle")
        if isinstance(job.vehicle, str):
            found = self.library.vehicle(job.vehicle, asked)
        else:
            found = build(Vehicle, job.vehicle, asked, self.faults)
        self.vehicle = found or self.vehicle
        self.vehicle_failed = found is None
        return found is not None

    def _device(self, name: str, spec: Device) -> PlacedDevice | None:
        self._check_name(name, spec)
        written = [kind for kind in DEVICES if getattr(spec, kind) is not None]
        if len(written) != 1:
            what = "a device is exactly one of " + ", ".join(DEVICES)
            said = f"this is {' and '.join(written)}" if written else "say which, and its code"
            self.faults.append(_of(spec).fault(what, said, at_key=True))
            return None
        kind = written[0]
        at = self._place(spec.at, spec, name)
        if kind == "network" and spec.network == "auto":
            return PlacedDevice(name, kind, spec, None, "auto", at)
        part, code = self._part(kind, getattr(spec, kind), spec, kind)
        return PlacedDevice(name, kind, spec, part, code, at) if part else None

    def _way(self, name: str, spec: Way) -> PlacedWay | None:
        self._check_name(name, spec)
        part, code = self._part("driver", spec.driver, spec, "driver")
        at = self._place(spec.at, spec, name)
        box = self._part("box", spec.box, spec, "box")[0] if spec.box is not None else None
        cable = self._cable(spec.speaker_cable) if spec.speaker_cable else None
        if spec.plays:
            self._check_band(spec)
        if at or spec.at is None:
            self._check_sides(spec, at)
        if part is None:
            return None
        return PlacedWay(name, spec, cast(Driver, part), code, at, cast("Box | None", box), cable)

    def _part(self, kind: str, written: Any, spec: Spec, key: str) -> tuple[Part | None, str]:
        if isinstance(written, str) and (known := self.library.known(kind, written)):
            return known, written
        asked = _at(spec, key)
        if isinstance(written, str):
            return self.library.part(kind, written, asked), written
        said = written.get("kind", kind)
        if said != kind:
            self.faults.append(asked.fault(f"a part of kind {kind} belongs here, not '{said}'"))
            return None, ""
        return build(KINDS[kind], written, asked, self.faults, drop=("kind",)), "written in place"

    def _cable(self, run: Run) -> Cable | None:
        if run.cable is None:
            return None
        return cast("Cable | None", self._part("cable", run.cable, run, "cable")[0])

    def _extra(self, code: str, job: Job) -> Part | None:
        place = self.library.parts.get(code)
        asked = _at(job, "extras", code)
        kind = self.library._data[code].get("kind") if place and isinstance(self.library._data[code], dict) else None
        return self.library.part(kind if kind in KINDS else "fuse", code, asked)

    def _place(self, written: Any, spec: Spec, owner: str) -> Placed | None:
        if written is None:
            return None
        if isinstance(written, Mapping):
            location = build(Location, written, _at(spec, "at"), self.faults)
            return Placed(self._own_place(owner), location) if location else None
        found = self.vehicle.locations.get(written)
        if found is None and self.vehicle_failed:
            return None  # that is the fault to mend
        if found is None:
            asked = _at(spec, "at")
            known = list(self.vehicle.locations)
            hint = did_you_mean(written, known) or (f"it has {', '.join(known)}" if known else "")
            what = f"the vehicle has no place '{written}'" if known else f"no vehicle is given to find '{written}' in"
            self.faults.append(asked.fault(what, hint or "name a vehicle, or write the place out here"))
            return None
        return Placed(written, found)

    def _own_place(self, owner: str) -> str:
        """Return the name of a place written out in a job: one that no other place has."""
        name, number = f"place of {owner}", 2
        while name in self.own_places or name in self.vehicle.locations:
            name, number = f"place of {owner} {number}", number + 1
        self.own_places.add(name)
        return name

    def _seat(self, written: Any, index: int, job: Job) -> Seat | None:
        asked = _at(job.customer, "seats", index)
        if isinstance(written, Mapping):
            seat = build(Seat, written, asked, self.faults)
            if seat and not seat.name:
                self.faults.append(asked.fault("a seat written out here needs a 'name'"))
            return seat
        if written in job.customer.seats[:index]:
            self.faults.append(asked.fault(f"the seat '{written}' is listed twice", "keep one"))
            return None
        known = self.vehicle.seats.get(written)
        if known is None and self.vehicle.seats:
            hint = did_you_mean(written, self.vehicle.seats) or f"it has {', '.join(self.vehicle.seats)}"
            self.faults.append(asked.fault(f"the vehicle has no seat '{written}'", hint))
            return None
        return named_seat(known, written) if known else _moved(Seat(name=written), asked)

    def _shop(self, job: Job) -> tuple[Shop, Shop | None]:
        default = self._read_shop(rules_folder() / "shop-defaults.yaml", "rules/shop-defaults.yaml")
        own: Shop | None = None
        if job.shop is not None:
            own = self._named_shop(job.shop, _at(job, "shop"))
        elif self.library.shop is not None:
            own = self._read_shop(self.library.shop, self.library.shop_name)
        if default is None:
            raise InputError(self.faults)
        return (self._overlaid(default, own) if own else default), own

    def _overlaid(self, default: Shop, own: Shop) -> Shop:
        known, key = self.library.overlaid, (id(default), id(own))
        if key not in known:
            known[key] = default, own, overlay(default, own)
        return known[key][2]

    def _named_shop(self, written: str, asked: Origin) -> Shop | None:
        path = self.path.parent / written
        if not os.path.isfile(path):  # noqa: PTH113
            self.library.files.ask_for(path)  # it may come to be there
            what = f"there is no shop file '{shortened(written)}'"
            self.faults.append(asked.fault(what, "paths count from the job file"))
            return None
        return self._read_shop(path, os.path.normpath(Path(self.name).parent / written))

    def _read_shop(self, path: Path, name: str) -> Shop | None:
        try:
            file = self.library.files.read(path, name)
        except InputError as error:
            self.faults += error.faults
            return None
        if file not in self.library.shops:
            shop = build(Shop, file.data, root_of(file), self.faults)
            if shop is None:
                return None
            self.library.shops[file] = shop
        return self.library.shops[file]

    def _check_operations(self, job: Job, shop: Shop) -> None:
        holders: list[Job | Way] = [job, *job.ways.values()]
        for spec in holders:
            for index, name in enumerate(spec.work):
                if name not in shop.operations:
                    hint = did_you_mean(name, shop.operations) or "add it to the shop file under 'operations'"
                    self.faults.append(_at(spec, "work", index).fault(f"no operation '{name}' in the shop file", hint))

    def _check_name(self, name: str, spec: Spec) -> None:
        if not _NAME.fullmatch(name) or name.endswith((" left", " right")) or len(name) > 40:
            way_out = "letters, digits, spaces and hyphens; 'left' and 'right' are added where a place has two sides"
            self.faults.append(_of(spec).fault(f"'{name}' cannot be a name", way_out, at_key=True))

    def _check_band(self, spec: Way) -> None:
        assert spec.plays
        low, high = spec.plays
        if low.hz is not None and high.hz is not None and low.hz >= high.hz:
            what = f"the low edge {low.hz:g} Hz is not below the high edge {high.hz:g} Hz"
            self.faults.append(_at(spec, "plays").fault(what, "write [low edge, high edge]"))

    def _check_sides(self, spec: Way, at: Placed | None) -> None:
        if len(at.location.sides if at else spec.from_.ports if spec.from_ else ()) == 2:
            return
        for name in ("trim_db", "polarity", "delay_ms"):
            value = getattr(spec, name)
            if value is not None and value.apart:
                what = f"{name} is given by side, but this way has no left and right"
                self.faults.append(_at(spec, name).fault(what, "write one value, or name a place that has two sides"))


def named_seat(seat: Seat, name: str) -> Seat:
    """Return a seat of a vehicle as a job has it: with the name it goes by, where it was written."""
    named = _moved(replace(seat, name=name), seat.origin)
    object.__setattr__(named, "tolerances", seat.tolerances)
    return named


def overlay(default: Shop, own: Shop) -> Shop:
    """Return the shop's own figures over the shipped ones; each keeps the place it was written at."""
    merged: dict[str, Any] = {}
    elsewhere: dict[str, Origin] = {}
    for field in fields(Shop):
        mine, theirs = getattr(own, field.name), getattr(default, field.name)
        if isinstance(mine, dict):
            merged[field.name] = {**theirs, **mine}
        elif mine in (None, "", ()):
            merged[field.name] = theirs
            if default.origin and (place := default.origin.child(field.name)):
                elsewhere[field.name] = place
        else:
            merged[field.name] = mine
    result = _moved(replace(own, **merged), own.origin)
    object.__setattr__(result, "elsewhere", elsewhere)
    kept = {path: within for path, within in default.tolerances.items() if path[0] in elsewhere}
    object.__setattr__(result, "tolerances", {**kept, **own.tolerances})
    return result


def _of(spec: Spec) -> Origin:
    """Where a mapping of the job stands; only a default that nobody wrote has no place, and no fault either."""
    assert spec.origin is not None
    return spec.origin


def _at(spec: Spec, *steps: str | int) -> Origin:
    return _of(spec).down(steps)[0]


T = TypeVar("T", bound=Spec)


def _moved(spec: T, origin: Origin | None) -> T:
    object.__setattr__(spec, "origin", origin)
    return spec
