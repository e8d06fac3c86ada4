"""A brief for the terminal."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from advisor.telling.brief.brief import Brief
from advisor.telling.harmless import harmless
from advisor.telling.terminal import styled

WIDTH = 88
NO_BREAK = "\u00a0"
_AMOUNT = re.compile(r"(?<=\d) (?=\w)")
"""The spaces inside an amount, and before what it is counted in: no line ends there."""


def brief_text(brief: Brief) -> str:
    """Return a brief as text."""
    return "\n".join(_lines(brief)) + "\n"


def _lines(brief: Brief) -> Iterator[str]:
    yield styled(harmless(" ".join(brief.title.split())), bold=True)
    for section in brief.sections:
        yield ""
        yield styled(section.heading, bold=True)
        for paragraph in section.paragraphs:
            yield from _wrapped(paragraph, "")
        for point in section.points:
            yield from _wrapped(point, "- ")
        room = max((len(name) for name, _ in section.amounts), default=0)
        wide = max((len(amount) for _, amount in section.amounts), default=0)
        for name, amount in section.amounts:
            yield harmless(f"{name.ljust(room)}  {amount.rjust(wide)}")


def _wrapped(text: str, first: str) -> list[str]:
    whole = _AMOUNT.sub(NO_BREAK, " ".join(harmless(text).split()))
    then = " " * len(first)
    lines = textwrap.wrap(whole, WIDTH, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
    return [line.replace(NO_BREAK, " ") for line in lines]
