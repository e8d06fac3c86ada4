"""A review for the terminal: what needs attention, each with its numbers and its reason."""

from __future__ import annotations

import os
import textwrap
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import click

from advisor.judging.review import Review
from advisor.telling.groups import Told, sections, verdict
from advisor.telling.harmless import harmless

if TYPE_CHECKING:
    from advisor.judging.remedies import Place, WayOut

_COLOURS = {"Must be fixed": "red", "Trade-offs": "yellow"}


def review_text(review: Review, ways: Mapping[Place, WayOut] | None = None, width: int = 100) -> str:
    """Return the review as text, with the ways out found; colours are in it where the terminal shows them."""
    return "\n".join(_lines(review, ways or {}, width)) + "\n"


def _lines(review: Review, ways: Mapping[Place, WayOut], width: int) -> Iterator[str]:
    yield styled(review.system.job.job, bold=True)
    yield from textwrap.wrap(verdict(review), width)
    for section in sections(review):
        yield ""
        yield styled(section.heading, bold=True, fg=_COLOURS.get(section.heading))
        for number, told in section.findings:
            yield from finding_lines(told, f"{number:>3}. ", width)
            if ways:
                yield from _ways_out(told, ways, review, width)


def finding_lines(told: Told, mark: str, width: int) -> Iterator[str]:
    """Yield a finding with its numbers and its reason; `mark` stands before its place."""
    first = told.first
    yield mark + styled(told.where, bold=True) + f"  {first.rule.name}  {harmless(first.place)}"
    if first.waiver is not None:
        spec = first.waiver.specs["spec"]
        yield from _wrapped(f"waived until {spec.until} by {spec.by}: {spec.reason}", width)  # type: ignore[attr-defined]
    yield from _wrapped(told.says or first.why_not, width)
    if told.numbers:
        yield from _wrapped(told.numbers, width)
    if told.measure_first:
        yield from _wrapped(told.measure_first, width)
    if told.assumed:
        yield from _wrapped(f"Taken by rule of thumb: {told.assumed}", width)
    if told.because:
        yield from _wrapped(f"Why: {told.because}", width)


def _ways_out(told: Told, ways: Mapping[Place, WayOut], review: Review, width: int) -> Iterator[str]:
    from advisor.telling.ways_out import tell_way_out

    way = tell_way_out(told.first, ways, review)
    if way is None:
        return
    for remedy in way.remedies:
        tail = f" ({remedy.costs})" if remedy.costs else ""
        yield from _wrapped(f"Way out: {remedy.says}{tail}.", width)
        yield from _wrapped(f"{remedy.verb}{'; '.join(remedy.writes)}", width, "       ")
        if remedy.clears:
            yield from _wrapped(f"also mends {remedy.clears}", width, "       ")
        for opened in remedy.opens:
            yield from _wrapped(f"but then {opened}", width, "       ")
    for line in (way.none, way.nearest):
        if line:
            yield from _wrapped(line, width)
    if way.conflict:
        yield from _wrapped("These cannot hold together here, whatever was tried; one of them has to give:", width)
        for member in way.conflict:
            yield from _wrapped(f"- {member}", width, "       ")


def styled(text: str, **how: Any) -> str:
    """Style a text, unless who reads it asked for none (NO_COLOR set to anything)."""
    text = harmless(text)
    return text if os.environ.get("NO_COLOR") else click.style(text, **how)


def _wrapped(text: str, width: int, indent: str = "     ") -> list[str]:
    return textwrap.wrap(harmless(text), width, initial_indent=indent, subsequent_indent=indent, break_long_words=False)
