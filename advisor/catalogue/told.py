"""One finding of a line as plain values, and what comes of a line's findings together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

from advisor.catalogue.row import Noted, plain, share_of
from advisor.chain.subject import Subject
from advisor.judging.finding import OUTCOMES, Finding
from advisor.judging.rule import LEVELS, ORDERED

KEPT = ("falls short", "too close to call", "cannot tell", "broken", "waived")
"""Outcomes whose findings are told in a row."""

NUMBERS = {outcome: number for number, outcome in enumerate(OUTCOMES)}
KEPT_NUMBERS = frozenset(NUMBERS[outcome] for outcome in KEPT)
NOTHING = len(OUTCOMES)
"""Of a rule that nothing was held against."""

DIGITS = bytes([*b"0123456"[:NOTHING], *b"-" * (256 - NOTHING)])


DECIDES = {
    "must be fixed": ("must", "falls short"),
    "not known": ("must", "too close to call"),
    "trade-offs": ("trade-off", "falls short"),
    "tips": ("tip", "falls short"),
    "holds": ("must", "holds"),
}
"""By verdict, the level and outcome of the findings that make it."""

DECIDING = frozenset(DECIDES.values())


Order = tuple[int, int, str, str]
"""The worst first, and then by name."""


@dataclass(frozen=True, slots=True)
class Told:
    """One finding; `noted` is there where it is told in the row, or may be the one with the least margin."""

    rule: int
    """The rule's number in the rulebook."""
    outcome: int
    """Its number among OUTCOMES."""
    share: float | None = None
    noted: Noted | None = None
    order: Order = (0, 0, "", "")
    what: tuple[str, str] = ("", "")
    """Its level and outcome in words."""

    @property
    def is_shared(self) -> bool:
        """Whether its words hold in every line: those of others name a line of a file."""
        return OUTCOMES[self.outcome] not in ("cannot tell", "broken")


def told_of(finding: Finding, rule: int) -> Told:
    """Return a finding as plain values; `rule` is its rule's number in the rulebook."""
    measured = finding.measured
    share = None
    if measured and measured.op in ORDERED and finding.outcome not in ("waived", "does not apply"):
        share = share_of(measured.margin, measured.right, measured.unit)
    wanted = finding.outcome in KEPT or (share is not None and finding.rule.level == "must")
    if not wanted:
        return Told(rule, NUMBERS[finding.outcome])
    noted, what = _noted(finding), (finding.rule.level, finding.outcome)
    order = (NUMBERS[finding.outcome], LEVELS.index(finding.rule.level), noted.rule, noted.at)
    return Told(rule, NUMBERS[finding.outcome], share if what in DECIDING else None, noted, order, what)


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


class Sum:
    """What comes of the findings of a line together; they are taken in one by one, in any order."""

    def __init__(self, rules: int) -> None:
        self._worst = bytearray([NOTHING]) * rules
        """By rule, its worst outcome."""
        self._open: set[tuple[str, str]] = set()
        self._kept: list[tuple[Told, Subject]] = []
        self._least: dict[tuple[str, str], tuple[Told, Subject]] = {}
        """Of findings that may decide a verdict, the one with the least margin by share of its limit."""

    def copy(self) -> Sum:
        """Return the same, to take in more."""
        other = object.__new__(Sum)
        other._worst, other._open = self._worst[:], set(self._open)
        other._kept, other._least = self._kept[:], dict(self._least)
        return other

    def add(self, told: Told, subject: Subject) -> None:
        """Take in a finding of a subject."""
        self.add_all((told,), (subject,))

    def add_all(self, found: Iterable[Told], subjects: Iterable[Subject]) -> None:
        """Take in many findings, each of its subject."""
        worst, least = self._worst, self._least
        for told, subject in zip(found, subjects, strict=True):
            outcome = told.outcome
            if outcome < worst[told.rule]:
                worst[told.rule] = outcome
            if told.noted is None:
                continue
            if outcome in KEPT_NUMBERS:
                self._open.add(told.what)
                self._kept.append((told, subject))
            if told.share is not None:
                known = least.get(told.what)
                if known is None or (told.share, told.order) < (known[0].share, known[0].order):
                    least[told.what] = told, subject

    @property
    def verdict(self) -> str:
        """What comes of the line."""
        found = self._open
        if any(outcome == "broken" for _, outcome in found):
            return "not judged"
        if ("must", "falls short") in found:
            return "must be fixed"
        if {("must", "cannot tell"), ("must", "too close to call")} & found:
            return "not known"
        if ("trade-off", "falls short") in found:
            return "trade-offs"
        return "tips" if ("tip", "falls short") in found else "holds"

    @property
    def worst(self) -> Noted | None:
        """Of the findings that decide the verdict, the one with the least margin by share of its limit."""
        least = self._least.get(DECIDES.get(self.verdict, ("", "")))
        return placed(*least) if least else None

    @property
    def kept(self) -> tuple[Noted, ...]:
        """What is told in the row, the worst first."""
        return tuple([placed(*one) for one in sorted(self._kept, key=lambda one: one[0].order)])

    @property
    def rules(self) -> str:
        """The worst outcome of each rule of the rulebook, a digit each; `-` where nothing was held against it."""
        return self._worst.translate(DIGITS).decode()


def placed(told: Told, subject: Subject) -> Noted:
    """Return what was noted as it is told of a subject: the same may stand elsewhere in another package."""
    noted = told.noted
    assert noted is not None
    place = subject.origin.place if subject.origin else ""
    if noted.place == place:
        return noted
    values = list(_VALUES(noted))
    values[_PLACE] = place
    return Noted(*values)  # `replace` takes thrice as long, and this is done for most of what is told


_NAMES = [field.name for field in fields(Noted)]
_VALUES, _PLACE = attrgetter(*_NAMES), _NAMES.index("place")
