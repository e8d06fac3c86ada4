"""Findings as people read them: left and right told once, in the sections of a report."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.judging.finding import Finding
from advisor.judging.formats import listed, with_unit
from advisor.judging.rule import ORDERED
from advisor.telling.doubt import measure_first

if TYPE_CHECKING:
    from advisor.judging.review import Review

WORDS = {
    "<=": "at most", ">=": "at least", "<": "under", ">": "over", "==": "is", "!=": "is not", "in": "is among",
    "not in": "is not among", "covers": "covers", "avoids": "keeps clear of",
}  # fmt: skip
"""How an operator is said."""


@dataclass(frozen=True)
class Told:
    """One finding, or the same finding on both sides."""

    findings: tuple[Finding, ...]
    where: str
    says: str
    because: str
    to_customer: str

    @property
    def first(self) -> Finding:
        """The finding that stands for all."""
        return self.findings[0]

    @property
    def numbers(self) -> str:
        """Both sides of the comparison, and what would make it hold."""
        measured = self.first.measured
        if (
            measured is None
            or measured.op not in ORDERED
            or not isinstance(measured.left, float)
            or measured.unit == "money"
        ):
            return ""  # counts and amounts are in the sentence already
        left, right = with_unit(measured.left, measured.unit), with_unit(measured.right, measured.unit)
        numbers = f"is {left}, wanted {WORDS[measured.op]} {right}"
        if self.first.outcome == "too close to call":
            numbers += f"; nearer than {with_unit(measured.within, measured.unit)}, which its numbers cannot decide"
        return numbers

    @property
    def measure_first(self) -> str:
        """Which input is worth measuring first, where the verdict is too close to call."""
        return measure_first(self.first)

    @property
    def assumed(self) -> str:
        """The rules of thumb its numbers rest on, with their values where those are single numbers."""
        found = {below.key: below for reading in self.first.readings for below in reading.assumptions()}
        names = [
            below.name if isinstance(below.value, dict) else f"{below.name} {with_unit(below.value, below.unit)}"
            for below in sorted(found.values(), key=lambda below: below.name)
        ]
        return listed(names) if names else ""


def tell(review: Review, outcome: str, level: str | None = None, *, by_numbers: bool = False) -> list[Told]:
    """Return findings of an outcome with those that differ in nothing but the side told once.

    What cannot be told is told once a rule, with all that is missing for it.
    What holds has no sentences to compare; `by_numbers` compares its numbers instead.
    """
    sides = Sides(review)
    return [_told(group, sides) for group in _groups(review, outcome, level, sides, by_numbers=by_numbers)]


def _groups(
    review: Review, outcome: str, level: str | None, sides: Sides, *, by_numbers: bool = False
) -> Collection[list[Finding]]:
    """Return the findings of an outcome by what is told once of them."""
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in review.of(outcome, level):
        if outcome == "cannot tell":
            groups.setdefault((finding.rule.name,), []).append(finding)
            continue
        words = str(finding.measured and finding.measured.left) if by_numbers else finding.says + finding.why_not
        groups.setdefault((finding.rule.name, sides.bare(finding.subject.name), sides.bare(words)), []).append(finding)
    return groups.values()


class Sides:
    """Takes the side off the names of a job's subjects, and off nothing else that reads like one."""

    def __init__(self, review: Review) -> None:
        sided = {subject.name.rpartition(" ")[0] for subject in review.chain.subjects if subject.own.get("side")}
        names = "|".join(re.escape(name) for name in sorted(sided, key=len, reverse=True))
        self.pattern = re.compile(rf"\b({names}) (?:left|right)\b( cable)?") if sided else None

    def bare(self, text: str) -> str:
        """Return a text with the sides taken off."""
        if self.pattern is None or ("left" not in text and "right" not in text):
            return text
        return self.pattern.sub(lambda found: found[1] + (found[2] or ""), text)


def _told(group: list[Finding], sides: Sides) -> Told:
    first, where = group[0], group[0].subject.name
    texts = (first.says, first.because, first.to_customer)
    if first.outcome == "cannot tell" and len(group) > 1:
        names = dict.fromkeys(sides.bare(finding.subject.name) for finding in group)
        missing = dict.fromkeys(sides.bare(finding.why_not) for finding in group)
        return Told(tuple(group), listed(names), "; ".join(missing), "", "")
    if len(group) == 1:
        return Told((first,), where, *texts)
    return Told(tuple(group), f"{sides.bare(where)}, left and right", *(sides.bare(text) for text in texts))


def verdict(review: Review) -> str:
    """Return the verdict in one line."""
    sides = Sides(review)

    def told(outcome: str, level: str | None = None, *, by_numbers: bool = False) -> int:
        return len(_groups(review, outcome, level, sides, by_numbers=by_numbers))

    must = told("falls short", "must")
    counts = [
        (told("falls short", "trade-off"), "trade-off", "trade-offs"),
        (told("falls short", "tip"), "tip", "tips"),
        (told("too close to call"), "too close to call", "too close to call"),
        (told("cannot tell"), "cannot be told", "cannot be told"),
        (told("broken"), "rule broken", "rules broken"),
        (told("waived"), "waived", "waived"),
    ]
    rest = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    holding = told("holds", by_numbers=True)
    held = f"{holding} check{'' if holding == 1 else 's'} held"
    if must:
        head = f"{must} thing{'s' if must > 1 else ''} must be fixed before parts are ordered"
    elif review.of("broken"):
        head = "The review is not complete"
    elif review.of("cannot tell", "must") or review.of("too close to call", "must"):
        head = "Nothing known has to be fixed, but not everything is known"
    else:
        head = "Nothing has to be fixed"
    return f"{head}; {', '.join([*rest, held])}."


SECTIONS = (
    ("broken", None, "Rules that broke", "These rules failed themselves; nothing is known of what they check."),
    ("falls short", "must", "Must be fixed", "Each of these has to be mended before parts are ordered or panels cut."),
    ("falls short", "trade-off", "Trade-offs", "These can be lived with, if everyone knows what is given up."),
    ("falls short", "tip", "Tips", "Small things that are easily bettered."),
    ("too close to call", None, "Too close to call", "The numbers are nearer to the limit than they are sure."),
    ("cannot tell", None, "Cannot be told", "Something is missing; it is named, and where to write it."),
    ("waived", None, "Waived", "Somebody answers for these."),
)
"""Outcome, level, heading and introduction of each section of findings."""


@dataclass(frozen=True)
class Section:
    """Findings told under one heading, numbered through the whole review."""

    heading: str
    introduction: str
    findings: tuple[tuple[int, Told], ...]


def sections(review: Review) -> list[Section]:
    """Return the sections that have findings."""
    result, number = [], 0
    sides = Sides(review)
    for outcome, level, heading, introduction in SECTIONS:
        found = [_told(group, sides) for group in _groups(review, outcome, level, sides)]
        if found:
            result.append(Section(heading, introduction, tuple(enumerate(found, number + 1))))
        number += len(found)
    return result
