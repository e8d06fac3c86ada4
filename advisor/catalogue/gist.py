"""The gist of a line: what lines are counted and compared by, without the words of what was found.

It is kept beside the row, so that whoever goes through all lines need not unpack every finding of theirs.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.catalogue.baseline import identity_of
from advisor.catalogue.bench import FIGURES
from advisor.catalogue.row import Row
from advisor.judging.rule import LEVELS

Open = tuple[int, int, int, int]
"""Findings that fall short by level, worst first, and those that cannot be told."""

_NAMES = tuple(name for name, *_ in FIGURES)
_encode = json.JSONEncoder(separators=(",", ":")).encode


@dataclass(frozen=True, slots=True)
class Gist:
    """A line in short."""

    verdict: str
    rules: str
    """A digit for each rule of the rulebook, as its row has it."""
    share: float | None
    """The margin of the worst finding as a share of its limit."""
    open: Open
    figures: dict[str, float]


def gist_text(row: Row) -> str:
    """Return the gist of a row as JSON text."""
    figures = dict(row.figures)
    share = row.worst.share if row.worst else None
    return _encode([row.verdict, row.rules, share, open_of(row), [figures.get(name) for name in _NAMES]])


def gists_of_texts(texts: Iterable[str]) -> Iterator[Gist]:
    """Yield the gists of some JSON texts."""
    for verdict, rules, share, counts, figures in json.loads(f"[{','.join(texts)}]"):
        known = {name: value for name, value in zip(_NAMES, figures, strict=True) if value is not None}
        yield Gist(verdict, rules, share, tuple(counts), known)


def open_of(row: Row, known: frozenset[str] = frozenset()) -> Open:
    """Count what is open in a line, without those that are known, by their identities."""
    counts = [0, 0, 0, 0]
    for one in row.noted:
        if one.outcome in ("falls short", "too close to call", "cannot tell"):
            if known and identity_of(row, one) in known:
                continue
            counts[LEVELS.index(one.level) if one.outcome == "falls short" else len(LEVELS)] += 1
    return (counts[0], counts[1], counts[2], counts[3])
