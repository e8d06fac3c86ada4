"""Two derivations of one fact laid beside each other: which of the values at their feet are not the same."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from advisor.facts.reading import Reading

WITHIN = ("channel", "cable", "supply")
"""Kinds of subject that go by what they belong to: another name is no other choice."""

_SIDE = re.compile(r" (left|right)\b")
_PLAIN = (bool, int, float, str, tuple, list, dict)


@dataclass(frozen=True)
class Leaf:
    """A value that is not the same in both derivations, or is in one of them alone.

    `above` names the subject whose fact read it, in each.
    """

    here: Reading | None
    there: Reading | None
    above: tuple[str, str]


@dataclass(frozen=True)
class Decided:
    """A fact where another subject decides in the one derivation than in the other."""

    here: Reading
    there: Reading


def bare(name: str) -> str:
    """Return the name of a subject without its side.

    >>> bare("mid left/tweeter left")
    'mid/tweeter'
    """
    return _SIDE.sub("", name)


def differing(here: Reading, there: Reading) -> Iterator[Leaf | Decided]:
    """Yield the values at the feet of two derivations that differ, each once.

    Where a step has the same value in both, what lies beneath it cannot be why the top differs.
    """
    seen: set[tuple[Any, ...]] = set()
    waiting = [(here, there)]
    while waiting:
        one, other = waiting.pop()
        if (one.key, other.key) in seen or _same(one, other):
            continue
        seen.add((one.key, other.key))
        above = (one.key[1], other.key[1]) if one.kind == "fact" else ("", "")
        for first, second in _paired(one, other):
            if first is None or second is None:
                yield from _alone(first, second, above)
            elif first.kind != "fact" or second.kind != "fact":
                if not _same(first, second) and (first.key, second.key, above) not in seen:
                    seen.add((first.key, second.key, above))
                    yield Leaf(first, second, above)
            elif bare(first.key[1]) != bare(second.key[1]) and first.key[0] not in WITHIN:
                if not _same(first, second):
                    yield Decided(first, second)
            else:
                waiting.append((first, second))


def _alone(first: Reading | None, second: Reading | None, above: tuple[str, str]) -> Iterator[Leaf]:
    """Yield the given values below a step that only one derivation has."""
    top = first or second
    assert top is not None
    for reading in _given_below(top, top.key[1] if top.kind == "fact" else above[0 if first else 1]):
        below, subject = reading
        yield Leaf(below, None, (subject, "")) if first else Leaf(None, below, ("", subject))


def _given_below(top: Reading, subject: str) -> Iterator[tuple[Reading, str]]:
    if top.kind != "fact":
        yield top, subject
    for below in top.inputs:
        yield from _given_below(below, below.key[1] if below.kind == "fact" else subject)


def _same(one: Reading, other: Reading) -> bool:
    """Tell whether both have the same value; of curves and the like it is not asked, they are gone through."""
    worked_out = "fact" in (one.kind, other.kind)
    if worked_out and not (_is_plain(one.value) and _is_plain(other.value)):
        return False
    if isinstance(one.value, float) and isinstance(other.value, float):
        return math.isclose(one.value, other.value, rel_tol=1e-9, abs_tol=1e-12)
    return bool(one.value == other.value)


def equal(one: Reading, other: Reading) -> bool:
    """Tell whether both have one value; a curve is never asked."""
    return _is_plain(one.value) and _is_plain(other.value) and bool(one.value == other.value)


def _is_plain(value: Any) -> bool:
    """Tell whether a value can be asked whether it is the same as another: no curve is in it."""
    if isinstance(value, tuple | list):
        return all(_is_plain(item) for item in value)
    return isinstance(value, _PLAIN)


def _paired(one: Reading, other: Reading) -> Iterator[tuple[Reading | None, Reading | None]]:
    """Yield what each was made of in pairs: by the part it plays, then by what it is, and the rest alone."""
    left = list(other.inputs)
    unmet = []
    for reading in one.inputs:
        partner = next((mate for mate in left if _part(mate) == _part(reading)), None)
        if partner is None:
            unmet.append(reading)
        else:
            left.remove(partner)
            yield reading, partner
    for reading in unmet:
        partner = next((mate for mate in left if _kind(mate) == _kind(reading)), None) if _is_choice(one) else None
        if partner is not None:
            left.remove(partner)
        yield reading, partner
    for reading in left:
        yield None, reading


def _is_choice(top: Reading) -> bool:
    """Tell whether a fact took one of several: then another subject may stand in the same place."""
    return any(reading.kind == "fact" and equal(reading, top) for reading in top.inputs)


def _part(reading: Reading) -> tuple[str, ...]:
    """Return what a reading is in its derivation, whichever file and part it came from."""
    if reading.kind in ("fact", "chain"):
        kind, subject, name = reading.key
        return (reading.kind, kind, bare(subject), name)
    if reading.kind == "given":
        holder = reading.key[1].partition("#")[2] or reading.key[1]
        return ("given", "part" if holder.startswith("parts.") else holder, reading.key[2])
    return reading.key


def _kind(reading: Reading) -> tuple[str, ...]:
    return (reading.kind, reading.key[0], reading.key[-1])
