"""By how much what facts rest on may be off: what a file says beside a value, else rules/tolerances.yaml."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any

from advisor.errors import Fault, RulebookError
from advisor.facts.reading import BASES, Reading
from advisor.reading.origin import Origin, root_of
from advisor.reading.quantities import unit_of
from advisor.reading.source import read_source
from advisor.reading.within import Within, read_within
from advisor.shipped import rules_folder

SECTIONS = ("verdicts", "inputs", "rules of thumb", "rules of thumb by unit", "at their word")
_FORM = {"as", "measured", "datasheet", "rule of thumb"}


@dataclass(frozen=True)
class Tolerances:
    """The table: of verdicts by unit, of given values by field and basis, of rules of thumb by name or unit."""

    verdicts: dict[str, dict[str, Any]]
    inputs: dict[str, dict[str, Within]]
    sources: dict[str, str]
    assumed: dict[str, Within | None]
    assumed_by_unit: dict[str, Within]
    at_their_word: frozenset[str]

    def of_given(self, field: str, basis: str) -> Within | None:
        """Return what a field is within when somebody says it on some ground; None where it is taken at its word."""
        return self.inputs.get(field, {}).get(basis)

    def of_assumed(self, name: str, unit: str) -> Within | None:
        """Return what a rule of thumb is within."""
        if name in self.assumed:
            return self.assumed[name]
        return self.assumed_by_unit.get(unit, self.assumed_by_unit["any other"])


def usual(reading: Reading) -> Within | None:
    """Return what a given value or a rule of thumb is within, where nothing is written beside it."""
    if reading.kind == "assumed":
        return tolerances().of_assumed(reading.key[1], reading.unit)
    return tolerances().of_given(reading.key[-1], reading.basis)


@functools.cache
def tolerances() -> Tolerances:
    """Read the table.

    Raises RulebookError where it cannot be used.
    """
    file = read_source(rules_folder() / "tolerances.yaml", "rules/tolerances.yaml")
    data, root = file.data, root_of(file)
    faults: list[Fault] = []
    if not isinstance(data, dict) or tuple(data) != SECTIONS:
        raise RulebookError([root.fault(f"tolerances come in the sections {', '.join(SECTIONS)}")])
    for unit, entry in data["verdicts"].items():
        if not isinstance(entry, dict) or set(entry) != _FORM:
            faults.append(root.fault(f"'{unit}' needs {', '.join(sorted(_FORM))}"))
    found: dict[str, dict[str, Within]] = {}
    for field, entry in data["inputs"].items():
        place = root.down(("inputs", field))[0]
        if not isinstance(entry, dict) or "source" not in entry or not set(entry) <= {*BASES, "source"}:
            faults.append(place.fault("needs its source, and what it is within by basis", at_key=True))
            continue
        sizes = {basis: raw for basis, raw in entry.items() if basis != "source"}
        found[field] = {
            basis: size
            for basis, raw in sizes.items()
            if (size := _read(raw, "W" if field.endswith("watts") else unit_of(field), place, faults))
        }
    assumed = {
        name: None if raw == "none" else _read(raw, "", root.down(("rules of thumb", name))[0], faults)
        for name, raw in data["rules of thumb"].items()
    }
    section = "rules of thumb by unit"
    by_unit = {u: _read(raw, u, root.down((section, u))[0], faults) for u, raw in data[section].items()}
    if faults:
        raise RulebookError(faults)
    return Tolerances(
        data["verdicts"],
        found,
        {field: entry["source"] for field, entry in data["inputs"].items()},
        assumed,
        {unit: within for unit, within in by_unit.items() if within},
        frozenset(data["at their word"]),
    )


def _read(raw: Any, unit: str, place: Origin, faults: list[Fault]) -> Within | None:
    try:
        return read_within(raw, unit)
    except ValueError as error:
        faults.append(place.fault(f"'{raw}' {error}"))
        return None
