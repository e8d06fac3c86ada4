"""Parts that are nearly the same as another: every number within two in a hundred, every word alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.catalogue.catalogue import Catalogue

WITHIN = 0.02
"""What two samples of one loudspeaker differ by is more than this; so are the sheets of two makes of it."""

ASIDE = ("title", "source", "data", "price", "lead_days", "discontinued", "weight_kg", "fit_h")
"""What may differ without making a part another for a design."""

LEAST = 4
"""Numbers that have to agree: with fewer, cables and fuses of neighbouring sizes would be the same."""

Number = dict[tuple[str, ...], float]


def nearly_alike(catalogue: Catalogue) -> Iterator[tuple[str, str, str, str]]:
    """Yield pairs of parts that differ in nothing that matters: both codes, what is told, where the second stands."""
    library = catalogue.library
    kinds: dict[str, list[tuple[str, Number, dict[tuple[str, ...], Any]]]] = {}
    for code in library.parts:
        data = library.data_of(code)
        numbers: Number = {}
        words: dict[tuple[str, ...], Any] = {}
        _flatten({key: value for key, value in data.items() if key not in ASIDE}, (), numbers, words)
        for other, theirs, said in kinds.setdefault(str(data.get("kind")), []):
            if said == words and _near(numbers, theirs):
                yield other, code, _told(library.data_of(other), data, other, code), library.parts[code].place
        kinds[str(data.get("kind"))].append((code, numbers, words))


def _near(ours: Number, theirs: Number) -> bool:
    if ours.keys() != theirs.keys() or len(ours) < LEAST:
        return False
    return all(abs(ours[key] - theirs[key]) <= WITHIN * max(abs(ours[key]), abs(theirs[key])) for key in ours)


def _told(one: dict[str, Any], other: dict[str, Any], first: str, second: str) -> str:
    prices = (one.get("price"), other.get("price"))
    tail = f"; they cost {prices[0]:g} and {prices[1]:g}" if all(isinstance(p, int | float) for p in prices) else ""
    return f"{second} is {first} again: no number that matters differs by more than {WITHIN:.0%}{tail}."


def _flatten(value: Any, path: tuple[str, ...], numbers: Number, words: dict[tuple[str, ...], Any]) -> None:
    if isinstance(value, dict):
        for key, inner in value.items():
            _flatten(inner, (*path, str(key)), numbers, words)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            _flatten(inner, (*path, str(index)), numbers, words)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        numbers[path] = float(value)
    else:
        words[path] = value
