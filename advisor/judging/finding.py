"""What judging a rule on a subject gives."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from advisor.chain.subject import Subject
from advisor.facts.reading import Reading
from advisor.judging.rule import LEVELS, Rule

if TYPE_CHECKING:
    from advisor.facts.doubts import Doubt

OUTCOMES = ("broken", "falls short", "too close to call", "cannot tell", "waived", "holds", "does not apply")
"""From what needs attention first to what needs none."""

_RANK = {word: rank for words in (OUTCOMES, LEVELS) for rank, word in enumerate(words)}


@dataclass(slots=True)
class Measured:
    """Both sides of the comparison that decided, and by how much it holds (+) or falls short (−); never changed.

    Nearer to the limit than `within` is too close to call; `doubt` is what that was made of, where it was looked into.
    """

    left: Any
    op: str
    right: Any
    unit: str
    margin: float | None
    within: float
    readings: tuple[Reading, ...]
    doubt: Doubt | None = None


@dataclass(frozen=True)
class Finding:
    """One rule on one subject: the outcome, the numbers, and the words."""

    rule: Rule
    subject: Subject
    outcome: str
    measured: Measured | None = None
    says: str = ""
    because: str = ""
    to_customer: str = ""
    why_not: str = ""
    """What is missing, why it does not apply, or what broke."""
    told: tuple[Reading, ...] = ()
    """What the sentences read, beyond what the check did."""
    waiver: Subject | None = None

    @property
    def key(self) -> tuple[str, tuple[str, str]]:
        """What no other finding of a review has: rule and subject."""
        return self.rule.name, self.subject.key

    @property
    def readings(self) -> tuple[Reading, ...]:
        """Every reading the finding rests on, each once."""
        found = {r.key: r for r in (*(self.measured.readings if self.measured else ()), *self.told)}
        return tuple(found.values())

    @property
    def place(self) -> str:
        """`file:line:col` of what it speaks of."""
        return self.subject.origin.place if self.subject.origin else ""

    @cached_property
    def order(self) -> tuple[int, int, str, str]:
        """Worst first, then by level, rule and place."""
        return _RANK[self.outcome], _RANK[self.rule.level], self.rule.name, self.subject.name

    def about(self, subject: Subject) -> Finding:
        """Return the same finding of a subject that took this one's place; `replace` takes thrice as long."""
        if subject is self.subject:
            return self
        other = object.__new__(Finding)
        vars(other).update(vars(self), subject=subject)
        return other
