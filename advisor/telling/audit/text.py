"""An audit for the terminal: what is not kept, the worst first, and what else was found."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.catalogue.audit import Audit
from advisor.catalogue.changes import Change
from advisor.catalogue.matrix import Matrix, matrix_of, suspects
from advisor.catalogue.remarks import SAYS, Remark
from advisor.telling.audit.claims import failing, told_claims
from advisor.telling.audit.words import plural, summary
from advisor.telling.harmless import harmless
from advisor.telling.terminal import styled

TOLD = 20
"""Claims told one by one; files hold all."""

REASONS = 4
"""Findings told of each."""

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
    cells = failing(matrix)
    if not cells:
        return
    yield ""
    yield styled("Claims that are not kept, the worst first", bold=True)
    claims = told_claims(audit, cells, TOLD)
    for claim in claims:
        verdict = styled(claim.words, fg=_COLOURS.get(claim.cells[0].verdict))
        yield f"  {styled(claim.package, bold=True)}: {verdict}"
        yield from _wrapped(f"in {claim.where}", width)
        if claim.line:
            yield from _wrapped(f"Worst: {claim.line}", width)
        for one in claim.reasons[:REASONS]:
            told = f"{one.where}, {one.first.rule}: {one.says}"
            yield from _wrapped(f"{told} ({one.numbers})" if one.numbers else told, width)
            yield from _wrapped(one.first.place, width)
        if len(claim.reasons) > REASONS:
            yield f"    … and {len(claim.reasons) - REASONS} more."
    left = len(cells) - sum(len(claim.cells) for claim in claims)
    if left:
        yield f"  … and {plural(left, 'claim')} more; write them with -o FILE.html, .md, .csv or .json."


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
