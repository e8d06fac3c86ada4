"""A review for the terminal: what needs attention, each with its numbers and its reason."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import click

from advisor.judging.review import Review
from advisor.telling.groups import Told, sections, verdict

_COLOURS = {"Must be fixed": "red", "Trade-offs": "yellow"}


def review_text(review: Review, width: int = 100) -> str:
    """Return the review as text; colours are in it where the terminal shows them."""
    return "\n".join(_lines(review, width)) + "\n"


def _lines(review: Review, width: int) -> Iterator[str]:
    yield click.style(review.system.job.job, bold=True)
    yield from textwrap.wrap(verdict(review), width)
    for section in sections(review):
        yield ""
        yield click.style(section.heading, bold=True, fg=_COLOURS.get(section.heading))
        for number, told in section.findings:
            yield from _finding(told, number, width)


def _finding(told: Told, number: int, width: int) -> Iterator[str]:
    first = told.first
    yield f"{number:>3}. " + click.style(told.where, bold=True) + f"  {first.rule.name}  {first.place}"
    if first.waiver is not None:
        spec = first.waiver.specs["spec"]
        yield from _wrapped(f"waived until {spec.until} by {spec.by}: {spec.reason}", width)  # type: ignore[attr-defined]
    yield from _wrapped(told.says or first.why_not, width)
    if told.numbers:
        yield from _wrapped(told.numbers, width)
    if told.because:
        yield from _wrapped(f"Why: {told.because}", width)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, initial_indent="     ", subsequent_indent="     ", break_long_words=False)
