"""The nearest ways out of what falls short, each tried on the whole job, and what it costs elsewhere."""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Any

from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.conflicts import smallest_conflict
from advisor.judging.finding import Finding
from advisor.judging.knobs import Knob, Option
from advisor.judging.levers import knobs
from advisor.judging.review import Review
from advisor.judging.solving import clears, helping, solve
from advisor.judging.trials import Trials
from advisor.reading.edits import Edit

Place = tuple[str, tuple[str, str]]
"""A rule's name and a subject's key: which finding."""

TOLD = 3
"""Remedies told for one finding."""

MOST_PAIRS = 60
"""Pairs of changes looked at for one finding."""

MOST_GATHERED = 24
"""Changes that each help a little, looked at for being made together."""

MOST_TOGETHER = 5
"""Changes made at once."""


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
    worsens: tuple[Finding, ...]
    """Musts that fell short before and do so by more with it."""
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
        asks_less = any(edit.path[0] == "customer" for edit in self.edits)
        return (
            len(self.breaks) + len(self.worsens),
            asks_less,
            len(self.unsure),
            len(self.opens) - len(self.clears),
            costs,
            len(self.edits),
        )


@dataclass(frozen=True)
class Nearest:
    """How near some changes come that together do not clear a finding, and break nothing."""

    says: str
    finding: Finding


@dataclass(frozen=True)
class WayOut:
    """What was found for one thing that falls short."""

    findings: tuple[Finding, ...]
    remedies: tuple[Remedy, ...]
    conflict: tuple[Finding, ...]
    """Musts that no tried change lets hold together, none of which could be left out; empty where there are none."""
    tried: int
    """Changes tried on the whole job."""
    tried_remedies: tuple[Remedy, ...]
    """Those of them that clear the finding, whatever else they break."""
    nearest: Nearest | None
    cut_short: bool = False
    """Whether the search ended before its end, as too much was tried on this job."""


def ways_out(trials: Trials, groups: Sequence[Sequence[Finding]]) -> list[WayOut]:
    """Return what was found for each of some groups of findings; a group is one rule on the sides of one thing.

    Where very much falls short, the last groups go without.
    """
    return [_way_out(trials, tuple(group)) for group in groups]


def _way_out(trials: Trials, findings: tuple[Finding, ...]) -> WayOut:
    if trials.exhausted:
        return WayOut(findings, (), (), 0, (), None, cut_short=True)
    search = _Search(trials, findings)
    must = findings[0].rule.level == "must"
    search.singles(search.knobs)
    if must and not search.found:
        search.together()
    if must and not search.clean:
        search.with_what_they_break()
    search.singles(search.wishes)  # what was asked for gives way last
    found = search.clean or (search.found if must else [])
    conflict: tuple[Finding, ...] = ()
    if must and not search.clean and not trials.exhausted:
        conflict = smallest_conflict(findings, [remedy.breaks for remedy in search.found])
    ordered = sorted(found, key=lambda remedy: remedy.rank)
    return WayOut(
        findings,
        tuple(_varied(ordered)),
        conflict,
        len(search.tried),
        tuple(search.found),
        search.nearest,
        cut_short=trials.exhausted,
    )


class _Search:
    """What was tried for one finding, and what came of it."""

    def __init__(self, trials: Trials, findings: tuple[Finding, ...]) -> None:
        self.trials, self.findings = trials, findings
        self.knobs = _knobs(trials, findings[0], trials.review, wishes=False)
        self.wishes = _knobs(trials, findings[0], trials.review, wishes=True)
        self.tried: set[Any] = set()
        self.found: list[Remedy] = []
        self.nearest: Nearest | None = None

    @property
    def clean(self) -> list[Remedy]:
        """The remedies that break no must, and make none worse."""
        return [remedy for remedy in self.found if not remedy.breaks and not remedy.worsens]

    def singles(self, turned: Sequence[Knob]) -> None:
        """Turn one thing at a time."""
        for knob in turned:
            for option in solve(knob, self.findings, self.trials):
                self.run(option)

    def together(self) -> None:
        """Turn two things, or several of which each helps, where no single one is enough."""
        nearer = [helping(knob, self.findings, self.trials) for knob in self.knobs]
        pairs = [pair for ones in combinations(nearer, 2) for pair in product(ones[0][:3], ones[1][:3])]
        for (_, one), (_, other) in pairs[:MOST_PAIRS]:
            if len(self.found) < TOLD and _apart(one, other):
                self.run_if_it_clears(one + other)
        best = sorted((pair for pairs in nearer for pair in pairs), key=lambda pair: -pair[0])
        gathered: list[Option] = []
        for _, option in best[:MOST_GATHERED]:
            if self.found or len(gathered) == MOST_TOGETHER:
                break
            if all(_apart(option, one) for one in gathered) and not self.breaks_a_must(option):
                gathered.append(option)
                self.run_if_it_clears(_joined(gathered))
        if gathered and not self.found:
            self.nearest = self.come_nearest(_joined(gathered))

    def come_nearest(self, option: Option) -> Nearest | None:
        """Return how near a change comes that clears nothing, if it breaks no must either."""
        review = self.trials.rerun(option.edits)
        if review is None or _remedy(self.trials.review, review, option, self.findings).breaks:
            return None
        now = {place_of(finding): finding for finding in review.findings}.get(place_of(self.findings[0]))
        return Nearest(option.says, now) if now is not None and now.measured is not None else None

    def with_what_they_break(self) -> None:
        """Mend, by its own levers, what the best ways out would break."""
        breaking = [remedy for remedy in self.found if remedy.breaks]
        for remedy in sorted(breaking, key=lambda remedy: remedy.rank)[:TOLD]:
            review = self.trials.rerun(remedy.edits)
            assert review is not None
            broken = [f for f in remedy.breaks if f.rule.name == remedy.breaks[0].rule.name]
            first = Option(remedy.edits, remedy.says)
            for knob in _knobs(self.trials, broken[0], review, wishes=False):
                for option in solve(knob, broken, self.trials, remedy.edits)[:1]:
                    if _apart(first, option):
                        self.run(first + option)
            if self.clean:
                return

    def run_if_it_clears(self, option: Option) -> None:
        if clears(self.trials.if_edited(self.findings, option.edits).outcome, self.findings):
            self.run(option)

    def run(self, option: Option) -> None:
        """Try a change on the whole job; it is a remedy if it clears the finding there."""
        key = frozenset(edit.key for edit in option.edits)
        review = None if key in self.tried else self.trials.rerun(option.edits)
        self.tried.add(key)
        if review is not None and _is_cleared(self.findings, review):
            self.found.append(_remedy(self.trials.review, review, option, self.findings))

    def breaks_a_must(self, option: Option) -> bool:
        review = self.trials.rerun(option.edits)
        if review is None:
            return True
        remedy = _remedy(self.trials.review, review, option, self.findings)
        return bool(remedy.breaks or remedy.worsens)


