"""One package's share of an audit: read it, judge the lines that are not known yet, hand back plain values."""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path

from advisor.catalogue.bench import Bench, Head, Line, head_of
from advisor.catalogue.catalogue import Catalogue, digest
from advisor.catalogue.gist import gist_text
from advisor.catalogue.row import packed
from advisor.errors import Fault, InputError
from advisor.reading.choices import Settled
from advisor.reading.files import Stamp, stamp_of


@dataclass(frozen=True)
class Kept:
    """What a package is known by: the key of its file, and of each of its lines, in their order."""

    key: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Done:
    """What came of one package, as texts: its head, and of each line that was judged its key, gist and row."""

    kept: Kept | None = None
    head: str = ""
    rows: tuple[tuple[str, str, str], ...] = ()
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Keys:
    """Makes the keys that rows are kept by; they change with all that a row hangs on."""

    catalogue: Catalogue
    program: str
    today: date
    _heads: dict[Path, tuple[Stamp, str]] = field(default_factory=dict, repr=False)

    def of_library(self) -> str:
        """Return the key of all parts, vehicles and the shop's file as they are now."""
        catalogue, library = self.catalogue, self.catalogue.library
        files = {place.file.name: place.file for place in library.parts.values()}
        files |= {file.name: file for file in library.vehicles.values()}
        said = [f"{name}\n" + "\n".join(file.lines) for name, file in sorted(files.items())]
        return digest("\n".join(("library", self.program, self.today.isoformat(), catalogue.shop_digest, *said)))

    def of_head(self, path: Path) -> str:
        """Return the key of a package file as it is now."""
        stamp = stamp_of(path)
        known, key = self._heads.get(path, (None, ""))
        if known is None or known != stamp:
            key = digest("\n".join((self.program, self.catalogue.shown(path), _summed(path))))
            self._heads[path] = stamp, key
        return key

    def of_lines(self, own: str, head: Head) -> tuple[str, ...]:
        """Return the key of each line of a package, whose own key is given."""
        catalogue, vehicles = self.catalogue, self._vehicles
        shared = "\n".join((own, catalogue.shop_digest, self.today.isoformat() if head.dated else ""))
        begun = {}
        for way, codes in head.codes.items():
            parts = "\n".join(map(catalogue.part_digest, codes))
            begun[way] = hashlib.sha256("\n".join((shared, digest(parts), repr(way))).encode())
        found = []
        for line in head.lines:
            summed = begun[line.settled].copy()
            summed.update(f"\n{line.customer}\n{line.vehicle}\n{vehicles.get(line.vehicle, '')}".encode())
            found.append(own[:12] + summed.hexdigest()[:20])  # lines of a package stand together in the store
        return tuple(found)

    @cached_property
    def _vehicles(self) -> dict[str, str]:
        return self.catalogue.vehicle_digests


def work_on(bench: Bench, keys: Keys, path: Path, known: Collection[str]) -> Done:
    """Judge the lines of a package whose keys are not known."""
    own = keys.of_head(path)
    try:
        package = bench.catalogue.package(path)
    except InputError as error:
        return Done(faults=error.faults)
    head, rows, faults = head_of(package), [], list[Fault]()
    kept = Kept(own, keys.of_lines(own, head))
    for line, key in zip(head.lines, kept.lines, strict=True):
        if key in known:
            continue
        try:
            row = bench.row(package, line)
        except InputError as error:
            faults += error.faults
        else:
            rows.append((key, gist_text(row), packed(row)))
    return Done(kept, head_text(head), tuple(rows), tuple(faults))


def _summed(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def head_text(head: Head) -> str:
    """Return a head as JSON text; its lines are every way to settle it for every customer in every vehicle."""
    pairs = [(line.customer, line.vehicle) for line in head.lines]
    served = [list(dict.fromkeys(which)) for which in zip(*pairs, strict=True)]
    data = [head.title, head.line, head.place, list(head.codes.items()), *served, head.likeness, head.dated]
    return json.dumps(data, ensure_ascii=False)


def head_of_text(text: str) -> Head:
    """Return the head of a JSON text."""
    title, line, place, pairs, customers, vehicles, likeness, dated = json.loads(text)
    codes = {_settled(way): tuple(named) for way, named in pairs}
    lines = tuple(itertools.starmap(Line, itertools.product(codes, customers, vehicles)))
    return Head(title, line, place, lines, codes, likeness, dated)


def _settled(pairs: list[list[str]]) -> Settled:
    return tuple((name, label) for name, label in pairs)
