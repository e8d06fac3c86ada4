"""Claims that are not kept, told once where several vehicles fail a package for the same reasons."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import islice

from advisor.catalogue.audit import Audit
from advisor.catalogue.matrix import Cell, Matrix
from advisor.catalogue.row import Noted
from advisor.judging.formats import listed
from advisor.telling.audit.words import cell_words, first_findings, line_words, numbers

LOOKED_AT = 5
"""So many claims are looked at for each that is told: those that fail alike are told together."""

_SIDE = re.compile(r" (left|right)\b")


@dataclass(frozen=True)
class Reason:
    """One finding, or the same on both sides."""

    where: str
    first: Noted

    @property
    def says(self) -> str:
        """The sentence, without the side where it is of both."""
        return self.first.says if self.where == self.first.at else _SIDE.sub("", self.first.says)

    @property
    def numbers(self) -> str:
        """Both sides of the comparison."""
        return numbers(self.first)


@dataclass
class Claim:
    """Claims of one package that fail for the same reasons; `number` counts what is told."""

    number: int
    reasons: list[Reason]
    cells: list[Cell] = field(default_factory=list)

    @property
    def package(self) -> str:
        """The package."""
        return self.cells[0].package

    @property
    def where(self) -> str:
        """The vehicles, the worst first."""
        return listed([cell.vehicle for cell in self.cells])

    @property
    def words(self) -> str:
        """The verdict and margin of the worst."""
        return cell_words(self.cells[0])

    @property
    def line(self) -> str:
        """Which line is the worst, where there are several."""
        cell = self.cells[0]
        return line_words(cell.package, cell.worst) if len(cell.entries) > 1 else ""


def failing(matrix: Matrix) -> list[Cell]:
    """Return the claims that are not kept, the worst first."""
    return [cell for cell in matrix.worst_first() if not cell.holds]


def told_claims(audit: Audit, cells: list[Cell], most: int) -> list[Claim]:
    """Return so many claims at most, the worst first."""
    found: dict[tuple[str, ...], Claim] = {}
    for cell in islice(cells, most * LOOKED_AT):
        reasons = merged(first_findings(audit.row(cell.worst)))
        same = (cell.package, *(f"{one.where} {one.first.rule} {one.first.outcome} {one.says}" for one in reasons))
        if same not in found:
            if len(found) == most:
                continue
            found[same] = Claim(len(found) + 1, reasons)
        found[same].cells.append(cell)
    return list(found.values())


def merged(found: list[Noted]) -> list[Reason]:
    """Return findings with those that differ in nothing but the side told once."""
    groups: dict[tuple[str, str, str], list[Noted]] = {}
    for one in found:
        groups.setdefault((one.rule, _SIDE.sub("", one.at), _SIDE.sub("", one.says)), []).append(one)
    return [
        Reason(f"{_SIDE.sub('', group[0].at)}, left and right" if len(group) > 1 else group[0].at, group[0])
        for group in groups.values()
    ]
