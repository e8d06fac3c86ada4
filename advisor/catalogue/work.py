"""One package's share of an audit: read it, judge the lines that are not known yet, hand back plain values."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from advisor.catalogue.bench import Bench, Head, Line, head_of
from advisor.catalogue.catalogue import Catalogue, digest
from advisor.catalogue.row import packed
from advisor.errors import Fault, InputError


@dataclass(frozen=True)
class Done:
    """What came of one package; rows are packed, with the key they are kept by."""

    head: Head | None
    rows: tuple[tuple[str, str], ...] = ()
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Keys:
    """Makes the keys that rows are kept by; they change with all that a row hangs on."""

    catalogue: Catalogue
    program: str
    today: date

    def of_head(self, path: Path) -> str:
        """Return the key of a package file as it is now."""
        return digest("\n".join((self.program, self.catalogue.shown(path), digest(_text(path)))))

    def of_lines(self, path: Path, head: Head) -> dict[Line, str]:
        """Return the key of each line of a package."""
        catalogue, own = self.catalogue, self.of_head(path)
        parts = {way: digest("\n".join(map(catalogue.part_digest, codes))) for way, codes in head.codes.items()}
        shared = (own, catalogue.shop_digest, self.today.isoformat() if head.dated else "")
        return {
            line: digest(
                "\n".join(
                    (
                        *shared,
                        parts[line.settled],
                        catalogue.vehicle_digests.get(line.vehicle, ""),
                        line.vehicle,
                        line.customer,
                        repr(line.settled),
                    )
                )
            )
            for line in head.lines
        }


def work_on(bench: Bench, keys: Keys, path: Path, known: Collection[str]) -> Done:
    """Judge the lines of a package whose keys are not known."""
    try:
        package = bench.catalogue.package(path)
    except InputError as error:
        return Done(None, faults=error.faults)
    head, rows, faults = head_of(package), [], list[Fault]()
    for line, key in keys.of_lines(path, head).items():
        if key in known:
            continue
        try:
            rows.append((key, packed(bench.row(package, line))))
        except InputError as error:
            faults += error.faults
    return Done(head, tuple(rows), tuple(faults))


def head_text(head: Head) -> str:
    """Return a head as JSON text."""
    data = asdict(head)
    data["codes"] = list(data["codes"].items())
    return json.dumps(data, ensure_ascii=False)


def head_of_text(text: str) -> Head:
    """Return the head of a JSON text."""
    data = json.loads(text)
    lines = tuple(Line(_settled(one["settled"]), one["customer"], one["vehicle"]) for one in data["lines"])
    codes = {_settled(way): tuple(codes) for way, codes in data["codes"]}
    return Head(data["title"], data["line"], data["place"], lines, codes, data["likeness"], data["dated"])


def _settled(pairs: list[list[str]]) -> tuple[tuple[str, str], ...]:
    return tuple((name, label) for name, label in pairs)


def _text(path: Path) -> str:
    try:
        return path.read_bytes().hex()
    except OSError:
        return ""
