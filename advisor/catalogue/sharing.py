"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. What rests on nothing of the vehicle
is looked up once for a design and stays. Findings whose words name a line of a file ("is not given, write it there")
are not shared.

Most packages differ little from one judged just before. So what was found for that one is taken over as it is, vehicle
by vehicle, where it rests on nothing in which the two differ; only the rest is looked up.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from operator import or_
from typing import Any

from advisor.catalogue.leaves import LeafSet
from advisor.catalogue.lending import LendingEngine
from advisor.catalogue.seating import Seating
from advisor.catalogue.tokens import DesignTokens, Digest, VehicleTokens
from advisor.catalogue.told import Sum, Told, told_of
from advisor.catalogue.traces import Known, Line, Question, Traces
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.judge import Judge
from advisor.judging.rule import Rule

Answer = tuple[Any, LeafSet]
"""What was found and what it rests on."""

Answers = dict[Question, Answer]


@dataclass(slots=True)
class Asked:
    """A rule on a subject of a design, and what is known of it from the vehicle before."""

    number: int
    rule: Rule
    subject: Subject
    question: Question
    known: Known | None = None
    """Where its answer was found."""
    design: Digest = b""
    """What stands at the leaves of the design, of all that the answer rests on."""


class Plan:
    """What is asked of a design in every vehicle of one shape, and what is answered for all of them."""

    def __init__(
        self,
        seating: Seating,
        tokens: DesignTokens,
        rules: dict[str, Rule],
        figures: Iterable[str],
        traces: Traces,
        before: Plan | None = None,
    ) -> None:
        """Begin with what was found for a design before, in vehicles of the same shape."""
        self.seating, self.tokens, self.rules, self.traces = seating, tokens, rules, traces
        self.before: Mapping[str, Answers] = before.found if before else {}
        """By vehicle, what was found for that design."""
        self.gone: set[LeafSet] = set()
        """Sets of leaves in some of which this one differs from it."""
        self.settled: Answers = {}
        """What is the same in each of the vehicles."""
        if before:
            self._differ_from(before)
        self.found: dict[str, Answers] = {}
        """By vehicle, what is not."""
        self.sum = Sum(len(rules))
        """Of the findings among what is settled."""
        self.open = []
        for number, rule in enumerate(rules.values()):
            for subject in seating.chain.of_kind(rule.about):
                question = traces.questions[rule.name, *subject.key]
                answer = self.settled.get(question)
                if answer is not None:
                    self.sum.add(answer[0], subject)
                else:
                    self.open.append(Asked(number, rule, subject, question))
        self.figures: dict[str, float | None] = {}
        """By fact of the job, what is settled."""
        self.open_figures = {fact: traces.questions["", "job", fact] for fact in figures}
        for fact, question in list(self.open_figures.items()):
            self.settle_figure(fact, self.settled.get(question))

    def _differ_from(self, before: Plan) -> None:
        answers = itertools.chain(before.settled.values(), *[found.values() for found in before.found.values()])
        rests_on = {leaves for _, leaves in answers}
        changed = self.tokens.other_than(before.tokens, functools.reduce(or_, [leaves.all for leaves in rests_on], 0))
        self.gone = {leaves for leaves in rests_on if leaves.all & changed}
        self.settled = {one: answer for one, answer in before.settled.items() if answer[1] not in self.gone}
        self.traces.taken += len(self.settled)

    def settle_figure(self, fact: str, answer: Answer | None) -> None:
        """Take note of a figure that is the same in each of the vehicles."""
        if answer is not None:
            self.settled[self.open_figures.pop(fact)] = answer
            self.figures[fact] = answer[0]


class LineJudge:
    """Judges a design in one vehicle, with what is known from other lines."""

    def __init__(self, plan: Plan, vehicle: VehicleTokens, facts: Traces) -> None:
        self.plan, self.line, self.facts = plan, Line(plan.tokens, vehicle), facts
        before, gone = plan.before.get(vehicle.code, {}), plan.gone
        self.mine = {question: answer for question, answer in before.items() if answer[1] not in gone}
        """What was found in this vehicle; to begin with, for the design before, where nothing that differs matters."""
        plan.found[vehicle.code] = self.mine
        plan.traces.taken += len(self.mine)

    @cached_property
    def judge(self) -> Judge:
        """Works out what is not known; made when it is first needed."""
        return Judge(self.engine, self.plan.rules)

    @cached_property
    def engine(self) -> LendingEngine:
        """Has the facts of the line."""
        return LendingEngine(self.plan.seating.chain, self.facts, self.line)

    def findings(self) -> Sum:
        """Return what comes of all findings."""
        plan, mine = self.plan, self.mine
        found: list[tuple[Told, Subject]] = []
        still = []
        for asked in plan.open:
            answer = mine.get(asked.question)
            if answer is not None:
                told = answer[0]
            else:
                told, leaves = self._in_vehicle_before(asked) or self._told(asked)
                if leaves is not None:
                    if not leaves.vehicle:
                        plan.settled[asked.question] = told, leaves
                        plan.sum.add(told, asked.subject)
                        continue
                    mine[asked.question] = told, leaves
            found.append((told, asked.subject))
            still.append(asked)
        plan.open = still
        result = plan.sum.copy()
        result.add_all(found)
        return result

    def figures(self) -> dict[str, float | None]:
        """Return facts of the job, None where there is none."""
        found: dict[str, float | None] = {}
        for fact, question in list(self.plan.open_figures.items()):
            answer = self.mine.get(question)
            if answer is None:
                answer = self._figure(fact, question)
                if not answer[1].vehicle:
                    self.plan.settle_figure(fact, answer)
                    continue
                self.mine[question] = answer
            found[fact] = answer[0]
        return {**self.plan.figures, **found}

    def _in_vehicle_before(self, asked: Asked) -> Answer | None:
        """Return what is known at the leaves by which an answer was found in the vehicle before."""
        known = asked.known
        if known is None or not (stands := self.line.vehicle.digests.get(known.leaves.in_vehicle)):
            return None
        told = known.found.get(asked.design + stands)
        if told is None:
            return None
        self.plan.traces.taken += 1
        return told, known.leaves

    def _told(self, asked: Asked) -> tuple[Told, LeafSet | None]:
        """Return a finding, and what it rests on if it is shared."""
        known = self.plan.traces.get(asked.question, self.line)
        if known is not None:
            told, asked.known = known
            asked.design = self.line.design.digest(asked.known.leaves.design)
            return told, asked.known.leaves
        finding = self.judge.finding(asked.rule, asked.subject)
        told = told_of(finding, asked.number)
        if not told.is_shared:
            return told, None
        tokens = self.line.design
        below = self.engine.below(self.judge.rests_on(asked.rule, asked.subject))
        leaves = tokens.valued(below) | tokens.named([reading.key for reading in finding.readings])
        return told, self.plan.traces.put(asked.question, self.line, leaves, told)

    def _figure(self, fact: str, question: Question) -> Answer:
        known = self.plan.traces.get(question, self.line)
        if known is not None:
            return known[0][0], known[1].leaves
        with self.engine.frame() as frame:
            found = figure(self.engine, self.plan.seating.job, fact)
        leaves = self.line.design.valued(self.engine.below(frame.touched))
        return found, self.plan.traces.put(question, self.line, leaves, (found,))


def figure(engine: Engine, job: Subject, fact: str) -> float | None:
    """Return a number of the job, None where there is none."""
    try:
        engine.read(job, fact)
        return float(engine.ask(job, fact).value)
    except (Missing, NotDefined, BrokenFact):
        return None
