"""Trying changes on a job that was reviewed: what one finding, or every rule, would say of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from advisor.chain.build import Chain, build_chain
from advisor.errors import InputError
from advisor.facts.engine import Engine, Key
from advisor.judging.again import review_again
from advisor.judging.finding import Finding
from advisor.judging.judge import Judge, Result
from advisor.judging.review import Review
from advisor.reading.edits import Edit, edited
from advisor.reading.reader import OpenJob

BAD = ("broken", "gone", "cannot tell", "falls short", "too close to call", "does not apply", "holds")
"""From the worst that a trial can give to the best."""


MOST_WORK = 500_000
"""Looks at a subject that all trials on a job may take together: over twice what the worst example takes."""

GONE = "gone"
"""What a trial says of a subject that the job no longer has."""


@dataclass
class Trials:
    """A reviewed job with its files kept open, and what was tried on it."""

    review: Review
    opened: OpenJob
    today: date
    _chains: dict[Any, Chain | None] = field(default_factory=dict)
    _reviews: dict[Any, Review | None] = field(default_factory=dict)
    _judges: dict[Any, Judge] = field(default_factory=dict)
    _work: int = 0

    @property
    def exhausted(self) -> bool:
        """Whether so much was tried that nothing more is: counted, not timed, so that it is the same on any machine."""
        return self._work > MOST_WORK

    def if_given(self, findings: Iterable[Finding], given: Mapping[Key, Any]) -> Result:
        """Return the worst that a rule says of some subjects with given values replaced in the chain as it is."""
        if self.exhausted:
            return _UNTRIED
        self._spend(1)
        judge = Judge(self.review.engine.what_if(given), self.review.rules)
        return _worst(judge, [(finding.rule.name, finding.subject.key) for finding in findings])

    def if_edited(self, findings: Iterable[Finding], edits: Iterable[Edit]) -> Result:
        """Return the worst that a rule says of some subjects in the job with some edits made."""
        key = _key_of(edits := tuple(edits))
        if key not in self._judges:
            chain = self._chain(edits)
            if chain is None:
                return _UNTRIED
            self._judges[key] = Judge(Engine(chain), self.review.rules)
        return _worst(self._judges[key], [(finding.rule.name, finding.subject.key) for finding in findings])

    def rerun(self, edits: Iterable[Edit]) -> Review | None:
        """Return the whole review of the job with some edits made, or None where it cannot be read so."""
        key = _key_of(edits := tuple(edits))
        if key not in self._reviews:
            chain = self._chain(edits)
            self._spend(4)
            self._reviews[key] = review_again(self.review, chain.system, self.today, chain) if chain else None
        return self._reviews[key]

    def _chain(self, edits: tuple[Edit, ...]) -> Chain | None:
        key = _key_of(edits)
        if key not in self._chains and self.exhausted:
            return None
        if key not in self._chains:
            self._spend(1)
            try:
                system = self.opened.changed(edited(self.opened.source.data, edits))
                self._chains[key] = build_chain(system, self.today)
            except (InputError, KeyError, IndexError):
                self._chains[key] = None
        return self._chains[key]

    def _spend(self, times: int) -> None:
        self._work += times * len(self.review.chain.subjects)


_UNTRIED = Result("broken", why="the job cannot be read with this change, or too much was tried before")


def _key_of(edits: Iterable[Edit]) -> frozenset[Any]:
    return frozenset(edit.key for edit in edits)


def _worst(judge: Judge, places: list[tuple[str, tuple[str, str]]]) -> Result:
    subjects = {subject.key: subject for subject in judge.engine.chain.subjects}
    results = []
    for name, key in places:
        if key not in subjects:
            return Result(GONE)
        results.append(judge.verdict(judge.rules[name], subjects[key]))
    return min(results, key=lambda result: (BAD.index(result.outcome), margin_of(result)))


def margin_of(result: Result) -> float:
    """Return by how much a trial holds (+) or falls short (−); the least there is where that is no number."""
    measured = result.measured
    return measured.margin if measured is not None and measured.margin is not None else float("-inf")
