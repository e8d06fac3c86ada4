"""Options compared with the first of them: figures, what they rest on that differs, findings gained and lost."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from advisor.judging.review import Review
from advisor.telling.compare.causes import Cause, causes
from advisor.telling.compare.figures import FIGURES, Figure, Value, value_of
from advisor.telling.compare.leaves import bare
from advisor.telling.groups import Told, tell, verdict

OPEN = ("broken", "falls short", "too close to call", "cannot tell")
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Option:
    """One job of those compared, and the letter it goes by."""

    letter: str
    review: Review

    @cached_property
    def values(self) -> tuple[Value, ...]:
        """Its figures, in the order of FIGURES."""
        return tuple(value_of(self.review, figure) for figure in FIGURES)

    @property
    def verdict(self) -> str:
        """What the review of it comes to."""
        return verdict(self.review)


@dataclass(frozen=True)
class Change:
    """A figure that is another one than in the first option, and why; `better` where it is so."""

    figure: Figure
    first: Value
    second: Value
    better: bool
    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class Found:
    """A finding that one of two options has and the other has not; left and right told once."""

    rule: str
    outcome: str
    level: str
    where: str
    says: str
    to_customer: str


@dataclass(frozen=True)
class Against:
    """One option against the first."""

    first: Option
    second: Option

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Every figure that both have and that reads differently."""
        found = []
        for figure, one, other in zip(FIGURES, self.first.values, self.second.values, strict=True):
            if one.reading and other.reading and one.text != other.text:
                higher = float(other.reading.value) > float(one.reading.value)
                why = causes(figure, self.first.review, self.second.review, one.reading, other.reading)
                found.append(Change(figure, one, other, higher == figure.more, tuple(why)))
        return tuple(found)

    @cached_property
    def gained(self) -> tuple[Found, ...]:
        """What is found in this option and not in the first."""
        return _only_in(self.second.review, self.first.review)

    @cached_property
    def lost(self) -> tuple[Found, ...]:
        """What is found in the first option and not in this."""
        return _only_in(self.first.review, self.second.review)


@dataclass(frozen=True)
class Comparison:
    """All options; the others are told against the first."""

    options: tuple[Option, ...]

    @cached_property
    def others(self) -> tuple[Against, ...]:
        """Each of the others against the first."""
        return tuple(Against(self.options[0], other) for other in self.options[1:])


def compare(reviews: list[Review]) -> Comparison:
    """Return the comparison of some reviews, in their order."""
    pairs = zip(LETTERS, reviews, strict=False)
    return Comparison(tuple(Option(letter, review) for letter, review in pairs))


def _only_in(one: Review, other: Review) -> tuple[Found, ...]:
    known = {_identity(outcome, told) for outcome in OPEN for told in tell(other, outcome)}
    found: dict[tuple[str, ...], Found] = {}
    for outcome in OPEN:
        for told in tell(one, outcome):
            identity = _identity(outcome, told)
            if identity not in known and identity not in found:
                found[identity] = _found(outcome, told)
    return tuple(found.values())


def _identity(outcome: str, told: Told) -> tuple[str, ...]:
    rule = told.first.rule.name
    return (outcome, rule) if outcome == "cannot tell" else (outcome, rule, bare(told.first.subject.name))


def _found(outcome: str, told: Told) -> Found:
    rule = told.first.rule
    where = told.where if outcome == "cannot tell" else bare(told.first.subject.name)
    return Found(rule.name, outcome, rule.level, where, told.says or told.first.why_not, told.to_customer)
