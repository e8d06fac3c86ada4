"""What a finding rests on, told so that it is the same in every line: a driver in a door, whichever package it is of.

Of a package and a vehicle that is what stands there. Of what is read once for a whole audit (parts, rules of thumb, the
shop's figures) it is enough to say which it is. Sets of leaves are whole numbers, a bit for each leaf: what many facts
rest on together is then a single operation.
"""

from __future__ import annotations

from advisor.chain.kinds import KINDS
from advisor.facts.engine import Key
from advisor.facts.registry import register

PACKAGE, VEHICLE = "package", "vehicle"
"""Roles of the two files that differ from line to line."""

OF_VEHICLE = f"{VEHICLE}#"
CODE = ("given", f"{PACKAGE}#", "vehicle")
"""Which vehicle a job is for stands in the job."""

SAYS, CALLED, IS_IN = "says", "called", "is in"
"""Leaves of parts: what one says, which it is, where a subject's part is used first."""

Leaf = tuple[str, ...]
"""A key of a reading that is no fact."""

Bits = int
"""A set of keys or leaves, each by its bit."""


def is_leaf(key: Key) -> bool:
    """Tell whether something stands at a key that may differ from line to line: it is no fact, and no part's."""
    kind = key[0]
    if kind != "given":
        return kind in (SAYS, CALLED, IS_IN) or (kind != "assumed" and (kind, key[2]) not in register())
    file, of_a_file, _ = key[1].partition("#")
    return not of_a_file or file in (PACKAGE, VEHICLE)  # else a part's, or the shop's


def is_of_vehicle(leaf: Leaf) -> bool:
    """Tell whether what stands at a leaf is the vehicle's."""
    return leaf[0] == "given" and (leaf[1].startswith(OF_VEHICLE) or leaf == CODE)


MOST = 5_000
"""Sets kept at once by what is in them; one that is met again after they were dropped is made again."""


def may_be_of_part(key: Key) -> bool:
    """Tell whether a part of the library, or what one says, may stand at a key."""
    if key[0] == "given":
        return not is_leaf(key)
    return key[0] in KINDS and key[2] in KINDS[key[0]].specs


class Index(dict[Key, Bits]):
    """The bit of every key that was met."""

    def __init__(self) -> None:
        super().__init__()
        self.by_number: list[Key] = []
        self.leaves: Bits = 0
        """Keys that are leaves."""
        self.vehicle: Bits = 0
        """Those at which the vehicle's own stands."""
        self.of_parts: Bits = 0
        """Those at which a part, or what one says, may stand."""
        self.by_whose: dict[tuple[str, str], Bits] = {}
        """Keys that have their first two words in common."""
        self._sets: dict[Bits, LeafSet] = {}
        self._tuples: dict[Bits, tuple[int, ...]] = {}

    def __missing__(self, key: Key) -> Bits:
        bit = self[key] = 1 << len(self.by_number)
        self.by_whose[key[0], key[1]] = self.by_whose.get((key[0], key[1]), 0) | bit
        self.by_number.append(key)
        if is_leaf(key):
            self.leaves |= bit
            if is_of_vehicle(key):
                self.vehicle |= bit
        if may_be_of_part(key):
            self.of_parts |= bit
        return bit

    def keys_in(self, bits: Bits) -> tuple[Key, ...]:
        """Return the keys of a set."""
        return tuple([self.by_number[number] for number in numbers_in(bits)])

    def leaf_set(self, leaves: Bits) -> LeafSet:
        """Return some leaves sorted by where they stand."""
        found = self._sets.get(leaves)
        if found is None:
            if len(self._sets) >= MOST:
                self._sets.clear()
                self._tuples.clear()
            vehicle = leaves & self.vehicle
            design = self.tuple_of(leaves ^ vehicle)
            found = self._sets[leaves] = LeafSet(leaves, vehicle, design, self.tuple_of(vehicle))
        return found

    def tuple_of(self, leaves: Bits) -> tuple[int, ...]:
        """Return the numbers of some leaves; for a while the same tuple for the same leaves."""
        found = self._tuples.get(leaves)
        if found is None:
            found = self._tuples[leaves] = tuple(numbers_in(leaves))
        return found


class LeafSet:
    """The leaves that a finding rests on, those of the vehicle and all others, each by its number."""

    __slots__ = ("all", "design", "in_design", "in_vehicle", "of_vehicle", "vehicle")

    def __init__(self, leaves: Bits, of_vehicle: Bits, design: tuple[int, ...], vehicle: tuple[int, ...]) -> None:
        self.all, self.of_vehicle, self.design, self.vehicle = leaves, of_vehicle, design, vehicle
        self.in_design, self.in_vehicle = id(design), id(vehicle)


def numbers_in(bits: Bits) -> list[int]:
    """Return the numbers of the bits that are set, the lowest first.

    >>> numbers_in(0b10010)
    [1, 4]
    """
    text, found = bin(bits)[:1:-1], []
    number = text.find("1")
    while number >= 0:
        found.append(number)
        number = text.find("1", number + 1)
    return found
