"""How an audit's verdicts, margins and findings are said."""

from __future__ import annotations

from advisor.catalogue.audit import Audit, Entry
from advisor.catalogue.matrix import Matrix
from advisor.catalogue.row import Noted, Row
from advisor.judging.formats import with_unit
from advisor.judging.rule import ORDERED
from advisor.telling.groups import WORDS


def margin_words(share: float | None) -> str:
    """Return a margin by share of its limit: `12 % past its limit`, nothing where there is none."""
    if share is None:
        return ""
    percent = abs(share) * 100
    return f"{percent:.{0 if percent >= 10 else 1}f} % " + ("past its limit" if share < 0 else "to spare")


def line_words(package: str, entry: Entry) -> str:
    """Return which line it is: package, choices, customer, vehicle."""
    choice = ", ".join(f"{name} {label}" for name, label in entry.line.settled)
    return f"{package} in {entry.line.vehicle} for {entry.line.customer}" + (f", with {choice}" if choice else "")


def numbers(one: Noted) -> str:
    """Return both sides of a comparison, and what was wanted."""
    if one.op not in ORDERED or not isinstance(one.left, float) or one.unit == "money":
        return ""
    return f"is {with_unit(one.left, one.unit)}, wanted {WORDS[one.op]} {with_unit(one.right, one.unit)}"


def summary(audit: Audit, matrix: Matrix) -> list[str]:
    """Return an audit in a few sentences."""
    failing = sum(not cell.holds for cell in matrix.cells.values())
    claims = len(matrix.cells)
    counted = ", ".join(f"{count} {verdict}" for verdict, count in matrix.counts().items())
    lines = len(audit.entries)
    said = [
        f"{plural(len(matrix.packages), 'package')} and {plural(len(matrix.vehicles), 'vehicle')}: "
        f"{plural(claims, 'claim')}, {failing} of them not kept.",
        f"By their worst line: {counted}.",
        f"{plural(lines, 'line')} (a package, its choices settled, for a customer, in a vehicle); "
        f"{audit.judged} judged now, {lines - audit.judged} known from before.",
    ]
    if audit.baseline.known:
        said.append(f"The baseline holds {plural(len(audit.baseline.known), 'finding')}; none of them counts.")
    return said


def plural(count: int, word: str) -> str:
    """Return a count with its word: `1 claim`, `2 claims`."""
    return f"{count} {word}" + ("" if count == 1 else "s")


def split_place(place: str) -> tuple[str, int, int]:
    """Return file, line and column of a place; the first line where none is told."""
    parts = place.rsplit(":", 2)
    if len(parts) == 3 and parts[1].isdigit() and parts[2].isdigit():
        return parts[0], int(parts[1]), int(parts[2])
    return place, 1, 1


def first_findings(row: Row) -> list[Noted]:
    """Return what decides a line: what must be fixed, else what is open, from the worst."""
    for outcome, level in (
        ("broken", None),
        ("falls short", "must"),
        ("too close to call", "must"),
        ("cannot tell", "must"),
        ("falls short", "trade-off"),
        ("falls short", "tip"),
    ):
        if found := row.of(outcome, level):
            return found
    return []
