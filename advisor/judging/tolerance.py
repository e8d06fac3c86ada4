"""How near is too near to call: by what the numbers rest on, from rules/tolerances.yaml."""

from __future__ import annotations

import functools
from typing import Any

from advisor.errors import RulebookError
from advisor.facts.reading import Reading, weakest
from advisor.reading.origin import root_of
from advisor.reading.source import read_source
from advisor.shipped import rules_folder


@functools.cache
def _table() -> dict[str, Any]:
    file = read_source(rules_folder() / "tolerances.yaml", "rules/tolerances.yaml")
    for unit, entry in file.data.items():
        if not isinstance(entry, dict) or set(entry) != {"as", "measured", "datasheet", "rule of thumb"}:
            raise RulebookError([root_of(file).fault(f"'{unit}' needs as, measured, datasheet, rule of thumb")])
    data: dict[str, Any] = file.data
    return data


def within(readings: list[Reading], right: float) -> float:
    """Return the margin under which a comparison is too close to call, in the unit of the comparison."""
    unit = unit_of(readings)
    basis = weakest([reading.basis for reading in readings])
    entry = _table().get(unit)
    if entry is None or basis == "computed":
        return 0.0
    size = float(entry[basis])
    return size * abs(right) if entry["as"] == "share" else size


def unit_of(readings: list[Reading]) -> str:
    """Return the unit of a comparison: that of the first number it read."""
    return next((reading.unit for reading in readings if reading.unit), "")
