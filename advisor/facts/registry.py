"""The register of facts: which names a kind of subject has beyond what files say."""

from __future__ import annotations

import functools
import importlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from advisor.chain.kinds import KINDS

MODULES = (
    "arriving",
    "balance",
    "band",
    "beaming",
    "branches",
    "bench",
    "box",
    "commissioning",
    "charging",
    "component_load",
    "cooling",
    "crossings",
    "curves",
    "feeding",
    "fit",
    "fixing",
    "gain",
    "hearing",
    "heat",
    "height",
    "levels",
    "listeners",
    "loads",
    "meeting",
    "money",
    "mounting",
    "motion",
    "network",
    "orders",
    "output",
    "pads",
    "power",
    "ready_made",
    "seat",
    "settings",
    "sheet",
    "spending",
    "signal_path",
    "stage",
    "retention",
    "storage",
    "supply",
    "time",
    "waking",
    "windings",
    "wiring",
    "work",
)  # fmt: skip
"""Every module that declares facts."""


@dataclass(frozen=True)
class Fact:
    """One fact of a kind of subject: how it is computed, in which unit, by whose formula."""

    kind: str
    name: str
    unit: str
    says: str
    source: str
    compute: Callable[[Any], Any]
    hidden: bool


_REGISTER: dict[tuple[str, str], Fact] = {}


def fact(
    kind: str, *, unit: str = "", source: str = "definition", hidden: bool = False, name: str = ""
) -> Callable[[Callable[[Any], Any]], Callable[[Any], Any]]:
    """Declare a function of one subject as a fact of that name.

    `unit` is the unit of the number (empty for words, counts and ratios), `source` the published formula or
    `common practice`. `name` is the fact's name where the function's own is taken. A
    hidden fact is a step on the way (an array, a table) that is no single number.
    """

    def register(function: Callable[[Any], Any]) -> Callable[[Any], Any]:
        assert kind in KINDS, kind
        says = (function.__doc__ or "").strip().split("\n\n")[0].replace("\n    ", " ")
        entry = Fact(kind, name or function.__name__, unit, says, source, function, hidden)
        assert (kind, entry.name) not in _REGISTER, entry
        _REGISTER[kind, entry.name] = entry
        return function

    return register


@functools.cache
def register() -> dict[tuple[str, str], Fact]:
    """Return every fact by kind and name."""
    for module in MODULES:
        importlib.import_module(f"advisor.facts.{module}")
    return _REGISTER


@functools.cache
def register_by_kind() -> dict[str, dict[str, Fact]]:
    """Return every fact by name, for each kind."""
    found: dict[str, dict[str, Fact]] = {kind: {} for kind in KINDS}
    for (kind, name), entry in register().items():
        found[kind][name] = entry
    return found
