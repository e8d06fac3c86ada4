"""An audit for the terminal: what is not kept, the worst first, and what else was found."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.catalogue.audit import Audit
from advisor.catalogue.changes import Change
from advisor.catalogue.matrix import Matrix, matrix_of, suspects
from advisor.catalogue.remarks import SAYS, Remark
from advisor.telling.audit.words import cell_words, first_findings, line_words, numbers, plural, summary
from advisor.telling.harmless import harmless
from advisor.telling.terminal import styled

TOLD = 20
"""Claims told one by one; files hold all."""

_COLOURS = {"cannot be built": "red", "not judged": "red", "must be fixed": "red", "not known": "yellow"}


def audit_text(audit: Audit, changes: list[Change] | None = None, width: int = 100) -> str:
    """Return an audit as text; colours are in it where the terminal shows them."""
    return "\n".join(_lines(audit, changes, width)) + "\n"


def _lines(audit: Audit, changes: list[Change] | None, width: int) -> Iterator[str]:
    matrix = matrix_of(audit)
    yield styled(f"Audit of {audit.catalogue.name}", bold=True)
    for sentence in summary(audit, matrix):
        yield from textwrap.wrap(harmless(sentence), width)
    if changes is not None:
        yield from _changes(changes, width)
    yield from _claims(audit, matrix, width)
    yield from _remarks(audit, width)
    yield from _suspects(audit, width)


def _claims(audit: Audit, matrix: Matrix, width: int) -> Iterator[str]:
    failing = [cell for cell in matrix.worst_first() if not cell.holds]
    if failing:
        yield ""
        yield styled("Claims that are not kept, the worst first", bold=True)
    for cell in failing[:TOLD]:
        yield (
            f"  {styled(cell.package, bold=True)} in {harmless(cell.vehicle)}: "
            f"{styled(cell_words(cell), fg=_COLOURS.get(cell.verdict))}"
        )
        row = audit.row(cell.worst)
        if len(cell.entries) > 1:
            yield from _wrapped(line_words(cell.package, cell.worst), width)
        for one in first_findings(row)[:3]:
            told = f"{one.at}, {one.rule}: {one.says}"
            yield from _wrapped(f"{told} ({numbers(one)})" if numbers(one) else told, width)
            yield from _wrapped(one.place, width)
    if len(failing) > TOLD:
        yield f"  … and {plural(len(failing) - TOLD, 'claim')} more; write them with -o FILE.html, .md, .csv or .json."


def _remarks(audit: Audit, width: int) -> Iterator[str]:
    rules = dict.fromkeys(remark.rule for remark in audit.remarks)
    for rule in rules:
        found = [remark for remark in audit.remarks if remark.rule == rule]
        yield ""
        yield styled(f"{rule} ({found[0].level})", bold=True)
        if rule in SAYS:
            yield from _wrapped(f"Wanted: {SAYS[rule]}", width)
        for remark in found[:TOLD]:
            yield from _wrapped(_remark(remark), width)
        if len(found) > TOLD:
            yield f"    … and {len(found) - TOLD} more."


def _remark(remark: Remark) -> str:
    return f"{remark.says} ({remark.place})"


def _suspects(audit: Audit, width: int) -> Iterator[str]:
    found = suspects(audit)
    if not found:
        return
    yield ""
    yield styled("Rules that tell nothing apart here; their limits may be suspect", bold=True)
    for how in dict.fromkeys(one.how for one in found):
        names = [one.rule for one in found if one.how == how]
        yield from _wrapped(f"{how} ({len(names)}): {', '.join(names)}", width)


def _changes(changes: list[Change], width: int) -> Iterator[str]:
    yield ""
    yield styled("What the change did", bold=True)
    if not changes:
        yield "    No line comes out otherwise."
    for change in changes[: 2 * TOLD]:
        yield from _wrapped(change.says, width)
        for one in (*change.worse[:3], *change.better[:3]):
            yield from _wrapped(f"  {one}", width)
    if len(changes) > 2 * TOLD:
        yield f"    … and {len(changes) - 2 * TOLD} more."


def _wrapped(text: str, width: int) -> list[str]:
    indent = "    "
    return textwrap.wrap(harmless(text), width, initial_indent=indent, subsequent_indent=indent, break_long_words=False)
