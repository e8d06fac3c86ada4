"""The nearest ways out of what falls short, each tried on the whole job, and what it costs elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.conflicts import smallest_conflict
from advisor.judging.finding import Finding
from advisor.judging.knobs import Knob, Option
from advisor.judging.levers import knobs
from advisor.judging.review import Review
from advisor.judging.solving import helping, solve
from advisor.judging.trials import Trials
from advisor.reading.edits import Edit

Place = tuple[str, tuple[str, str]]
"""A rule's name and a subject's key: which finding."""

TOLD = 3
"""Remedies told for one finding."""


@dataclass(frozen=True)
class Remedy:
    """One change to the job file that clears a finding, and what every rule says of the job with it."""

    edits: tuple[Edit, ...]
    says: str
    opens: tuple[Finding, ...]
    """What falls short only with it."""
    clears: tuple[Finding, ...]
    """What else it mends."""
    unsure: tuple[Finding, ...]
    """Musts that could be told before, and with it cannot, or are too close to call."""
    costs: float | None
    """More (or less) for the customer; None where prices are missing."""
    hours: float | None

    @property
    def breaks(self) -> tuple[Finding, ...]:
        """The musts among what it opens."""
        return tuple(finding for finding in self.opens if finding.rule.level == "must")

    @property
    def rank(self) -> tuple[Any, ...]:
        """What does least harm comes first, then what mends most, then what costs least."""
        costs = self.costs if self.costs is not None else 1e9
        return (len(self.breaks), len(self.unsure), len(self.opens) - len(self.clears), costs, len(self.edits))


@dataclass(frozen=True)
class WayOut:
    """What was found for one thing that falls short."""

    findings: tuple[Finding, ...]
    remedies: tuple[Remedy, ...]
    conflict: tuple[Finding, ...]
    """Musts that no tried change lets hold together, none of which could be left out; empty where there are none."""
    tried: int


def ways_out(trials: Trials, groups: Sequence[Sequence[Finding]]) -> list[WayOut]:
    """Return what was found for each of some groups of findings; a group is one rule on the sides of one thing."""
    return [_way_out(trials, tuple(group)) for group in groups]


def _way_out(trials: Trials, findings: tuple[Finding, ...]) -> WayOut:
    turned = _knobs(trials, findings)
    tried: list[tuple[Option, Review]] = []
    options = [option for knob in turned for option in solve(knob, findings, trials)]
    remedies = _remedies(trials, findings, options, tried)
    if not remedies and findings[0].rule.level == "must":
        remedies = _remedies(trials, findings, _pairs(trials, findings, turned), tried)
    remedies = sorted(remedies, key=lambda remedy: remedy.rank)
    conflict: tuple[Finding, ...] = ()
    if findings[0].rule.level == "must" and not any(not remedy.breaks for remedy in remedies):
        conflict = smallest_conflict(findings, [remedy.breaks for remedy in remedies])
    return WayOut(findings, tuple(_varied(remedies)), conflict, len(tried))


def _knobs(trials: Trials, findings: Sequence[Finding]) -> list[Knob]:
    """Return what the rule's levers turn; both sides of a thing have theirs in common, so the first is asked."""
    first = findings[0]
    chain, opened = trials.review.chain, trials.opened
    return [knob for lever in first.rule.levers for knob in knobs(lever, first.subject, chain, opened)]


def _remedies(
    trials: Trials, findings: Sequence[Finding], options: Sequence[Option], tried: list[tuple[Option, Review]]
) -> list[Remedy]:
    found = []
    for option in options:
        review = trials.rerun(option.edits)
        if review is None:
            continue
        tried.append((option, review))
        if _is_cleared(findings, review):
            found.append(_remedy(trials.review, review, option, findings))
    return found


def _is_cleared(findings: Sequence[Finding], review: Review) -> bool:
    now = {place_of(finding): finding.outcome for finding in review.findings}
    return all(now.get(place_of(finding)) == "holds" for finding in findings)


def _remedy(before: Review, after: Review, option: Option, findings: Sequence[Finding]) -> Remedy:
    was = {place_of(finding): finding for finding in before.findings}
    now = {place_of(finding): finding for finding in after.findings}
    own = {place_of(finding) for finding in findings}
    short = {place for place, finding in was.items() if finding.outcome == "falls short"}
    opens = [f for place, f in now.items() if f.outcome in ("falls short", "broken") and place not in short]
    cleared = [was[place] for place in short - own if place in now and now[place].outcome == "holds"]
    unsure = [
        finding
        for place, finding in now.items()
        if finding.outcome in ("cannot tell", "too close to call")
        and finding.rule.level == "must"
        and (place not in was or was[place].outcome == "holds")
    ]
    cleared.sort(key=lambda finding: finding.order)
    costs, hours = (_difference(before, after, name) for name in ("total_cost", "labour_h"))
    return Remedy(option.edits, option.says, tuple(opens), tuple(cleared), tuple(unsure), costs, hours)


def _difference(before: Review, after: Review, name: str) -> float | None:
    values = []
    for review in (before, after):
        try:
            values.append(float(review.engine.ask(review.chain.of_kind("job")[0], name).value))
        except (Missing, NotDefined, BrokenFact):
            return None
    return values[1] - values[0]


def _pairs(trials: Trials, findings: Sequence[Finding], turned: Sequence[Knob]) -> list[Option]:
    """Return pairs of changes that clear what no single one does."""
    nearer = [helping(knob, findings, trials, 3) for knob in turned]
    found: list[Option] = []
    for index, first in enumerate(nearer):
        for second in nearer[index + 1 :]:
            for one in first:
                found += [one + other for other in second if _together(trials, findings, one, other)][:1]
                if len(found) >= 2 * TOLD:
                    return found
    return found


def _together(trials: Trials, findings: Sequence[Finding], one: Option, other: Option) -> bool:
    if {edit.path for edit in one.edits} & {edit.path for edit in other.edits}:
        return False
    return trials.if_edited(findings, (*one.edits, *other.edits)).outcome == "holds"


def _varied(remedies: Sequence[Remedy]) -> Iterator[Remedy]:
    """Yield the best remedies, no more than two that change the same values."""
    shown: dict[Any, int] = {}
    for remedy in remedies:
        paths = frozenset(edit.path for edit in remedy.edits)
        shown[paths] = shown.get(paths, 0) + 1
        if shown[paths] <= 2 and sum(shown.values()) <= TOLD + 2:
            yield remedy
        if sum(min(count, 2) for count in shown.values()) >= TOLD:
            return


def place_of(finding: Finding) -> Place:
    """Return which finding it is."""
    return finding.rule.name, finding.subject.key
