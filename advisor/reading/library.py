"""Folders of parts and vehicles, looked up by code; nothing is checked that no job uses."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from advisor.errors import Fault, InputError, did_you_mean
from advisor.reading.border import build
from advisor.reading.files import Files, Stamp
from advisor.reading.origin import Origin, root_of
from advisor.reading.parts import KINDS, Part
from advisor.reading.shop import Shop
from advisor.reading.source import SourceFile
from advisor.reading.vehicle import Vehicle


@dataclass
class Library:
    """Every part and vehicle of some folders, by code."""

    faults: list[Fault]
    files: Files = field(default_factory=Files)
    """What its files are read through."""
    parts: dict[str, Origin] = field(default_factory=dict)
    vehicles: dict[str, SourceFile] = field(default_factory=dict)
    shop: Path | None = None
    shop_name: str = ""
    shops: dict[SourceFile, Shop] = field(default_factory=dict)
    """Shop files that were read for its jobs."""
    overlaid: dict[tuple[int, int], tuple[Shop, Shop, Shop]] = field(default_factory=dict)
    """Shops over the shipped one, by both: each with what it was made of."""
    stamps: dict[Path, dict[Path, Stamp]] = field(default_factory=dict)
    """The files of each folder, and the state they were in."""
    _data: dict[str, dict[str, Any]] = field(default_factory=dict)
    _built: dict[str, Part] = field(default_factory=dict)
    _built_vehicles: dict[str, Vehicle] = field(default_factory=dict)

    def add_folder(self, folder: Path, name: str) -> None:
        """Index a folder: `parts/` and `vehicles/` below it, and `shop.yaml`."""
        self.stamps[folder] = self._stamps(folder)
        base = folder.resolve()
        for path in self.files.below(folder / "parts"):
            if file := self._read(path, base, folder, name):
                self._index_parts(file)
        for path in self.files.below(folder / "vehicles"):
            if file := self._read(path, base, folder, name):
                self._index_vehicle(file)
        shop, shown = folder / "shop.yaml", os.path.normpath(f"{name}/shop.yaml")
        if shop.is_file() and self.shop is None and self._is_inside(shop, base, shown):
            self.shop, self.shop_name = shop, shown

    def is_current(self) -> bool:
        """Tell whether its files are as they were when it was read."""
        return all(self._stamps(folder) == stamps for folder, stamps in self.stamps.items())

    def _stamps(self, folder: Path) -> dict[Path, Stamp]:
        paths = [*self.files.below(folder / "parts"), *self.files.below(folder / "vehicles"), folder / "shop.yaml"]
        return {path: self.files.ask_for(path) for path in paths}

    def _is_inside(self, path: Path, base: Path, shown: str) -> bool:
        if Path(os.path.realpath(path)).is_relative_to(base):
            return True
        self.faults.append(Fault(shown, 1, 1, "", "this link leads out of its library", "copy the file in"))
        return False

    def _read(self, path: Path, base: Path, folder: Path, name: str) -> SourceFile | None:
        shown = os.path.normpath(f"{name}/{path.relative_to(folder)}")
        if not self._is_inside(path, base, shown):
            return None
        try:
            return self.files.read(path, shown)
        except InputError as error:
            self.faults += error.faults
            return None

    def _index_parts(self, file: SourceFile) -> None:
        root = root_of(file)
        parts = file.data.get("parts") if isinstance(file.data, dict) else None
        where = root.child("parts")
        if not isinstance(parts, dict) or where is None:
            self.faults.append(root.fault("a parts file holds 'parts:', a mapping of codes to parts"))
            return
        for key in file.data:
            if key not in ("advisor", "parts"):
                place = root.child(key) or root
                way_out = did_you_mean(key, ["advisor", "parts"])
                self.faults.append(place.fault(f"unknown key '{key}'", way_out, at_key=True))
        written = [str(key.value) for key, _ in where.node.value]  # `010` is a code, and no ten
        for code, data in zip(written, parts.values(), strict=True):
            place = where.child(code) or where
            if code in self.parts:
                first = self.parts[code].place
                self.faults.append(place.fault(f"'{code}' is also in {first}", "keep one", at_key=True))
                continue
            self.parts[code] = place
            self._data[code] = data

    def _index_vehicle(self, file: SourceFile) -> None:
        code = file.data.get("vehicle") if isinstance(file.data, dict) else None
        if not isinstance(code, str):
            self.faults.append(root_of(file).fault("a vehicle file begins with 'vehicle:' and its code"))
        elif code in self.vehicles:
            first = self.vehicles[code].name
            self.faults.append(root_of(file).fault(f"the vehicle '{code}' is also in {first}", "keep one"))
        else:
            self.vehicles[code] = file

    def known(self, kind: str, code: str) -> Part | None:
        """Return the part of that code if it was asked for before, and is of that kind."""
        part = self._built.get(code)
        return part if isinstance(part, KINDS[kind]) else None

    def part(self, kind: str, code: str, asked: Origin) -> Part | None:
        """Return the part of that code, checked; a fault is noted where it was asked for, or where it stands."""
        place = self.parts.get(code)
        if place is None:
            hint = did_you_mean(code, self.parts) or "add it to the library, or write it out in place"
            self.faults.append(asked.fault(f"no part '{code}' in the library", hint))
            return None
        part = self._built.get(code) or self._check(self._data[code], place)
        if part is None:  # its faults are told each time it is asked for
            return None
        self._built[code] = part
        if not isinstance(part, KINDS[kind]):
            actual = self._data[code]["kind"]
            self.faults.append(asked.fault(f"'{code}' is a part of kind {actual}, not {kind} ({place.place})"))
            return None
        return part

    def _check(self, data: Any, place: Origin) -> Part | None:
        kind = data.get("kind") if isinstance(data, dict) else None
        if not isinstance(kind, str) or kind not in KINDS:
            way_out = did_you_mean(kind, KINDS) or f"one of {', '.join(KINDS)}"
            self.faults.append(place.fault("a part says its 'kind'", way_out, at_key=True))
            return None
        return build(KINDS[kind], data, place, self.faults, drop=("kind",))

    def vehicle(self, code: str, asked: Origin) -> Vehicle | None:
        """Return the vehicle of that code, checked."""
        file = self.vehicles.get(code)
        if file is None:
            hint = did_you_mean(code, self.vehicles) or "add it to the library, or write it out in place"
            self.faults.append(asked.fault(f"no vehicle '{code}' in the library", hint))
            return None
        vehicle = self._built_vehicles.get(code) or build(Vehicle, file.data, root_of(file), self.faults)
        if vehicle is not None:
            self._built_vehicles[code] = vehicle
        return vehicle

    def data_of(self, code: str) -> Any:
        """Return what is written of a part, unchecked."""
        return self._data[code]

    def codes(self, kind: str) -> list[str]:
        """Return the codes of all parts that say they are of a kind."""
        return [code for code, data in self._data.items() if isinstance(data, dict) and data.get("kind") == kind]
