"""The fields of the matrix: how a claim comes out, by how many findings, and which of them is the worst."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.catalogue.audit import Audit
from advisor.catalogue.baseline import identity_of
from advisor.catalogue.matrix import Cell, Matrix
from advisor.catalogue.row import Row
from advisor.telling.audit.reasons import Reason, merged
from advisor.telling.audit.words import first_findings, margin_words

SIGNS = {
    "cannot be built": "⊘",
    "not judged": "‼",
    "must be fixed": "✕",
    "not known": "?",
    "trade-offs": "△",
    "tips": "·",
    "holds": "✓",
}
"""A sign for each verdict, so that the matrix reads without colours."""

LEGEND = {
    "cannot be built": "the vehicle lacks a place the package builds at",
    "not judged": "a rule failed itself",
    "must be fixed": "not to be sold so",
    "not known": "a number is missing or too near its limit",
    "trade-offs": "can be sold, if the customer knows what is given up",
    "tips": "can be sold, and is easily bettered",
    "holds": "nothing against it",
}
"""What each verdict means to those who sell."""


@dataclass(frozen=True)
class Field:
    """What stands in a field of the matrix: of a claim the worst line, and what decides it."""

    cell: Cell
    reasons: tuple[Reason, ...]
    counted: int
    """Findings that decide, each told once for both sides; without those of the baseline."""
    worst: str
    """The rule that is missed most, with its margin."""

    @property
    def verdict(self) -> str:
        """The verdict with how many findings make it, where there are several."""
        return self.cell.verdict + (f" ({self.counted})" if self.counted > 1 else "")

    @property
    def sold(self) -> str:
        """How many of its lines can be sold, where only some can."""
        lines = len(self.cell.entries)
        return f"{self.cell.good} of {lines} can be sold" if 0 < self.cell.good < lines else ""

    @property
    def words(self) -> str:
        """All of it in one line."""
        return "; ".join(filter(None, (self.verdict, self.worst, self.sold)))

    @property
    def sign(self) -> str:
        """The sign of its verdict."""
        return SIGNS[self.cell.verdict]


def field_of(audit: Audit, cell: Cell) -> Field:
    """Return the field of one claim."""
    return _field(audit, cell, audit.row(cell.worst))


def fields_of(audit: Audit, matrix: Matrix) -> Iterator[Field]:
    """Yield the field of every claim; rows are fetched one at a time."""
    cells = list(matrix.cells.values())
    for cell, row in zip(cells, audit.rows([cell.worst for cell in cells]), strict=True):
        yield _field(audit, cell, row)


def _field(audit: Audit, cell: Cell, row: Row) -> Field:
    found = first_findings(row)
    known = audit.baseline.known
    new = [one for one in found if identity_of(row, one) not in known] if known else found
    return Field(cell, tuple(merged(found)), len(merged(new)), _worst(row))


def _worst(row: Row) -> str:
    if row.worst is not None:
        return f"{row.worst.rule}, {margin_words(row.worst.share)}"
    found = first_findings(row)
    return found[0].rule if found else ""
