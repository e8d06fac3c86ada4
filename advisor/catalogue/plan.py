"""What is asked of a design, and what is answered for it before any of its lines is judged.

Most packages differ little from one judged just before. What was found for that one is taken over as it is, vehicle by
vehicle, where it rests on nothing in which the two differ; only the rest is looked up or worked out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from advisor.catalogue.bundles import Asked, Group, Row, Sought, asked_of, joined
from advisor.catalogue.leaves import CALLED, IS_IN, SAYS, Bits, Index, LeafSet
from advisor.catalogue.lending import KnownFacts
from advisor.catalogue.seating import Seating
from advisor.catalogue.tokens import DesignTokens, VehicleTokens
from advisor.catalogue.told import Sum
from advisor.catalogue.traces import Question, Traces
from advisor.chain.subject import Subject
from advisor.facts.engine import Key
from advisor.judging.rule import Rule

Answer = tuple[Any, LeafSet]
"""What was found, and what it rests on."""

FEW, UNLIKE = 3, 0.9
"""Vehicles from which on groups are joined, and the share of them that is unlike in what hardly two are alike in."""

PASTS_KEPT = 100
"""Vehicles for which a design may begin with facts of the one before."""


class Questions:
    """What is asked of each subject, whichever designs it is in."""

    def __init__(self, rules: dict[str, Rule], figures: Iterable[str], traces: Traces) -> None:
        self.rules, self.traces = rules, traces
        self.figures = {fact: traces.questions["", "job", fact] for fact in figures}
        self._about: dict[str, list[tuple[int, Rule]]] = {}
        for number, rule in enumerate(rules.values()):
            self._about.setdefault(rule.about, []).append((number, rule))
        self._rows: dict[Key, list[Row]] = {}

    def of(self, subject: Subject) -> list[Row]:
        """Return the rules that are held against a subject."""
        rows = self._rows.get(subject.key)
        if rows is None:
            asked = self.traces.questions
            rows = [
                (number, rule, asked[rule.name, *subject.key]) for number, rule in self._about.get(subject.kind, ())
            ]
            self._rows[subject.key] = rows
        return rows


@dataclass(slots=True)
class Past:
    """Facts of a design and those before in one vehicle."""

    vehicle: VehicleTokens
    number: int
    """Of the design."""
    figures: dict[str, Answer] = field(default_factory=dict)
    facts: KnownFacts = field(default_factory=KnownFacts)


class Gone(dict[LeafSet, bool]):
    """Tells of sets of leaves whether something has changed at any of them."""

    def __init__(self, changed: Bits, index: Index) -> None:
        super().__init__()
        self.changed = changed
        self.read_anew = [key for key in index.keys_in(changed) if key[0] not in (SAYS, CALLED, IS_IN)]
        """Keys at which something has changed, but for those that only findings are known by."""

    def __missing__(self, leaves: LeafSet) -> bool:
        gone = self[leaves] = bool(leaves.all & self.changed)
        return gone


class Plan:
    """What is asked of a design in every vehicle of one shape, and what is answered for all of them."""

    def __init__(
        self, seating: Seating, tokens: DesignTokens, questions: Questions, before: Plan | None = None
    ) -> None:
        """Begin with what was found for a design before, in vehicles of the same shape; that one is not used again."""
        self.seating, self.tokens, self.rules, self.traces = seating, tokens, questions.rules, questions.traces
        self.pasts: dict[str, Past] = before.pasts if before else {}
        """By vehicle, facts of this design and those before."""
        self.settled: dict[Question, Answer] = {}
        """What is the same in each of the vehicles."""
        self.sum = Sum(len(self.rules))
        """Of the findings among it."""
        self.groups: list[Group] = []
        """What is not, by the leaves of vehicles that it rests on."""
        self.loose: list[tuple[Row, Asked]] = []
        """What nothing is known of yet."""
        self.leaves: Bits = 0
        """All that is known and still holds rests on these."""
        self.changed: list[Bits] = []
        """By number of a design before, the leaves in which this one or one between differs from it."""
        self._begin(questions, before)
        self.number = len(self.changed)
        self.changed.append(0)
        self._gone: dict[int, Gone] = {}
        self.figures: dict[str, float | None] = {}
        """By fact of the job, what is settled."""
        self.open_figures = {fact: Sought(question) for fact, question in questions.figures.items()}
        for fact, question in questions.figures.items():
            self.settle_figure(fact, self.settled.get(question))

    def _begin(self, questions: Questions, before: Plan | None) -> None:
        gone = Gone(0, self.tokens.index)
        if before:
            changed = self.tokens.other_than(before.tokens, before.leaves)
            gone = Gone(changed, self.tokens.index)
            self.leaves = before.leaves & ~changed
            self.changed = [bits | changed for bits in before.changed]
            self.settled = {one: answer for one, answer in before.settled.items() if not gone[answer[1]]}
            self.traces.taken += len(self.settled)
        told, subjects = [], []
        still: dict[Question, tuple[Row, Subject]] = {}
        for subject in self.seating.chain.subjects:
            for row in questions.of(subject):
                answer = self.settled.get(row[2])
                if answer is not None:
                    told.append(answer[0])
                    subjects.append(subject)
                else:
                    still[row[2]] = row, subject
        self.sum.add_all(told, subjects)
        if before:
            following = [group.of_next(still, gone) for group in before.groups]
            self.groups = [group for group in following if group is not None]
            self._join_groups()
        self.loose = [(row, asked_of(row, subject)) for row, subject in still.values()]

    def past(self, vehicle: VehicleTokens) -> Past:
        """Return facts that still hold from designs before in a vehicle, to be gone on with."""
        past = self.pasts.pop(vehicle.code, None) or Past(vehicle, self.number)
        self.pasts[vehicle.code] = past
        if len(self.pasts) > PASTS_KEPT:
            del self.pasts[next(iter(self.pasts))]
        gone = self._gone.get(past.number)
        if gone is None:
            gone = self._gone[past.number] = Gone(self.changed[past.number], self.tokens.index)
        past.figures = {fact: answer for fact, answer in past.figures.items() if not gone[answer[1]]}
        past.number = self.number
        past.facts.begin(self.number, self.changed, gone.read_anew)
        return past

    def _join_groups(self) -> None:
        """Make one group of all in which every vehicle so far was alike, and one of all in which hardly two were."""
        vehicles = [past.vehicle for past in self.pasts.values()]
        if len(vehicles) < FEW:
            return
        alike = [group for group in self.groups if len(group.bundles) == 1]
        unlike = [group for group in self.groups if len(group.bundles) >= UNLIKE * len(vehicles)]
        rest = [group for group in self.groups if group not in alike and group not in unlike]
        for groups in (alike, unlike):
            rest += [joined(groups, vehicles, self.tokens.index)] if len(groups) > 1 else groups
        self.groups = rest

    def group(self, leaves: LeafSet) -> Group:
        """Return what rests on no leaves of a vehicle but some, and all of them."""
        for group in self.groups:
            if group.holds(leaves):
                return group
        self.groups.append(Group(leaves.of_vehicle, leaves.vehicle))
        return self.groups[-1]

    def settle(self, asked: Asked, answer: Answer) -> None:
        """Take note of a finding that is the same in each of the vehicles."""
        self.settled[asked.question] = answer
        self.sum.add(answer[0], asked.subject)

    def settle_figure(self, fact: str, answer: Answer | None) -> None:
        """Take note of a figure that is the same in each of the vehicles."""
        if answer is not None:
            self.settled[self.open_figures.pop(fact).question] = answer
            self.figures[fact] = answer[0][0]
