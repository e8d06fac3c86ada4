"""One finding of a line as plain values, and what comes of a line's findings together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from advisor.catalogue.row import Noted, plain, share_of
from advisor.judging.finding import OUTCOMES, Finding
from advisor.judging.rule import LEVELS, ORDERED

KEPT = ("falls short", "too close to call", "cannot tell", "broken", "waived")
"""Outcomes whose findings are told in a row."""

APPLIES = tuple(outcome for outcome in OUTCOMES if outcome != "does not apply")


@dataclass(frozen=True, slots=True)
class Told:
    """One finding; `noted` is there where it is told in the row, or may be the one with the least margin."""

    rule: str
    level: str
    outcome: str
    at: str
    share: float | None = None
    noted: Noted | None = None

    @property
    def order(self) -> tuple[int, int, str, str]:
        """Worst first, as reviews have it."""
        return (OUTCOMES.index(self.outcome), LEVELS.index(self.level), self.rule, self.at)

    def at_place(self, place: str) -> Told:
        """Return the same finding as it is told of another place."""
        if self.noted is None or self.noted.place == place:
            return self
        return replace(self, noted=replace(self.noted, place=place))


def told_of(finding: Finding) -> Told:
    """Return a finding as plain values."""
    rule, measured = finding.rule, finding.measured
    share = None
    if measured and measured.op in ORDERED and finding.outcome not in ("waived", "does not apply"):
        share = share_of(measured.margin, measured.right, measured.unit)
    wanted = finding.outcome in KEPT or (share is not None and rule.level == "must")
    made = _noted(finding) if wanted else None
    return Told(rule.name, rule.level, finding.outcome, finding.subject.name, share, made)


def _noted(finding: Finding) -> Noted:
    measured = finding.measured
    waiver: Any = finding.waiver.specs["spec"] if finding.waiver is not None else None
    return Noted(
        rule=finding.rule.name,
        level=finding.rule.level,
        at=finding.subject.name,
        outcome=finding.outcome,
        says=finding.says or finding.why_not,
        place=finding.place,
        operand=", ".join(reading.name for reading in measured.readings) if measured else "",
        left=plain(measured.left) if measured else None,
        op=measured.op if measured else "",
        right=plain(measured.right) if measured else None,
        unit=measured.unit if measured else "",
        margin=measured.margin if measured else None,
        to_customer=finding.to_customer,
        reason=f"{waiver.reason}; until {waiver.until} by {waiver.by}" if waiver else "",
    )


def verdict_of(findings: Iterable[Told]) -> str:
    """Return what comes of a line from its findings."""
    open_ = {(f.outcome, f.level) for f in findings}
    if any(outcome == "broken" for outcome, _ in open_):
        return "not judged"
    if ("falls short", "must") in open_:
        return "must be fixed"
    if {("cannot tell", "must"), ("too close to call", "must")} & open_:
        return "not known"
    if ("falls short", "trade-off") in open_:
        return "trade-offs"
    return "tips" if ("falls short", "tip") in open_ else "holds"


DECIDES = {
    "must be fixed": ("must", "falls short"),
    "not known": ("must", "too close to call"),
    "trade-offs": ("trade-off", "falls short"),
    "tips": ("tip", "falls short"),
    "holds": ("must", "holds"),
}
"""By verdict, the level and outcome of the findings that make it."""


def worst_of(findings: list[Told], verdict: str) -> Noted | None:
    """Return, of the findings that decide a verdict, the one with the least margin by share of its limit."""
    found = [
        (one.share, index)
        for index, one in enumerate(findings)
        if (one.level, one.outcome) == DECIDES.get(verdict) and one.share is not None
    ]
    return findings[min(found)[1]].noted if found else None


def rule_digits(findings: Iterable[Told], numbers: dict[str, int]) -> str:
    """Return the worst outcome of each rule of a rulebook, a digit each."""
    digits = [len(OUTCOMES)] * len(numbers)
    for one in findings:
        place, outcome = numbers[one.rule], OUTCOMES.index(one.outcome)
        digits[place] = min(digits[place], outcome)
    return "".join(str(digit) if digit < len(OUTCOMES) else "-" for digit in digits)
