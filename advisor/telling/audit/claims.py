"""Claims that are not kept, told once where several vehicles fail a package for the same reasons."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import islice

from advisor.catalogue.audit import Audit
from advisor.catalogue.matrix import Cell, Matrix
from advisor.judging.formats import listed
from advisor.telling.audit.fields import Field, field_of
from advisor.telling.audit.reasons import Reason
from advisor.telling.audit.words import line_words

LOOKED_AT = 5
"""So many claims are looked at for each that is told: those that fail alike are told together."""


@dataclass
class Claim:
    """Claims of one package that fail for the same reasons; `number` counts what is told."""

    number: int
    worst: Field
    cells: list[Cell] = field(default_factory=list)

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """What the claim fails by, the worst first."""
        return self.worst.reasons

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
        return self.worst.words

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
        one = field_of(audit, cell)
        same = (cell.package, *(f"{it.where} {it.first.rule} {it.first.outcome} {it.says}" for it in one.reasons))
        if same not in found:
            if len(found) == most:
                continue
            found[same] = Claim(len(found) + 1, one)
        found[same].cells.append(cell)
    return list(found.values())
