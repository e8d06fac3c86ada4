"""A catalogue: a folder with parts/, vehicles/, packages/ and a shop.yaml."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import advisor
from advisor.catalogue.leaves import VEHICLE
from advisor.errors import Fault, InputError
from advisor.reading.files import Files
from advisor.reading.library import Library
from advisor.reading.origin import root_of
from advisor.reading.package import PackageFile, read_package
from advisor.reading.parts import KINDS
from advisor.reading.source import read_source
from advisor.shipped import rules_folder

DECIDING = ("chain", "facts", "judging", "physics", "reading", "catalogue")
"""The packages of the program that a verdict hangs on."""


@dataclass
class Catalogue:
    """A catalogue's library, read, and where its packages lie; those are read one at a time."""

    folder: Path
    name: str
    library: Library
    packages: tuple[Path, ...]
    _digests: dict[str, str] = field(default_factory=dict)

    def code(self, path: Path) -> str:
        """Return the code of a package: its file's name, with folders below packages/."""
        return self._below(path).removesuffix(path.suffix)

    def shown(self, path: Path) -> str:
        """Return the name of a package's file as the user knows it."""
        return f"{self.name}/packages/{self._below(path)}"

    def _below(self, path: Path) -> str:
        return path.as_posix().removeprefix(self._prefix)

    @cached_property
    def _prefix(self) -> str:
        return f"{(self.folder / 'packages').as_posix()}/"

    def package(self, path: Path) -> PackageFile:
        """Read one package. Raises InputError with all that is wrong with it."""
        faults: list[Fault] = []
        found = read_package(read_source(path, self.shown(path)), self.code(path), faults)
        if found is None or faults:
            raise InputError(faults)
        return found

    def faults(self) -> list[Fault]:
        """Return what is wrong with any part or vehicle, used or not."""
        found: list[Fault] = []
        before, self.library.faults = self.library.faults, found
        for code, place in self.library.parts.items():
            kind = self.library.data_of(code)
            said = kind.get("kind") if isinstance(kind, dict) else None
            self.library.part(said if said in KINDS else "driver", code, place)
        for code, file in self.library.vehicles.items():
            self.library.vehicle(code, root_of(file))
        self.library.faults = before
        return found

    def part_digest(self, code: str) -> str:
        """Return what changes when a part changes, or the place it is told at; empty where there is none."""
        place = self.library.parts.get(code)
        if place is None:
            return ""
        if code not in self._digests:
            mark = place.node.start_mark
            said = [place.file.name, mark.line, self.library.data_of(code)]
            self._digests[code] = digest(json.dumps(said, default=str))
        return self._digests[code]

    @cached_property
    def vehicle_digests(self) -> dict[str, str]:
        """What changes when a vehicle's file changes."""
        return {code: digest(f"{file.name}\n" + "\n".join(file.lines)) for code, file in self.library.vehicles.items()}

    @cached_property
    def shop_digest(self) -> str:
        """What changes when the shop's file changes."""
        return digest(self.library.shop.read_text(encoding="utf-8")) if self.library.shop else ""


def open_catalogue(folder: Path, name: str | None = None) -> Catalogue:
    """Read the library of a catalogue and list its packages.

    Raises InputError.
    """
    shown = name or folder.as_posix()
    files, faults = Files(), list[Fault]()
    library = Library(faults, files)
    packages = folder / "packages"
    if not packages.is_dir():
        what = "there is no folder 'packages' in it" if folder.is_dir() else "there is no such folder"
        way_out = "a catalogue is a folder with parts/, vehicles/, packages/ and shop.yaml"
        raise InputError([Fault(shown, 1, 1, "", what, way_out)])
    library.add_folder(folder, shown)
    library.vehicles = {code: replace(file, role=VEHICLE) for code, file in library.vehicles.items()}
    paths = tuple(files.below(packages))
    if not paths:
        faults.append(
            Fault(f"{shown}/packages", 1, 1, "", "no package is in it", "`advisor new package` writes a starter")
        )
    if faults:
        raise InputError(faults)
    return Catalogue(folder, shown, library, paths)


def digest(text: str) -> str:
    """Return a short text that another text hardly ever has."""
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def program_digest() -> str:
    """Return what changes when the program or its rules change."""
    root = Path(advisor.__file__).parent
    files: Iterable[Path] = [path for place in DECIDING for path in sorted((root / place).rglob("*.py"))]
    summed = hashlib.sha256()
    for path in (*files, *sorted(rules_folder().glob("*.yaml"))):
        summed.update(path.name.encode())
        summed.update(path.read_bytes())
    return summed.hexdigest()[:32]


CODE_KEYS = ("source", "interface", "processor", "amplifier", "network", "driver", "box", "cable")
"""Keys whose value may be the code of a part."""


def codes_named(data: Any) -> set[str]:
    """Return every code that may name a part somewhere in a job."""
    found: set[str] = set()
    _collect(data, "", found)
    return found


def _collect(data: Any, key: Any, found: set[str]) -> None:
    if isinstance(data, dict):
        if key == "extras":
            found.update(map(str, data))
        for name, inner in data.items():
            if isinstance(inner, _HOLDS) or name in CODE_KEYS:
                _collect(inner, name, found)
    elif isinstance(data, list):
        if key in CODE_KEYS or any(isinstance(inner, _HOLDS) for inner in data):
            for inner in data:
                _collect(inner, key, found)
    elif isinstance(data, str) and key in CODE_KEYS:
        found.add(data)


_HOLDS = (dict, list)
