"""Lines of a width for the terminal, never broken inside an amount or before what it is counted in."""

from __future__ import annotations

import re
import textwrap

from advisor.telling.harmless import harmless

_NO_BREAK = "\u00a0"
_AMOUNT = re.compile(r"(?<=\d) (?=\w)")


def wrapped(text: str, width: int, first: str = "", then: str | None = None) -> list[str]:
    """Return a text in lines; `first` stands before the first, `then` (as much space as `first`) before the others.

    >>> wrapped("It costs 5 778 EUR.", 12, "- ")
    ['- It costs', '  5 778 EUR.']
    """
    whole = _AMOUNT.sub(_NO_BREAK, " ".join(harmless(text).split()))
    indent = " " * len(first) if then is None else then
    lines = textwrap.wrap(
        whole, width, initial_indent=first, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
    return [line.replace(_NO_BREAK, " ") for line in lines]
