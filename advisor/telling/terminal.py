"""A review for the terminal: what needs attention, each with its numbers and its reason."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import click

from advisor.judging.review import Review
from advisor.telling.groups import Told, tell, verdict

SECTIONS = (
    ("broken", None, "Rules that broke (our fault: please report them)"),
    ("falls short", "must", "Must be fixed"),
    ("falls short", "trade-off", "Trade-offs"),
    ("falls short", "tip", "Tips"),
    ("too close to call", None, "Too close to call"),
    ("cannot tell", None, "Cannot be told"),
    ("waived", None, "Waived"),
)
"""Outcome, level and heading of what is told, in order."""

_COLOURS = {"Must be fixed": "red", "Trade-offs": "yellow"}


def review_text(review: Review, width: int = 100) -> str:
    """Return the review as text; colours are in it where the terminal shows them."""
    return "\n".join(_lines(review, width)) + "\n"


def _lines(review: Review, width: int) -> Iterator[str]:
    yield click.style(review.system.job.job, bold=True)
    yield from textwrap.wrap(verdict(review), width)
    number = 0
    for outcome, level, heading in SECTIONS:
        found = tell(review.of(outcome, level))
        if found:
            yield ""
            yield click.style(heading, bold=True, fg=_COLOURS.get(heading))
        for told in found:
            number += 1
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
