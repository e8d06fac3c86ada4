"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. What rests on nothing of the vehicle
is looked up once for a design and stays. Findings whose words name a line of a file ("is not given, write it there")
are not shared.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from advisor.catalogue.leaves import Leaf, LeafSet
from advisor.catalogue.lending import LendingEngine
from advisor.catalogue.seating import Seating
from advisor.catalogue.tokens import Digest
from advisor.catalogue.told import Sum, Told, told_of
from advisor.catalogue.traces import Known, Line, Question, Traces
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine, Key
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.judge import Judge
from advisor.judging.rule import Rule


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
    keys: tuple[frozenset[Key], tuple[Key, ...]] = (frozenset(), ())
    """What was read when it was worked out, and whose names are told."""
    leaves: frozenset[Leaf] = frozenset()
    """The leaves of those."""


class Plan:
    """What is asked of a design in every vehicle of one shape, and what is answered for all of them."""

    def __init__(self, seating: Seating, rules: dict[str, Rule], figures: Iterable[str], traces: Traces) -> None:
        self.seating, self.rules, self.traces = seating, rules, traces
        self.settled = Sum(len(rules))
        """Of findings that are the same in each of the vehicles."""
        self.open = [
            Asked(number, rule, subject, traces.question((rule.name, *subject.key)))
            for number, rule in enumerate(rules.values())
            for subject in seating.chain.of_kind(rule.about)
        ]
        self.open_figures = {fact: traces.question(("", "job", fact)) for fact in figures}
        self.figures: dict[str, float | None] = {}
        """By fact of the job, what is the same in each of the vehicles."""


class LineJudge:
    """Judges a design in one vehicle, with what is known from other lines."""

    def __init__(self, plan: Plan, line: Line, facts: Traces) -> None:
        self.plan, self.line, self.facts = plan, line, facts

    @cached_property
    def judge(self) -> Judge:
        """Works out what is not known; made when it is first needed."""
        return Judge(LendingEngine(self.plan.seating.chain, self.facts, self.line), self.plan.rules)

    def findings(self) -> Sum:
        """Return what comes of all findings."""
        plan, digests = self.plan, self.line.vehicle.digests
        found: list[tuple[Told, Subject]] = []
        still = []
        for asked in plan.open:
            told: Told | None = None
            if asked.known is not None and (stands := digests.get(asked.known.leaves.in_vehicle)):
                told = asked.known.found.get(asked.design + stands)
            if told is None:
                told, leaves = self._told(asked)
                if leaves is not None and not leaves.vehicle:
                    plan.settled.add(told, asked.subject)
                    continue
            else:
                plan.traces.taken += 1
            found.append((told, asked.subject))
            still.append(asked)
        plan.open = still
        result = plan.settled.copy()
        for told, subject in found:
            result.add(told, subject)
        return result

    def figures(self) -> dict[str, float | None]:
        """Return facts of the job, None where there is none."""
        found: dict[str, float | None] = {}
        for fact, question in list(self.plan.open_figures.items()):
            value, settled = self._figure(fact, question)
            if settled:
                self.plan.figures[fact] = value
                del self.plan.open_figures[fact]
            else:
                found[fact] = value
        return {**self.plan.figures, **found}

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
        below = frozenset(self.judge.engine.read_below(self.judge.rests_on(asked.rule, asked.subject)))
        keys = below, tuple([reading.key for reading in finding.readings])
        if asked.keys != keys:
            asked.keys, asked.leaves = keys, self._leaves(*keys)
        return told, self.plan.traces.put(asked.question, self.line, asked.leaves, told)

    def _figure(self, fact: str, question: Question) -> tuple[float | None, bool]:
        known = self.plan.traces.get(question, self.line)
        if known is None:
            engine, job = self.judge.engine, self.plan.seating.job
            with engine.frame() as frame:
                found = (figure(engine, job, fact),)
            leaves = self._leaves(frozenset(engine.read_below(frame.touched)))
            put = self.plan.traces.put(question, self.line, leaves, found)
            return found[0], not put.vehicle
        return known[0][0], not known[1].leaves.vehicle

    def _leaves(self, keys: frozenset[Key], named: Iterable[Key] = ()) -> frozenset[Leaf]:
        valued, told = self.line.design.valued(keys), frozenset(self.line.design.named(named))
        return valued | told if told else valued


def figure(engine: Engine, job: Subject, fact: str) -> float | None:
    """Return a number of the job, None where there is none."""
    try:
        engine.read(job, fact)
        return float(engine.ask(job, fact).value)
    except (Missing, NotDefined, BrokenFact):
        return None
