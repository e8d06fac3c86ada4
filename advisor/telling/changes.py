"""What a review says that the one before did not: findings gained and gone, verdicts and figures that moved."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from advisor.judging.finding import Finding
from advisor.judging.formats import listed
from advisor.judging.review import Review
from advisor.telling.figures import Table, tables
from advisor.telling.groups import SECTIONS, Told, sections, verdict
from advisor.telling.terminal import finding_lines, styled
from advisor.telling.wrapped import wrapped

_OPEN = {outcome for outcome, *_ in SECTIONS}
"""Outcomes that are told."""

_WAS = {
    "holds": "it held", "does not apply": "it did not apply", "falls short": "it fell short",
    "too close to call": "it was too close to call", "cannot tell": "it could not be told", "waived": "it was waived",
    "broken": "the rule broke", "": "what it is about was not there",
}  # fmt: skip
_BECAME = {"holds": "holds now", "does not apply": "does not apply any more", "": "what it was about is gone"}
_INDENT = "     "
_PLACE = re.compile(r":[0-9]+:[0-9]+\)")


@dataclass(frozen=True)
class Changes:
    """What one review says that the one before did not."""

    gained: tuple[Finding, ...]
    """Told now, and before not, or with another verdict."""
    gone: tuple[Finding, ...]
    """Told before, and now not, as they were."""
    moved: tuple[tuple[Finding, Finding], ...]
    """Told before and now with the same verdict and other numbers or words: then and now."""
    became: dict[tuple[str, tuple[str, str]], str]
    """By rule and subject, the outcomes now of what is gone; empty where its subject is gone too."""
    was: dict[tuple[str, tuple[str, str]], str]
    """The outcomes before of what was gained, empty where there was no such subject."""


def changes(before: Review, after: Review) -> Changes:
    """Hold two reviews of a job against each other, finding by finding."""
    gained, moved, was = [], [], {}
    for finding in after.findings:
        if finding.outcome in _OPEN:
            then = before.by_key.get(finding.key)
            if then is None or then.outcome != finding.outcome:
                gained.append(finding)
                was[finding.key] = then.outcome if then is not None else ""
            elif _words(then) != _words(finding):
                moved.append((then, finding))
    gone, became = [], {}
    for finding in before.findings:
        if finding.outcome in _OPEN:
            now = after.by_key.get(finding.key)
            if now is None or now.outcome not in _OPEN:
                gone.append(finding)
                became[finding.key] = now.outcome if now is not None else ""
    return Changes(tuple(gained), tuple(gone), tuple(moved), became, was)


class Teller:
    """Tells reviews of a job that is edited, each by what the one before did not say."""

    def __init__(self, review: Review) -> None:
        self.review, self._tables = review, tables(review)

    def tell(self, after: Review, width: int = 100) -> str:
        """Return in text what has changed since the review before, and the verdict now."""
        before, self.review = self.review, after
        old, cells = self._tables, [cell for table in self._tables for _, row in table.rows for cell in row]
        self._tables = tables(after, {id(cell.reading): cell for cell in cells if cell.reading is not None})
        figures = [*_figures(_cells(old), _cells(self._tables)), *_parts(before, after)]
        return "\n".join(_lines(before, after, figures, width))


def _lines(before: Review, after: Review, figures: list[str], width: int) -> Iterator[str]:
    found = changes(before, after)
    if not (found.gained or found.gone or found.moved or figures):
        yield "Nothing the review tells has changed."
    for section in sections(replace(after, findings=found.gained)):
        yield styled(f"New: {section.heading.lower()}", bold=True, fg="yellow")
        for _, told in section.findings:
            yield from finding_lines(told, "  + ", width)
            was = dict.fromkeys(_WAS[found.was[finding.key]] for finding in told.findings)
            yield from wrapped(f"Before, {listed(was)}.", width, _INDENT)
    if found.gone:
        yield styled("Gone", bold=True, fg="green")
        for told in _told(before, found.gone):
            became = dict.fromkeys(_BECAME[found.became[finding.key]] for finding in told.findings)
            yield f"  - {styled(told.where, bold=True)}  {_named(told)}: {listed(became)}"
    if found.moved:
        yield styled("Still there, with other numbers", bold=True)
        yield from _moved(before, after, found.moved, width)
    if figures:
        yield styled("Figures that moved", bold=True)
        for line in figures:
            yield from wrapped(line, width, "    ", "      ")
    yield from wrapped(verdict(after), width)


def _moved(before: Review, after: Review, pairs: Iterable[tuple[Finding, Finding]], width: int) -> Iterator[str]:
    then_of = {now.key: then for then, now in pairs}
    for told in _told(after, (now for _, now in pairs)):
        then = _told(before, [then_of[told.first.key]])[0]
        yield f"  ~ {styled(told.where, bold=True)}  {_named(told)}"
        if told.numbers and told.numbers != then.numbers:
            yield from wrapped(f"Before: {then.numbers}.", width, _INDENT)
            yield from wrapped(f"Now: {told.numbers}.", width, _INDENT)
        else:
            yield from wrapped(f"Now: {told.says or told.first.why_not}", width, _INDENT)


def _named(told: Told) -> str:
    return f"{told.first.rule.name} ({told.first.rule.level})"


def _told(review: Review, findings: Iterable[Finding]) -> list[Told]:
    some = replace(review, findings=tuple(findings))
    return [told for section in sections(some) for _, told in section.findings]


def _words(finding: Finding) -> tuple[str, ...]:
    """What is told of a finding, wherever in the file it stands."""
    return finding.says, Told((finding,), "", "", "", "").numbers, _PLACE.sub(")", finding.why_not)


Cells = dict[tuple[str, str, str], str]
"""The figures of the design by table, row and column."""


def _figures(old: Cells, new: Cells) -> Iterator[str]:
    """Yield the figures that moved: a line for each row of the tables, both sides told once."""
    rows: dict[str, list[str]] = {}
    for (heading, row, title), text in new.items():
        then = old.get((heading, row, title))
        if then is not None and then != text:
            rows.setdefault(row, []).append(f"{title} {then} → {text}")
    told: dict[str, list[str]] = {}
    for row, moved in rows.items():
        told.setdefault("; ".join(moved), []).append(row)
    for moved_text, names in told.items():
        yield f"{', '.join(_both_sides(names))}: {moved_text}"


def _parts(before: Review, after: Review) -> Iterator[str]:
    """Yield what came to the plan, and what went."""
    new, old = _subjects(after), _subjects(before)
    if came := [name for name in new if name not in old]:
        yield f"now there: {', '.join(_both_sides(came))}"
    if went := [name for name in old if name not in new]:
        yield f"no longer there: {', '.join(_both_sides(went))}"


def _cells(told: Iterable[Table]) -> Cells:
    return {
        (table.heading, row, title): cell.text
        for table in told
        for row, cells in table.rows
        for title, cell in zip(table.columns, cells, strict=True)
    }


def _subjects(review: Review) -> list[str]:
    """Names of what was planned: what follows from it (crossings, links) goes without saying."""
    kinds = ("source", "interface", "processor", "amplifier", "network", "driver")
    return [subject.name for kind in kinds for subject in review.chain.of_kind(kind)]


def _both_sides(names: list[str]) -> list[str]:
    """Tell left and right of one thing once."""
    told: list[str] = []
    for name in names:
        bare, _, side = name.rpartition(" ")
        other = f"{bare} {'right' if side == 'left' else 'left'}"
        if side not in ("left", "right") or other not in names:
            told.append(name)
        elif (both := f"{bare} left and right") not in told:
            told.append(both)
    return told
