"""Findings that rest on the same leaves of a vehicle, together: what was found is known by what stands there.

Most of what is asked of a vehicle hangs on little of it: on which side of the seats a place is, whether an airbag is
near. Vehicles that say the same there have the same findings, all of them at once.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import dataclass, field
from operator import itemgetter, or_
from typing import Any

from advisor.catalogue.leaves import Bits, Index, LeafSet
from advisor.catalogue.tokens import Digest, VehicleTokens
from advisor.catalogue.traces import Known, Question
from advisor.chain.subject import Subject
from advisor.judging.rule import Rule

Row = tuple[int, Rule, Question]
"""A rule's number, the rule, and what is known of it on one subject."""

BUNDLES_KEPT = 200
"""Of one group at once; vehicles that say what no other says need one each."""


@dataclass(slots=True)
class Sought:
    """Something that is asked of a design, and what is known of it from the vehicle before."""

    question: Question
    known: Known | None = None
    """Where its answer was found."""
    design: Digest = b""
    """What stands at the leaves of the design, of all that the answer rests on."""


@dataclass(slots=True)
class Asked(Sought):
    """A rule on a subject."""

    number: int = 0
    rule: Rule = field(kw_only=True)
    subject: Subject = field(kw_only=True)


def asked_of(row: Row, subject: Subject) -> Asked:
    """Return what is asked of a subject by a rule."""
    return Asked(row[2], number=row[0], rule=row[1], subject=subject)


@dataclass(slots=True)
class Bundle:
    """What was found of a group where something stood at its leaves; None where it is to be looked up."""

    told: list[Any]
    sets: list[LeafSet | None]
    """What each rests on."""
    missing: list[int]
    """Places of those to be looked up."""


class Group:
    """What rests on some leaves of a vehicle, or on none but those, as asked of one design."""

    def __init__(self, bits: Bits, leaves: tuple[int, ...]) -> None:
        self.bits, self.leaves, self.in_vehicle = bits, leaves, id(leaves)
        self._others = ~bits
        self.rows: list[Row] = []
        self.subjects: list[Subject] = []
        self.bundles: dict[Digest, Bundle] = {}
        """By what stands at the leaves."""
        self._asked: dict[int, Asked] = {}
        self._met: set[LeafSet] = set()
        """All that findings here rest on."""

    def asked(self, place: int) -> Asked:
        """Return what is asked, with what is known of it."""
        asked = self._asked.get(place)
        if asked is None:
            asked = self._asked[place] = asked_of(self.rows[place], self.subjects[place])
        return asked

    def bundle(self, stands: Digest) -> Bundle:
        """Return what was found where this stands at the leaves."""
        found = self.bundles.get(stands)
        if found is None:
            if len(self.bundles) >= BUNDLES_KEPT:
                del self.bundles[next(iter(self.bundles))]
            many = len(self.rows)
            found = self.bundles[stands] = Bundle([None] * many, [None] * many, list(range(many)))
        return found

    def holds(self, rests_on: LeafSet) -> bool:
        """Tell whether something rests on no leaves of a vehicle but those of this group."""
        return not rests_on.of_vehicle & self._others

    def fill(self, bundle: Bundle, place: int, told: Any, rests_on: LeafSet) -> None:
        """Take in what was found."""
        bundle.told[place], bundle.sets[place] = told, rests_on
        self._met.add(rests_on)

    def join(self, asked: Asked, row: Row) -> int:
        """Take in one more that is asked; return its place."""
        place = len(self.rows)
        self.rows.append(row)
        self.subjects.append(asked.subject)
        self._asked[place] = asked
        for bundle in self.bundles.values():
            bundle.told.append(None)
            bundle.sets.append(None)
            bundle.missing.append(place)
        return place

    def of_next(self, asked: dict[Question, tuple[Row, Subject]], gone: dict[LeafSet, bool]) -> Group | None:
        """Return what is left of it for another design, of what is asked there; this one is not used again.

        What is taken over is no more in `asked`.
        """
        places = [place for place, row in enumerate(self.rows) if row[2] in asked]
        if not places:
            return None
        other = Group(self.bits, self.leaves)
        for place in places:
            row, subject = asked.pop(self.rows[place][2])
            other.rows.append(row)
            other.subjects.append(subject)
        stale = {leaves for leaves in self._met if gone[leaves]}
        other._met = self._met - stale
        if not stale and len(places) == len(self.rows):
            other.bundles = self.bundles
            return other
        pick = itemgetter(*places, places[0])  # one more, for of a single place it would give no tuple
        for stands, bundle in self.bundles.items():
            told, sets = list(pick(bundle.told)), list(pick(bundle.sets))
            del told[-1], sets[-1]
            missing = [place for place, leaves in enumerate(sets) if leaves is None or leaves in stale]
            for place in missing:
                told[place] = sets[place] = None
            if len(missing) < len(told):
                other.bundles[stands] = Bundle(told, sets, missing)
        return other


def joined(groups: list[Group], vehicles: Iterable[VehicleTokens], index: Index) -> Group:
    """Return one group of many, with all that was found of them in some vehicles."""
    bits = functools.reduce(or_, [group.bits for group in groups])
    found = Group(bits, index.tuple_of(bits))
    for group in groups:
        found.rows += group.rows
        found.subjects += group.subjects
        found._met |= group._met
    for vehicle in vehicles:
        stands = vehicle.digest(found.leaves)
        if stands not in found.bundles:
            told: list[Any] = []
            sets: list[LeafSet | None] = []
            for group in groups:
                bundle = group.bundle(vehicle.digest(group.leaves))
                told += bundle.told
                sets += bundle.sets
            missing = [place for place, leaves in enumerate(sets) if leaves is None]
            found.bundles[stands] = Bundle(told, sets, missing)
    return found
