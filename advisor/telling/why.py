"""A derivation as text: the number at the top, what it was made of below, given values with their place."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
from advisor.telling.harmless import harmless

WIDTH = 110


def why_text(reading: Reading) -> str:
    """Return the derivation of a reading; what was told once is not told again."""
    return harmless("\n".join(_lines(reading, "", "", set()))) + "\n"


def shown(reading: Reading) -> str:
    """Return a reading's value as people read it."""
    return "a curve" if callable(reading.value) else with_unit(reading.value, reading.unit)


def _lines(reading: Reading, lead: str, indent: str, told: set[tuple[str, ...]]) -> Iterator[str]:
    again = reading.key in told and bool(reading.inputs)
    told.add(reading.key)
    yield f"{lead}{reading.name} = {shown(reading)}  [{_ground(reading)}]{'  (see above)' if again else ''}"
    if again:
        return
    bar = "│  " if reading.inputs else "   "
    if reading.says:
        yield from _wrapped(reading.says, indent + bar)
    if reading.source and reading.source != "definition":
        yield from _wrapped(f"after {reading.source}", indent + bar)
    for index, below in enumerate(reading.inputs):
        last = index == len(reading.inputs) - 1
        yield from _lines(below, indent + ("└─ " if last else "├─ "), indent + ("   " if last else "│  "), told)


def _ground(reading: Reading) -> str:
    if reading.kind == "fact":
        return reading.basis
    if reading.kind == "assumed":
        return f"rule of thumb, {reading.place}"
    if reading.kind == "chain":
        return f"from the chain, {reading.place}"
    return f"{'given' if reading.basis == 'computed' else reading.basis}, {reading.place}"


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
