"""Whether a verdict is too close to call: by what the inputs of both sides bring to the difference between them.

Most verdicts are so far from their limit that no input could change them: how far that is, by unit and by what the
weakest number rests on, says a table. Only what is nearer is worked out, and what rests on a value that says its own
tolerance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from advisor.facts.doubts import Doubt, Doubts, Worth
from advisor.facts.engine import Key
from advisor.facts.reading import Reading, weakest
from advisor.facts.tolerances import tolerances

LOOKED_INTO = 2.5
"""Margins of up to so many times the table's are looked into. Of all verdicts of the examples that come out too close
when every one is looked into, the farthest is at 2.3 times; looking into all would take a review twice as long."""

MOST_INPUTS = 150
"""What rests on more inputs than any design has is judged by the table: looking into each would take minutes."""

CLEAR = 2.0
"""A margin of so many times what a rough look gives is clear."""


@dataclass(frozen=True)
class Nearness:
    """The margin under which a comparison is too close to call, and the doubt it is made of where it was looked at."""

    within: float
    doubt: Doubt | None = None


def nearness(
    readings: list[Reading], right: float, margin: float, doubts: Doubts, worth: Worth, touched: set[Key]
) -> Nearness:
    """Return how near is too near for a comparison; `worth` works its margin out in another engine."""
    usual = _usual(readings, right)
    if _is_clear(readings, usual, margin) or len(inputs := doubts.inputs(readings)) > MOST_INPUTS:
        return Nearness(usual)
    rough = doubts.roughly(inputs, margin, worth, touched)
    if abs(margin) > CLEAR * rough:
        return Nearness(rough)
    doubt = doubts.of(readings, worth, touched)
    return Nearness(doubt.within, doubt)


def is_near(readings: list[Reading], right: float, margin: float, doubts: Doubts) -> bool:
    """Tell whether a margin is so small, or what it rests on says so of itself, that the inputs are looked into."""
    clear = _is_clear(readings, _usual(readings, right), margin)
    return not clear and len(doubts.inputs(readings)) <= MOST_INPUTS


def _is_clear(readings: list[Reading], usual: float, margin: float) -> bool:
    return abs(margin) >= LOOKED_INTO * usual and not any(reading.says_own for reading in readings)


def _usual(readings: list[Reading], right: float) -> float:
    """Return what the table says, in the unit of the comparison."""
    basis = weakest([reading.basis for reading in readings])
    entry: dict[str, Any] | None = tolerances().verdicts.get(unit_of(readings))
    if entry is None or basis == "computed":
        return 0.0
    size = float(entry[basis])
    return size * abs(right) if entry["as"] == "share" else size


def unit_of(readings: list[Reading]) -> str:
    """Return the unit of a comparison: that of the first number it read."""
    return next((reading.unit for reading in readings if reading.unit), "")
