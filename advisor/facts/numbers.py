"""The numbers inside a given value: one alone, in a mapping or list, of an edge, or of a setting by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from advisor.reading.shorthand import Edge
from advisor.reading.sides import SIDES, BySide
from advisor.reading.spec import Steps


def is_number(value: Any) -> bool:
    """Tell whether a value is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def numbers_in(value: Any) -> Iterator[tuple[Steps, float]]:
    """Yield every number in a value with the path that leads to it, none for a number alone.

    >>> list(numbers_in({"driver": 1.2, "passenger": 1.5}))
    [(('driver',), 1.2), (('passenger',), 1.5)]
    """
    if is_number(value):
        yield (), value
    elif isinstance(value, Edge):
        if value.hz is not None:
            yield (), value.hz
    elif isinstance(value, BySide):
        if not value.apart:
            yield from numbers_in(value.left)
            return
        for side in SIDES:
            yield from (((side, *path), number) for path, number in numbers_in(value.of(side)))
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from (((key, *path), number) for path, number in numbers_in(item))
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from (((index, *path), number) for path, number in numbers_in(item))


def with_number(value: Any, path: Steps, number: float) -> Any:
    """Return a value with one of its numbers replaced.

    >>> with_number({"driver": 1.2, "passenger": 1.5}, ("driver",), 1.3)
    {'driver': 1.3, 'passenger': 1.5}
    """
    if isinstance(value, Edge):
        return replace(value, hz=number)
    if isinstance(value, BySide):
        if not path:
            return replace(value, left=number, right=number)
        return replace(value, left=number) if path[0] == "left" else replace(value, right=number)
    if not path:
        return number
    if isinstance(value, dict):
        return {key: with_number(item, path[1:], number) if key == path[0] else item for key, item in value.items()}
    return tuple(with_number(item, path[1:], number) if index == path[0] else item for index, item in enumerate(value))
