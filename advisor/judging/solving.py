"""The nearest value of a knob at which a rule holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.judging.finding import Finding
from advisor.judging.knobs import Choice, Knob, Number, Option
from advisor.judging.trials import GONE, Trials, margin_of
from advisor.reading.edits import Edit

ENOUGH = 3
"""Choices told for one knob."""


def solve(knob: Knob, findings: Sequence[Finding], trials: Trials, after: tuple[Edit, ...] = ()) -> list[Option]:
    """Return the changes of one knob that clear a finding, nearest or cheapest first; none where none does.

    `after` is what was changed before.
    """
    if isinstance(knob, Choice):
        found: list[Option] = []
        for option in knob.options:
            if len(found) == ENOUGH:
                break
            if any(_does_more_than(option, other) for other in found):
                continue
            if clears(trials.if_edited(findings, (*after, *option.edits)).outcome, findings):
                found.append(option)
        return found
    values = []
    for candidates in (knob.up, knob.down):
        value = _nearest(candidates, lambda number: _number_holds(knob, number, findings, trials, after))
        if value is not None:
            values.append(value)
    return [knob.option(value) for value in sorted(values, key=lambda value: abs(value - knob.start))]


def _does_more_than(option: Option, other: Option) -> bool:
    """Tell whether a change adds to a list all that another adds, and more."""
    pairs = list(zip(option.edits, other.edits, strict=False))
    lists = all(isinstance(one.value, list) and isinstance(two.value, list) for one, two in pairs)
    same = lists and [edit.path for edit in option.edits] == [edit.path for edit in other.edits]
    return same and all(set(map(str, two.value)) < set(map(str, one.value)) for one, two in pairs)


def clears(outcome: str | None, findings: Sequence[Finding]) -> bool:
    """Tell whether an outcome (None: it is not there any more) is what a finding was to become.

    A place has nothing to be judged for once nothing is mounted there; of all else, what is gone is not mended.
    """
    return outcome == "holds" or (outcome in (None, GONE) and findings[0].subject.kind in ("location", "waiver"))


def _number_holds(
    knob: Number, value: float, findings: Sequence[Finding], trials: Trials, after: tuple[Edit, ...]
) -> bool:
    if knob.given is not None and not after:
        return trials.if_given(findings, knob.given(value)).outcome == "holds"
    return trials.if_edited(findings, (*after, *knob.option(value).edits)).outcome == "holds"


def _nearest(values: Sequence[float], holds: Callable[[float], bool]) -> float | None:
    """Return the first value at which it holds, looking at ever larger distances and then back between two."""
    last, index = -1, 0
    while index < len(values) and not holds(values[index]):
        if index == len(values) - 1:
            return None
        last, index = index, min(2 * index + 1, len(values) - 1)
    if index >= len(values):
        return None
    while index - last > 1:
        middle = (last + index) // 2
        if holds(values[middle]):
            index = middle
        else:
            last = middle
    return values[index]


def helping(knob: Knob, findings: Sequence[Finding], trials: Trials) -> list[tuple[float, Option]]:
    """Return changes of one knob that do not clear a finding but bring it nearer, with their margin, best first."""
    if isinstance(knob, Choice):
        options = list(knob.options)
    else:
        spread = [values[place] for values in (knob.up, knob.down) for place in _places(len(values))]
        options = [knob.option(value) for value in spread]
    now = max(_margin(finding) for finding in findings)
    tried = [(margin_of(trials.if_edited(findings, option.edits)), option) for option in options]
    return sorted((pair for pair in tried if pair[0] > now), key=lambda pair: -pair[0])


def _margin(finding: Finding) -> float:
    measured = finding.measured
    return measured.margin if measured is not None and measured.margin is not None else float("-inf")


def _places(count: int) -> list[int]:
    return sorted({count // 4, count // 2, count - 1}) if count else []
