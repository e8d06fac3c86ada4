"""What can be turned in a job: a number with its neighbours, or a choice among things."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from advisor.facts.engine import Key
from advisor.reading.edits import Edit


@dataclass(frozen=True)
class Option:
    """One change that could be made: its edits, and what a person would say they do."""

    edits: tuple[Edit, ...]
    says: str

    def __add__(self, other: Option) -> Option:
        return Option((*self.edits, *other.edits), f"{self.says}, and {other.says}")


@dataclass(frozen=True)
class Number:
    """A number of the job that can be larger or smaller, in steps one would set, nearest first.

    `given` says what the facts engine is to read for a value, where it can be tried without building the chain anew.
    """

    start: float
    up: Sequence[float]
    down: Sequence[float]
    option: Callable[[float], Option]
    given: Callable[[float], Mapping[Key, Any]] | None = None


@dataclass(frozen=True)
class Choice:
    """Things of which one could be taken instead, nearest first."""

    options: tuple[Option, ...]


Knob = Number | Choice


def steps(start: float, step: Callable[[float], float], least: float, most: float) -> tuple[list[float], list[float]]:
    """Return round values above and below a start, nearest first; `step` says how far apart they are at a value."""
    return list(_walk(start, step, most, 1)), list(_walk(start, step, least, -1))


def _walk(start: float, step: Callable[[float], float], end: float, sign: int) -> Iterator[float]:
    value = start
    for _ in range(400):
        width = step(value if sign > 0 else value * 0.999)
        whole = math.floor(value / width + 1e-9)
        on_a_step = abs(value / width - whole) < 1e-6
        following = whole + 1 if sign > 0 else whole - 1 if on_a_step else whole
        value = round(following * width, 6)
        if (value - end) * sign > 0 or value <= 0:
            return
        yield value


def hz_step(hz: float) -> float:
    """How finely a crossover is set: about a fiftieth."""
    return next(width for below, width in ((50, 1), (200, 5), (1000, 10), (4000, 50), (math.inf, 100)) if hz < below)


def litre_step(litres: float) -> float:
    """How finely a box is built."""
    return 0.5 if litres < 20 else 1.0


def from_list(start: float, values: Sequence[float]) -> tuple[list[float], list[float]]:
    """Return the values of a list above and below a start, nearest first."""
    return [value for value in values if value > start], [value for value in reversed(values) if value < start]
