"""What was found before, by all it rests on.

A question (a rule on a subject) is worked out from leaves; which those are may hang on what stands at the first of
them. So each question has some sets of leaves, and each set the answers by what stood there. A question that has many
sets is looked up in two steps: first by the leaves that all of them have.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from advisor.catalogue.leaves import Bits, Index, LeafSet
from advisor.catalogue.tokens import DesignTokens, Digest, VehicleTokens

MANY = 8
"""Sets of leaves of one question that are looked through one by one."""

Stood = Digest
"""What stood at the leaves of a design, and at those of a vehicle."""


@dataclass(frozen=True, slots=True)
class Line:
    """What stands at the leaves of one line."""

    design: DesignTokens
    vehicle: VehicleTokens

    def at(self, leaves: LeafSet) -> Stood:
        """Return what stands at some leaves."""
        design, vehicle = self.design, self.vehicle
        one = design.digests.get(leaves.in_design) or design.digest(leaves.design)
        return one + (vehicle.digests.get(leaves.in_vehicle) or vehicle.digest(leaves.vehicle))


@dataclass(slots=True)
class Known:
    """Answers where the leaves looked at were these: lately, and before that."""

    leaves: LeafSet
    found: dict[Stood, Any] = field(default_factory=dict)
    before: dict[Stood, Any] = field(default_factory=dict)


@dataclass(slots=True, eq=False)
class Question:
    """All that is known of one question."""

    known: list[Known] = field(default_factory=list)
    common: LeafSet | None = None
    """With many sets, the leaves that all of them have."""
    by_common: dict[Stood, list[Known]] = field(default_factory=dict)

    def likely(self, line: Line) -> list[Known]:
        """Return the sets that may have an answer for a line."""
        return self.known if self.common is None else self.by_common.get(line.at(self.common), [])

    def enter(self, known: Known, line: Line, index: Index) -> None:
        """Take in a set of leaves that was met in a line. Where fewer leaves are common now, the rest is forgotten."""
        if self.common is None and len(self.known) < MANY:
            self.known.append(known)
            return
        common = known.leaves.all
        for leaves in [one.leaves for one in self.known] if self.common is None else [self.common]:
            common &= leaves.all
        if self.common is None or common != self.common.all:
            self.known, self.by_common, self.common = [], {}, index.leaf_set(common)
        self.known.append(known)
        self.by_common.setdefault(line.at(self.common), []).append(known)


class Traces:
    """Answers to questions of lines before. Of those not asked for in a long while room is made for others."""

    def __init__(self, index: Index, most: int) -> None:
        self.index, self.most = index, most
        self.questions: dict[Any, Question] = defaultdict(Question)
        self.turns: dict[tuple[Any, ...], int] = {}
        """By some inputs turned, and to what, a number."""
        self.late = self.taken = self.made = 0

    def get(self, question: Question, line: Line) -> tuple[Any, Known] | None:
        """Return a known answer with where it was found."""
        design, vehicle = line.design, line.vehicle
        of_design, of_vehicle = design.digests, vehicle.digests
        for known in question.known if question.common is None else question.likely(line):
            leaves = known.leaves
            one = of_design.get(leaves.in_design) or design.digest(leaves.design)
            stood = one + (of_vehicle.get(leaves.in_vehicle) or vehicle.digest(leaves.vehicle))
            found = known.found.get(stood)
            if found is None:
                if not known.before:
                    continue
                found = known.before.pop(stood, None)
                if found is None:
                    continue
                self._keep(known, stood, found)
            self.taken += 1
            return found, known
        return None

    def put(self, question: Question, line: Line, rests_on: Bits, found: Any) -> LeafSet:
        """Keep an answer with what it rests on; return its leaves."""
        leaves = self.index.leaf_set(rests_on)
        known = next((one for one in question.likely(line) if one.leaves.all == rests_on), None)
        if known is None:
            known = Known(leaves)
            question.enter(known, line, self.index)
        self.made += 1
        self._keep(known, line.at(known.leaves), found)
        return known.leaves

    def _keep(self, known: Known, stood: Stood, found: Any) -> None:
        known.found[stood] = found
        self.late += 1
        if 2 * self.late >= self.most:
            self._grow_old()

    def _grow_old(self) -> None:
        """Drop what was not asked for since this was done last."""
        self.late = 0
        for question in self.questions.values():
            for one in question.known:
                one.before, one.found = one.found, {}
            question.known = [one for one in question.known if one.before]
            kept = {stood: [one for one in known if one.before] for stood, known in question.by_common.items()}
            question.by_common = {stood: known for stood, known in kept.items() if known}
