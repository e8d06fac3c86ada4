"""The few numbers a customer reads: each is the value of a fact, written as the review writes it, and none other."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.chain.subject import Subject
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.review import Review
from advisor.telling.compare.figures import written

UNITS = ("Hz", "dB", "money", "days")
"""What a customer may be told in, other than plain words."""


@dataclass
class Numbers:
    """Asks a review for facts, and keeps account of every one that was put into words."""

    review: Review
    told: list[Reading] = field(default_factory=list)

    def job(self, fact: str) -> Reading | None:
        """Return a fact of the job; none where it is not known or does not apply."""
        return self.of(self.review.chain.of_kind("job")[0], fact)

    def of(self, subject: Subject, fact: str) -> Reading | None:
        """Return a fact of a subject; none where it is not known or does not apply."""
        try:
            return self.review.engine.ask(subject, fact)
        except (Missing, NotDefined, BrokenFact):
            return None

    def write(self, reading: Reading) -> str:
        """Write a value for the customer."""
        assert reading.unit in UNITS, reading.name
        self.told.append(reading)
        return written(reading, self.review)
