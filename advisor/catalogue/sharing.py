"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. What rests on nothing of the vehicle
is looked up once for a design and stays. Findings whose words name a line of a file ("is not given, write it there")
are not shared.

Most packages differ little from one judged just before. So what was found for that one is taken over as it is, vehicle
by vehicle, where it rests on nothing in which the two differ; only the rest is looked up.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from advisor.catalogue.leaves import Bits, Index, LeafSet
from advisor.catalogue.lending import KnownFacts, LendingEngine
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

PASTS_KEPT = 100
"""Vehicles for which a design may begin with what was found for the one before."""


@dataclass(slots=True)
class Past:
    """What is known of a design in one vehicle: what was found for designs before, but for what has changed since."""

    answers: Answers = field(default_factory=dict)
    facts: KnownFacts = field(default_factory=KnownFacts)
    changed: Bits = 0

    def forget(self, index: Index) -> None:
        """Drop what rests on what has changed."""
        changed, self.changed = self.changed, 0
        if changed:
            for question in [one for one, answer in self.answers.items() if answer[1].all & changed]:
                del self.answers[question]
        self.facts.forget(index, changed)


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
        """Begin with what was found for a design before, in vehicles of the same shape; that one is not used again."""
        self.seating, self.tokens, self.rules, self.traces = seating, tokens, rules, traces
        self.pasts: dict[str, Past] = before.pasts if before else {}
        """By vehicle, what was found for the designs before."""
        self.settled: Answers = {}
        """What is the same in each of the vehicles."""
        self.leaves: Bits = 0
        """All that is known rests on these, if not on what has changed since."""
        if before:
            self._differ_from(before)
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
        changed = self.tokens.other_than(before.tokens, before.leaves)
        self.leaves = before.leaves & ~changed
        self.settled = {one: answer for one, answer in before.settled.items() if not answer[1].all & changed}
        self.traces.taken += len(self.settled)
        for past in self.pasts.values():
            past.changed |= changed

    def past(self, vehicle: str) -> Past:
        """Return what is known of this design in a vehicle from those before, to be gone on with."""
        past = self.pasts.pop(vehicle, None) or Past()
        past.forget(self.tokens.index)
        self.pasts[vehicle] = past
        if len(self.pasts) > PASTS_KEPT:
            del self.pasts[next(iter(self.pasts))]
        self.traces.taken += len(past.answers)
        return past

    def settle(self, asked: Asked, answer: Answer) -> None:
        """Take note of a finding that is the same in each of the vehicles."""
        self.settled[asked.question] = answer
        self.sum.add(answer[0], asked.subject)

    def settle_figure(self, fact: str, answer: Answer | None) -> None:
        """Take note of a figure that is the same in each of the vehicles."""
        if answer is not None:
            self.settled[self.open_figures.pop(fact)] = answer
            self.figures[fact] = answer[0]


class LineJudge:
    """Judges a design in one vehicle, with what is known from other lines."""

    def __init__(self, plan: Plan, vehicle: VehicleTokens, facts: Traces) -> None:
        self.plan, self.line, self.facts = plan, Line(plan.tokens, vehicle), facts
        self.past = plan.past(vehicle.code)

    @cached_property
    def judge(self) -> Judge:
        """Works out what is not known; made when it is first needed."""
        return Judge(self.engine, self.plan.rules)

    @cached_property
    def engine(self) -> LendingEngine:
        """Has the facts of the line."""
        return LendingEngine(self.plan.seating.chain, self.facts, self.line, self.past.facts)

    def found(self) -> tuple[Sum, dict[str, float | None]]:
        """Return what comes of all findings, and facts of the job."""
        result = self._findings(), self._figures()
        self.plan.leaves |= self.past.facts.leaves
        return result

    def _findings(self) -> Sum:
        plan, mine = self.plan, self.past.answers
        found: list[tuple[Told, Subject]] = []
        still = []
        for asked in plan.open:
            answer = mine.get(asked.question)
            if answer is not None:
                told = answer[0]
            else:
                told, leaves = self._in_vehicle_before(asked) or self._told(asked)
                if leaves is not None:
                    plan.leaves |= leaves.all
                    if not leaves.vehicle:
                        plan.settle(asked, (told, leaves))
                        continue
                    mine[asked.question] = told, leaves
            found.append((told, asked.subject))
            still.append(asked)
        plan.open = still
        result = plan.sum.copy()
        result.add_all(found)
        return result

    def _figures(self) -> dict[str, float | None]:
        found: dict[str, float | None] = {}
        for fact, question in list(self.plan.open_figures.items()):
            answer = self.past.answers.get(question)
            if answer is None:
                answer = self._figure(fact, question)
                self.plan.leaves |= answer[1].all
                if not answer[1].vehicle:
                    self.plan.settle_figure(fact, answer)
                    continue
                self.past.answers[question] = answer
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
