"""The nearest value of a knob at which a rule holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.judging.finding import Finding
from advisor.judging.knobs import Choice, Knob, Number, Option
from advisor.judging.trials import Trials, margin_of

ENOUGH = 3
"""Choices told for one knob."""


def solve(knob: Knob, findings: Sequence[Finding], trials: Trials) -> list[Option]:
    """Return the changes of one knob that clear a finding, nearest or cheapest first; none where none does."""
    if isinstance(knob, Choice):
        holding = (option for option in knob.options if _holds(trials.if_edited(findings, option.edits).outcome))
        return [option for option, _ in zip(holding, range(ENOUGH), strict=False)]
    found = []
    for values in (knob.up, knob.down):
        value = _nearest(values, lambda number: _number_holds(knob, number, findings, trials))
        if value is not None:
            found.append(value)
    return [knob.option(value) for value in sorted(found, key=lambda value: abs(value - knob.start))]


def _number_holds(knob: Number, value: float, findings: Sequence[Finding], trials: Trials) -> bool:
    if knob.given is not None:
        return _holds(trials.if_given(findings, knob.given(value)).outcome)
    return _holds(trials.if_edited(findings, knob.option(value).edits).outcome)


def _holds(outcome: str) -> bool:
    return outcome == "holds"


def _nearest(values: Sequence[float], holds: Callable[[float], bool]) -> float | None:
    """Return the first value at which it holds, looking at ever larger distances and then back between two."""
    last, index = -1, 0
    while index < len(values):
        if holds(values[index]):
            break
        if index == len(values) - 1:
            return None
        last, index = index, min(2 * index + 1, len(values) - 1)
    else:
        return None
    while index - last > 1:
        middle = (last + index) // 2
        if holds(values[middle]):
            index = middle
        else:
            last = middle
    return values[index]


def helping(knob: Knob, findings: Sequence[Finding], trials: Trials, most: int) -> list[Option]:
    """Return changes of one knob that do not clear a finding but bring it nearer, the most helpful first."""
    if isinstance(knob, Choice):
        options = list(knob.options[:12])
    else:
        spread = [values[place] for values in (knob.up, knob.down) for place in _places(len(values))]
        options = [knob.option(value) for value in spread]
    now = max(margin_of_finding(finding) for finding in findings)
    tried = [(margin_of(trials.if_edited(findings, option.edits)), option) for option in options]
    better = [(margin, option) for margin, option in tried if margin > now]
    return [option for _, option in sorted(better, key=lambda pair: -pair[0])[:most]]


def margin_of_finding(finding: Finding) -> float:
    """Return by how much a finding falls short, as a number below nought; the least there is where it has none."""
    measured = finding.measured
    return measured.margin if measured is not None and measured.margin is not None else float("-inf")


def _places(count: int) -> list[int]:
    return sorted({count // 4, count // 2, count - 1}) if count else []
