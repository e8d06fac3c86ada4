"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. What rests on nothing of the vehicle
is looked up once for a design and stays. Findings whose words name a line of a file ("is not given, write it there")
are not shared.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

from advisor.catalogue.leaves import LeafSet
from advisor.catalogue.lending import LendingEngine
from advisor.catalogue.plan import Answer, Asked, Plan, Sought
from advisor.catalogue.tokens import VehicleTokens
from advisor.catalogue.told import Sum, Told, told_of
from advisor.catalogue.traces import Line, Question, Traces
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.judge import Judge


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
        plan = self.plan
        answers: list[Any] = self.past.answers
        passing: list[int] = []
        settled: dict[int, Answer] = {}
        for place in [place for place, answer in enumerate(answers) if answer is None]:
            asked = plan.asked(place)
            answers[place] = told, leaves = self._known(asked) or self._told(asked)
            if leaves is None:
                passing.append(place)
                continue
            plan.leaves |= leaves.all
            if not leaves.vehicle:
                settled[place] = told, leaves
        result = plan.sum.copy()
        result.add_all([answer[0] for answer in answers], plan.subjects)
        for place in passing:
            answers[place] = None
        plan.settle(settled)
        return result

    def _figures(self) -> dict[str, float | None]:
        plan, known, found = self.plan, self.past.figures, dict[str, float | None]()
        for fact, sought in list(plan.open_figures.items()):
            answer = known.get(fact)
            if answer is None:
                answer = self._known(sought) or self._figure(fact, sought.question)
                plan.leaves |= answer[1].all
                if not answer[1].vehicle:
                    plan.settle_figure(fact, answer)
                    continue
                known[fact] = answer
            found[fact] = answer[0][0]
        return {**plan.figures, **found}

    def _known(self, sought: Sought) -> Answer | None:
        """Return what is known from lines before: first, at the leaves by which it was found in the last vehicle."""
        known, traces = sought.known, self.plan.traces
        if known is not None and (stands := self.line.vehicle.digests.get(known.leaves.in_vehicle)):
            found = known.found.get(sought.design + stands)
            if found is not None:
                traces.taken += 1
                return found, known.leaves
        answer = traces.get(sought.question, self.line)
        if answer is None:
            return None
        found, sought.known = answer
        sought.design = self.line.design.digest(sought.known.leaves.design)
        return found, sought.known.leaves

    def _told(self, asked: Asked) -> tuple[Told, LeafSet | None]:
        """Return a finding that is not known, and what it rests on if it is shared."""
        finding = self.judge.finding(asked.rule, asked.subject)
        told = told_of(finding, asked.number)
        if not told.is_shared:
            return told, None
        tokens = self.line.design
        below = self.engine.below(self.judge.rests_on(asked.rule, asked.subject))
        leaves = tokens.valued(below) | tokens.named([reading.key for reading in finding.readings])
        return told, self.plan.traces.put(asked.question, self.line, leaves, told)

    def _figure(self, fact: str, question: Question) -> Answer:
        with self.engine.frame() as frame:
            found = figure(self.engine, self.plan.seating.job, fact)
        leaves = self.line.design.valued(self.engine.below(frame.touched))
        return (found,), self.plan.traces.put(question, self.line, leaves, (found,))


def figure(engine: Engine, job: Subject, fact: str) -> float | None:
    """Return a number of the job, None where there is none."""
    try:
        engine.read(job, fact)
        return float(engine.ask(job, fact).value)
    except (Missing, NotDefined, BrokenFact):
        return None
