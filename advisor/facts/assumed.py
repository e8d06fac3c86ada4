"""Rules of thumb that stand in for what was not given: read from rules/assumptions.yaml, each with its source."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any

from advisor.errors import RulebookError
from advisor.reading.origin import root_of
from advisor.reading.source import read_source
from advisor.shipped import rules_folder


@dataclass(frozen=True)
class Assumption:
    """One rule of thumb: a number (or a table by size), why it is fair, who says so, and where it stands."""

    name: str
    value: Any
    unit: str
    because: str
    source: str
    place: str


@functools.cache
def assumptions() -> dict[str, Assumption]:
    """Read the rules of thumb.

    Raises RulebookError where an entry lacks its value, reason or source.
    """
    file = read_source(rules_folder() / "assumptions.yaml", "rules/assumptions.yaml")
    root = root_of(file)
    found = {}
    for name, entry in file.data.items():
        place = root.child(name)
        assert place is not None
        wanted = {"value", "unit", "because", "source"}
        if not isinstance(entry, dict) or set(entry) != wanted:
            raise RulebookError([place.fault(f"an assumption has exactly {', '.join(sorted(wanted))}", at_key=True)])
        found[name] = Assumption(name, entry["value"], entry["unit"], entry["because"], entry["source"], place.place)
    return found