def _apart(one: Option, other: Option) -> bool:
    return not {edit.path for edit in one.edits} & {edit.path for edit in other.edits}


def _joined(options: Sequence[Option]) -> Option:
    return functools.reduce(operator.add, options)


def _knobs(trials: Trials, finding: Finding, review: Review, *, wishes: bool) -> list[Knob]:
    """Return what the rule's levers turn: of the design, or of what the customer asked for.

    Both sides of a thing have their levers in common, so one is asked.
    """
    chain = review.chain
    subject = next(subject for subject in chain.subjects if subject.key == finding.subject.key)
    levers = [lever for lever in finding.rule.levers if lever.startswith("job.customer.") == wishes]
    return [knob for lever in levers for knob in knobs(lever, subject, chain, trials.opened)]


def _is_cleared(findings: Sequence[Finding], review: Review) -> bool:
    now = {place_of(finding): finding.outcome for finding in review.findings}
    return all(clears(now.get(place_of(finding)), findings) for finding in findings)


def _remedy(before: Review, after: Review, option: Option, findings: Sequence[Finding]) -> Remedy:
    was = {place_of(finding): finding for finding in before.findings}
    now = {place_of(finding): finding for finding in after.findings}
    own = {place_of(finding) for finding in findings}
    short = {place for place, finding in was.items() if finding.outcome == "falls short"}
    opens = [f for place, f in now.items() if f.outcome in ("falls short", "broken") and place not in short]
    if findings[0].rule.about == "waiver":  # those after it are counted anew
        opens = [finding for finding in opens if finding.rule.about != "waiver"]
    cleared = [was[place] for place in short - own if place in now and now[place].outcome == "holds"]
    unsure = [
        finding
        for place, finding in now.items()
        if finding.outcome in ("cannot tell", "too close to call")
        and finding.rule.level == "must"
        and (place not in was or was[place].outcome == "holds")
    ]
    cleared.sort(key=lambda finding: finding.order)
    worse = [f for place, f in now.items() if place in short - own and _is_worse(was[place], f)]
    costs, hours = (_difference(before, after, name) for name in ("total_cost", "labour_h"))
    return Remedy(option.edits, option.says, tuple(opens), tuple(cleared), tuple(unsure), tuple(worse), costs, hours)


def _is_worse(before: Finding, after: Finding) -> bool:
    """Tell whether a must that fell short does so by more than it did; money is told as what a way out costs."""
    if after.outcome != "falls short" or after.rule.level != "must" or not (before.measured and after.measured):
        return False
    was, now = before.measured.margin, after.measured.margin
    if after.measured.unit == "money":
        return False
    return was is not None and now is not None and now < was - 1e-6 * max(1.0, abs(was))


def _difference(before: Review, after: Review, name: str) -> float | None:
    values = []
    for review in (before, after):
        try:
            values.append(float(review.engine.ask(review.chain.of_kind("job")[0], name).value))
        except (Missing, NotDefined, BrokenFact):
            return None
    return round(values[1] - values[0], 2)


def _varied(remedies: Sequence[Remedy]) -> Iterator[Remedy]:
    """Yield the best remedies, no more than two that change the same values; of more work the least is told."""
    shown: dict[Any, int] = {}
    for remedy in remedies:
        paths = frozenset(edit.path for edit in remedy.edits)
        if paths in shown and all(path[-1] == "work" for path in paths):
            continue
        shown[paths] = shown.get(paths, 0) + 1
        if shown[paths] <= 2 and sum(shown.values()) <= TOLD + 2:
            yield remedy
        if sum(min(count, 2) for count in shown.values()) >= TOLD:
            return


def place_of(finding: Finding) -> Place:
    """Return which finding it is."""
    return finding.rule.name, finding.subject.key
