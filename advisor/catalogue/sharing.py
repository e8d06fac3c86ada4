"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. What rests on nothing of the vehicle
is looked up once for a design and stays. Findings whose words name a line of a file ("is not given, write it there")
are not shared.
"""

from __future__ import annotations

from functools import cached_property

from advisor.catalogue.bundles import Asked, Bundle, Group, Sought
from advisor.catalogue.leaves import LeafSet
from advisor.catalogue.lending import LendingEngine
from advisor.catalogue.plan import Answer, Plan
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
        self.past = plan.past(vehicle)

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
        plan, vehicle = self.plan, self.line.vehicle
        digests, told, subjects = vehicle.digests, list[Told](), list[Subject]()
        looked_up = 0
        for group in plan.groups:
            stands = digests.get(group.in_vehicle) or vehicle.digest(group.leaves)
            bundle = group.bundles.get(stands) or group.bundle(stands)
            if bundle.missing:
                looked_up += len(bundle.missing)
                told += self._filled(group, bundle)
            else:
                told += bundle.told
            subjects += group.subjects
        plan.traces.taken += len(told) - looked_up
        result = plan.sum.copy()
        result.add_all(told, subjects)
        loose, plan.loose = plan.loose, []
        for row, asked in loose:
            found, leaves = self._found(asked)
            result.add(found, asked.subject)
            if leaves is None:
                plan.loose.append((row, asked))
            elif not leaves.vehicle:
                plan.settle(asked, (found, leaves))
            else:
                group = plan.group(leaves)
                bundle, place = group.bundle(vehicle.digest(group.leaves)), group.join(asked, row)
                bundle.missing.remove(place)
                group.fill(bundle, place, found, leaves)
        return result

    def _filled(self, group: Group, bundle: Bundle) -> list[Told]:
        """Return a bundle's findings, those looked up that are missing."""
        missing, bundle.missing = bundle.missing, []
        passing = []
        for place in missing:
            told, leaves = self._found(group.asked(place))
            if leaves is not None and group.holds(leaves):
                group.fill(bundle, place, told, leaves)
            else:
                bundle.missing.append(place)
                passing.append(told)
        if not passing:
            return bundle.told
        found = bundle.told[:]
        for place, told in zip(bundle.missing, passing, strict=True):
            found[place] = told
        return found

    def _found(self, asked: Asked) -> tuple[Told, LeafSet | None]:
        """Return a finding, and what it rests on if it is shared."""
        told, leaves = self._known(asked) or self._told(asked)
        if leaves is not None:
            self.plan.leaves |= leaves.all
        return told, leaves

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
        """Judge what is not known."""
        finding = self.judge.finding(asked.rule, asked.subject)
        told, tokens = told_of(finding, asked.number), self.line.design
        below = self.engine.below(self.judge.rests_on(asked.rule, asked.subject))
        self.plan.leaves |= below  # what was read for it is known to the next design, whether it is shared or not
        if not told.is_shared:
            return told, None
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
