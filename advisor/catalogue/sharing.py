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

from advisor.catalogue.leaves import Bits, LeafSet
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
"""What was found, and what it rests on."""

PASTS_KEPT = 100
"""Vehicles for which a design may begin with what was found for the one before."""


@dataclass(slots=True)
class Past:
    """What was found in one vehicle for a design, and facts of it and those before."""

    number: int
    """Of the design."""
    answers: dict[Question, Answer] = field(default_factory=dict)
    facts: KnownFacts = field(default_factory=KnownFacts)


class Gone(dict[LeafSet, bool]):
    """Tells of sets of leaves whether something has changed at any of them; none has where there is no set."""

    def __init__(self, changed: Bits) -> None:
        super().__init__()
        self.changed = changed

    def __missing__(self, leaves: LeafSet) -> bool:
        gone = self[leaves] = bool(leaves.all & self.changed)
        return gone


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
        """By vehicle, what was found for this design and those before."""
        self.settled: dict[Question, Answer] = {}
        """What is the same in each of the vehicles."""
        self.leaves: Bits = 0
        """All that is known and still holds rests on these."""
        self.changed: list[Bits] = []
        """By number of a design before, the leaves in which this one or one between differs from it."""
        if before:
            self._differ_from(before)
        self.number = len(self.changed)
        self.changed.append(0)
        self._gone: dict[int, Gone] = {}
        self.sum = Sum(len(rules))
        """Of the findings among what is settled."""
        self.open: list[Asked] = []
        for number, rule in enumerate(rules.values()):
            for subject in seating.chain.of_kind(rule.about):
                question = traces.questions[rule.name, *subject.key]
                answer = self.settled.get(question)
                if answer is not None:
                    self.sum.add(answer[0], subject)
                else:
                    self.open.append(Asked(number, rule, subject, question))
        self._open_apart()
        self.figures: dict[str, float | None] = {}
        """By fact of the job, what is settled."""
        self.open_figures = {fact: traces.questions["", "job", fact] for fact in figures}
        for fact, question in list(self.open_figures.items()):
            self.settle_figure(fact, self.settled.get(question))

    def _differ_from(self, before: Plan) -> None:
        changed = self.tokens.other_than(before.tokens, before.leaves)
        self.leaves = before.leaves & ~changed
        self.changed = [bits | changed for bits in before.changed]
        self.settled = {one: answer for one, answer in before.settled.items() if not answer[1].all & changed}
        self.traces.taken += len(self.settled)

    def gone_since(self, number: int) -> Gone:
        """Return what no longer holds of a design before."""
        found = self._gone.get(number)
        if found is None:
            found = self._gone[number] = Gone(self.changed[number])
        return found

    def past(self, vehicle: str) -> Past:
        """Return what was found in a vehicle before."""
        past = self.pasts.pop(vehicle, None) or Past(self.number)
        past.facts.begin(self.number, self.changed, self.tokens.index)
        self.pasts[vehicle] = past
        if len(self.pasts) > PASTS_KEPT:
            del self.pasts[next(iter(self.pasts))]
        return past

    def settle(self, answers: dict[int, Answer]) -> None:
        """Take note of findings that are the same in each of the vehicles, by place among what is open."""
        if answers:
            for place, answer in answers.items():
                self.settled[self.open[place].question] = answer
                self.sum.add(answer[0], self.open[place].subject)
            self.open = [asked for place, asked in enumerate(self.open) if place not in answers]
            self._open_apart()

    def _open_apart(self) -> None:
        self.questions = [asked.question for asked in self.open]
        self.subjects = [asked.subject for asked in self.open]

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
        plan, past = self.plan, self.past
        before, gone = past.answers, plan.gone_since(past.number)
        past.answers, past.number = {}, plan.number
        result = self._findings(before, gone), self._figures(before, gone)
        plan.leaves |= past.facts.leaves
        plan.traces.taken += len(past.answers)
        return result

    def _findings(self, before: dict[Question, Answer], gone: Gone) -> Sum:
        plan, questions = self.plan, self.plan.questions
        answers: list[Any] = list(map(before.get, questions))
        passing: list[int] = []
        settled: dict[int, Answer] = {}
        digests = self.line.vehicle.digests
        for place in [place for place, answer in enumerate(answers) if answer is None or gone[answer[1]]]:
            asked = plan.open[place]
            if (known := asked.known) is not None and (stands := digests.get(known.leaves.in_vehicle)):
                found = known.found.get(asked.design + stands)
                if found is not None:  # at the leaves by which it was found in the vehicle before
                    answers[place] = found, known.leaves
                    plan.leaves |= known.leaves.all
                    continue
            answers[place] = told, leaves = self._told(asked)
            if leaves is None:
                passing.append(place)
                continue
            plan.leaves |= leaves.all
            if not leaves.vehicle:
                settled[place] = told, leaves
        result = plan.sum.copy()
        result.add_all([answer[0] for answer in answers], plan.subjects)
        self.past.answers = dict(zip(questions, answers, strict=True))
        for place in (*passing, *settled):
            del self.past.answers[questions[place]]
        plan.settle(settled)
        return result

    def _figures(self, before: dict[Question, Answer], gone: Gone) -> dict[str, float | None]:
        plan, found = self.plan, dict[str, float | None]()
        for fact, question in list(plan.open_figures.items()):
            answer = before.get(question)
            if answer is None or gone[answer[1]]:
                answer = self._figure(fact, question)
                plan.leaves |= answer[1].all
                if not answer[1].vehicle:
                    plan.settle_figure(fact, answer)
                    continue
            self.past.answers[question] = answer
            found[fact] = answer[0]
        return {**plan.figures, **found}

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
