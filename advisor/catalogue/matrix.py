"""Packages against vehicles: of each claim the worst line, and how many of its lines can be sold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from advisor.catalogue.audit import Audit, Entry
from advisor.catalogue.remarks import GOOD
from advisor.catalogue.row import VERDICTS


@dataclass(frozen=True)
class Cell:
    """One claim: all lines of a package in one vehicle, the worst first."""

    package: str
    vehicle: str
    entries: tuple[Entry, ...]

    @property
    def worst(self) -> Entry:
        """The line that decides."""
        return self.entries[0]

    @property
    def verdict(self) -> str:
        """The verdict of the worst line."""
        return self.worst.verdict

    @property
    def good(self) -> int:
        """Lines that can be sold as they are."""
        return sum(entry.verdict in GOOD for entry in self.entries)

    @property
    def holds(self) -> bool:
        """Whether the claim holds, whatever is chosen and whoever buys."""
        return self.good == len(self.entries)

    @property
    def order(self) -> tuple[int, int, float, str, str]:
        """Worst first."""
        return self.worst.order


@dataclass(frozen=True)
class Matrix:
    """Every claim of a catalogue, packages from the one that is worst off."""

    packages: tuple[str, ...]
    vehicles: tuple[str, ...]
    cells: Mapping[tuple[str, str], Cell]

    def worst_first(self) -> list[Cell]:
        """Return every claim, the worst first."""
        return sorted(self.cells.values(), key=lambda cell: cell.order)

    def counts(self) -> dict[str, int]:
        """Return how many claims came out how, the worst first."""
        counted = Counter(cell.verdict for cell in self.cells.values())
        return {verdict: counted[verdict] for verdict in VERDICTS if counted[verdict]}


def matrix_of(audit: Audit) -> Matrix:
    """Return the matrix of an audit."""
    found: dict[tuple[str, str], list[Entry]] = {}
    for entry in audit.entries:
        found.setdefault((entry.package, entry.line.vehicle), []).append(entry)
    cells = {key: Cell(*key, tuple(sorted(entries, key=lambda one: one.order))) for key, entries in found.items()}
    worst: dict[str, tuple[int, int, float, str, str]] = {}
    for cell in cells.values():
        worst[cell.package] = min(worst.get(cell.package, cell.order), cell.order)
    packages = sorted(worst, key=lambda name: (worst[name], name))
    return Matrix(tuple(packages), tuple(sorted(audit.catalogue.library.vehicles)), cells)


@dataclass(frozen=True)
class Suspect:
    """A rule that comes out the same wherever it applies, or applies nowhere: it may be worded past the point."""

    rule: str
    level: str
    how: str
    lines: int


def suspects(audit: Audit) -> list[Suspect]:
    """Return the rules that fall short everywhere they apply, those that apply nowhere, those that hold everywhere."""
    found: list[Suspect] = []
    for rule, level in audit.rules.items():
        counted = audit.counts[rule]
        applied = sum(_of(counted, ("falls short", "waived", "too close to call", "cannot tell", "holds")))
        if not applied:
            found.append(Suspect(rule, level, "applies nowhere", 0))
        elif counted["falls short"] + counted["waived"] == applied:
            found.append(Suspect(rule, level, "falls short wherever it applies", applied))
        elif counted["holds"] == applied:
            found.append(Suspect(rule, level, "holds wherever it applies", applied))
    order = ("falls short wherever it applies", "applies nowhere", "holds wherever it applies")
    return sorted(found, key=lambda one: (order.index(one.how), one.rule))


def _of(counted: Counter[str], outcomes: Iterable[str]) -> list[int]:
    return [counted[outcome] for outcome in outcomes]
