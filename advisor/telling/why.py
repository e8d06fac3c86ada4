"""A derivation as text: the number at the top, what it was made of below, given values with their place."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.facts.doubts import Doubt
from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
from advisor.telling.doubt import name_of, off_by, share_in_words
from advisor.telling.harmless import harmless

WIDTH = 110


LINES = 40
"""What fits a screen."""


def why_text(reading: Reading) -> str:
    """Return the whole derivation of a reading; what was told once is not told again."""
    return harmless("\n".join(_lines(reading, "", "", set()))) + "\n"


def short_text(reading: Reading, doubt: Doubt | None) -> str:
    """Return a derivation that fits a screen: how sure the value is and through what, and the levels next below it."""
    head = [f"{reading.name} = {shown(reading)}  [{_ground(reading)}]", *_about(reading, "   ")]
    if doubt is not None and (doubt.within or doubt.unturned):
        head += _wrapped(_doubt(reading, doubt), "   ")
    below: list[str] = []
    cut = False
    for depth in (3, 2, 1):
        below, cut = [], False
        for line, is_cut in _short(reading, "", depth):
            below.append(line)
            cut = cut or is_cut
        if len(head) + len(below) < LINES:
            break
    left_out = max(0, len(list(reading.walk())) - 1 - len(below))
    count = f"{left_out} more stand below these; " if left_out else ""
    more = [f"{count}--full shows all, with every formula."] if cut else []
    return harmless("\n".join([*head, *below, *more])) + "\n"


def _doubt(reading: Reading, doubt: Doubt) -> str:
    """Say what a number lies within, and the inputs that decide it."""
    causes = [cause for cause in doubt.causes[:3] if cause.share >= 0.07]
    told = [
        f"{share_in_words(cause.share)} of it from {name_of(cause.input)} ({off_by(cause.input)})" for cause in causes
    ]
    within = f"± {with_unit(doubt.within, reading.unit)} (nineteen of twenty lie nearer)"
    told += [f"what {name_of(each)} brings is not known" for each in doubt.unturned[:1]]
    return f"{within}: {'; '.join(told)}" if told else within


def _short(reading: Reading, indent: str, depth: int) -> Iterator[tuple[str, bool]]:
    """Yield a line for each input some levels down, and whether anything below it is left out."""
    for index, below in enumerate(reading.inputs):
        last = index == len(reading.inputs) - 1
        cut = depth == 1 and bool(below.inputs)
        more = f"  (made of {len(below.inputs)} more)" if cut else ""
        yield f"{indent}{'└─ ' if last else '├─ '}{below.name} = {shown(below)}  [{_ground(below)}]{more}", cut
        if depth > 1:
            yield from _short(below, indent + ("   " if last else "│  "), depth - 1)


def _about(reading: Reading, indent: str) -> Iterator[str]:
    if reading.says:
        yield from _wrapped(reading.says, indent)
    if reading.source and reading.source != "definition":
        yield from _wrapped(f"after {reading.source}", indent)


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
    yield from _about(reading, indent + bar)
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
