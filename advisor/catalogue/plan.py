"""What is asked of a design, and what is answered for it before any of its lines is judged.

Most packages differ little from one judged just before. What was found for that one is taken over as it is, vehicle by
vehicle, where it rests on nothing in which the two differ; only the rest is looked up or worked out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Any

from advisor.catalogue.leaves import CALLED, IS_IN, SAYS, Bits, Index, LeafSet
from advisor.catalogue.lending import KnownFacts
from advisor.catalogue.seating import Seating
from advisor.catalogue.tokens import DesignTokens, Digest
from advisor.catalogue.told import Sum
from advisor.catalogue.traces import Known, Question, Traces
from advisor.chain.subject import Subject
from advisor.facts.engine import Key
from advisor.judging.rule import Rule

Answer = tuple[Any, LeafSet]
"""What was found, and what it rests on."""

Row = tuple[int, Rule, Question]
"""A rule's number, the rule, and what is known of it on one subject."""

PASTS_KEPT = 100
"""Vehicles for which a design may begin with what was found for the one before."""


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


@dataclass(slots=True)
class Past:
    """What was found in one vehicle for a design, and facts of it and those before."""

    number: int
    """Of the design."""
    questions: list[Question] = field(default_factory=list)
    answers: list[Answer | None] = field(default_factory=list)
    """To each of them; None where it is not shared."""
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
        self.sum = Sum(len(self.rules))
        """Of the findings among what is settled."""
        self.questions: list[Question] = []
        """What is open, with the subject of each and what is known of it."""
        self.subjects: list[Subject] = []
        self._rows: list[Row] = []
        self._asked: list[Asked | None] = []
        self._begin(questions)
        self._gone: dict[int, Gone] = {}
        self._found_again: dict[int, tuple[list[Question], Any]] = {}
        """By the identity of a list of what was open before, it, and how to pick from it what is open now."""
        self.figures: dict[str, float | None] = {}
        """By fact of the job, what is settled."""
        self.open_figures = {fact: Sought(question) for fact, question in questions.figures.items()}
        for fact, question in questions.figures.items():
            self.settle_figure(fact, self.settled.get(question))

    def _differ_from(self, before: Plan) -> None:
        changed = self.tokens.other_than(before.tokens, before.leaves)
        self.leaves = before.leaves & ~changed
        self.changed = [bits | changed for bits in before.changed]
        self.settled = {one: answer for one, answer in before.settled.items() if not answer[1].all & changed}
        self.traces.taken += len(self.settled)

    def _begin(self, questions: Questions) -> None:
        known, told, subjects = self.settled, [], []
        for subject in self.seating.chain.subjects:
            for row in questions.of(subject):
                answer = known.get(row[2])
                if answer is not None:
                    told.append(answer[0])
                    subjects.append(subject)
                else:
                    self._rows.append(row)
                    self.subjects.append(subject)
        self.questions = [row[2] for row in self._rows]
        self._asked = [None] * len(self._rows)
        self.sum.add_all(told, subjects)

    def asked(self, place: int) -> Asked:
        """Return an open question by its place among them."""
        asked = self._asked[place]
        if asked is None:
            number, rule, question = self._rows[place]
            asked = self._asked[place] = Asked(question, number=number, rule=rule, subject=self.subjects[place])
        return asked

    def past(self, vehicle: str) -> Past:
        """Return what was found in a vehicle before and still holds, as answers to what is open."""
        past = self.pasts.pop(vehicle, None) or Past(self.number)
        self.pasts[vehicle] = past
        if len(self.pasts) > PASTS_KEPT:
            del self.pasts[next(iter(self.pasts))]
        gone = self._gone.get(past.number)
        if gone is None:
            gone = self._gone[past.number] = Gone(self.changed[past.number], self.tokens.index)
        kept = [None if one is None or gone[one[1]] else one for one in self._answers_of(past)]
        past.figures = {fact: answer for fact, answer in past.figures.items() if not gone[answer[1]]}
        past.number, past.questions, past.answers = self.number, self.questions, kept
        past.facts.begin(self.number, self.changed, gone.read_anew)
        self.traces.taken += len(kept) - kept.count(None)
        return past

    def _answers_of(self, past: Past) -> Iterable[Answer | None]:
        """Return the answers of a past in the order of what is open now."""
        if past.questions is self.questions:
            return past.answers
        known = self._found_again.get(id(past.questions))
        if known is None:
            places = {question: place for place, question in enumerate(past.questions)}
            nothing = len(past.questions)
            wanted = [places.get(question, nothing) for question in self.questions]
            known = self._found_again[id(past.questions)] = past.questions, itemgetter(*wanted, nothing, nothing)
        found: tuple[Answer | None, ...] = known[1]((*past.answers, None))
        return found[:-2]

    def settle(self, answers: dict[int, Answer]) -> None:
        """Take note of findings that are the same in each of the vehicles, by place among what is open."""
        if not answers:
            return
        for place, answer in answers.items():
            self.settled[self.questions[place]] = answer
            self.sum.add(answer[0], self.subjects[place])
        left = [place for place in range(len(self.questions)) if place not in answers]
        self.questions = [self.questions[place] for place in left]
        self.subjects = [self.subjects[place] for place in left]
        self._rows = [self._rows[place] for place in left]
        self._asked = [self._asked[place] for place in left]
        self._found_again.clear()

    def settle_figure(self, fact: str, answer: Answer | None) -> None:
        """Take note of a figure that is the same in each of the vehicles."""
        if answer is not None:
            self.settled[self.open_figures.pop(fact).question] = answer
            self.figures[fact] = answer[0][0]
