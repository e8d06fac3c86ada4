"""What a finding rests on, told so that it is the same in every line: a driver in a door, whichever package it is of.

Of a package and a vehicle that is what stands there. Of what is read once for a whole audit (parts, rules of thumb, the
shop's figures) it is enough to say which it is.
"""

from __future__ import annotations

import functools

from advisor.facts.engine import Key
from advisor.facts.registry import register

PACKAGE, VEHICLE = "package", "vehicle"
"""Roles of the two files that differ from line to line."""

OF_VEHICLE = f"{VEHICLE}#"
CODE = ("given", f"{PACKAGE}#", "vehicle")
"""Which vehicle a job is for stands in the job."""

Leaf = tuple[str, ...]
"""A key of a reading that is no fact."""


@functools.lru_cache(maxsize=50_000)
def leaf_of(key: Key) -> Leaf | None:
    """Return the leaf of a key; none where it is a fact, or what stands there is the same in every line."""
    if key[0] == "assumed":
        return None
    if key[0] != "given":
        return None if (key[0], key[2]) in register() else key
    file, of_a_file, _ = key[1].partition("#")
    return key if not of_a_file or file in (PACKAGE, VEHICLE) else None  # a part, or the shop's


class LeafSet:
    """The leaves that a finding rests on, those of the vehicle and all others."""

    __slots__ = ("all", "design", "in_design", "in_vehicle", "vehicle")

    def __init__(self, leaves: frozenset[Leaf], of_vehicles: dict[tuple[Leaf, ...], tuple[Leaf, ...]]) -> None:
        """Sort some leaves; `of_vehicles` holds the leaves of vehicles that were met before, one tuple for each."""
        self.all = leaves
        ordered = sorted(leaves)
        vehicle = tuple([leaf for leaf in ordered if is_of_vehicle(leaf)])
        self.vehicle = of_vehicles.setdefault(vehicle, vehicle)
        self.design = tuple([leaf for leaf in ordered if not is_of_vehicle(leaf)])
        self.in_design, self.in_vehicle = id(self.design), id(self.vehicle)


def is_of_vehicle(leaf: Leaf) -> bool:
    """Tell whether what stands at a leaf is the vehicle's."""
    return leaf[0] == "given" and (leaf[1].startswith(OF_VEHICLE) or leaf == CODE)
