"""Holds every rule against every subject it is about."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from advisor.chain.subject import Subject
from advisor.facts.doubts import Doubts
from advisor.facts.engine import Engine, Key
from advisor.facts.numbers import is_number
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.expressions import compile_condition, compile_sentence
from advisor.judging.finding import Finding, Measured
from advisor.judging.rule import ORDERED, Check, Comparison, Rule
from advisor.judging.tolerance import Nearness, is_near, nearness, unit_of

_COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    "<=": lambda left, right: left <= right or _same(left, right),
    ">=": lambda left, right: left >= right or _same(left, right),
    "<": lambda left, right: left < right,
    ">": lambda left, right: left > right,
    "==": lambda left, right: left == right,
    "!=": lambda left, right: left != right,
    "in": lambda left, right: left in right,
    "not in": lambda left, right: left not in right,
    "covers": lambda left, right: set(right) <= set(left),
    "avoids": lambda left, right: not set(left) & set(right),
}

HOLDS_NARROWLY = "As worked out it holds, but by less than its numbers can decide; measure before it is relied on."

CLEAR_OF_ALL = Nearness(0.0)
"""Of comparisons that nothing is near to."""

SAY_WHERE = ("broken", "cannot tell")
"""Outcomes explained by a text that may point into a file."""

TOLD = ("falls short", "too close to call", "cannot tell")
"""Outcomes that are told in sentences."""


def _same(left: Any, right: Any) -> bool:
    """Equal but for how numbers are added up: one over one over 3.6 is 3.6."""
    return _are_numbers(left, right) and math.isclose(left, right, rel_tol=1e-9)


class Judge:
    """Judges one job by one rulebook."""

    def __init__(self, engine: Engine, rules: dict[str, Rule]) -> None:
        self.engine, self.rules, self.doubts = engine, rules, Doubts(engine)
        self.judged: dict[tuple[str, Key], Finding] = {}
        """By rule and subject."""
        self._rests_on: dict[tuple[str, Key], set[Key]] = {}
        self._touched: set[Key] = set()
        self._compiled: dict[str, Callable[..., Any]] = {}

    def moved(self, engine: Engine, stale: set[Key]) -> Judge:
        """Return a judge for another engine, who keeps the findings that rest on nothing stale."""
        other = Judge(engine, self.rules)
        other._compiled, other.doubts = self._compiled, self.doubts.moved(engine, stale)
        kept = {key for key, touched in self._rests_on.items() if touched.isdisjoint(stale)}
        other.judged = {key: finding for key, finding in self.judged.items() if key in kept}
        other._rests_on = {key: touched for key, touched in self._rests_on.items() if key in kept}
        return other

    def judge(self, rules: list[Rule] | None = None) -> list[Finding]:
        """Return a finding for every rule and subject, rule by rule."""
        found: list[Finding] = []
        for rule in rules if rules is not None else self.rules.values():
            found += [self.known(rule, subject) for subject in self.engine.chain.of_kind(rule.about)]
        return found

    def known(self, rule: Rule, subject: Subject) -> Finding:
        """Return a finding that was kept, or judge."""
        kept = self.judged.get((rule.name, subject.key))
        if kept is None or kept.outcome in SAY_WHERE:  # their words name a line of the file, and lines move
            return self.finding(rule, subject)
        return kept.about(subject)

    def finding(self, rule: Rule, subject: Subject) -> Finding:
        """Judge one rule on one subject: the verdict first, its sentences after."""
        self._touched = set()
        result = self.verdict(rule, subject)
        finding = Finding(rule, subject, result.outcome, result.measured, why_not=result.why)
        finding = self.told(finding) if finding.outcome in TOLD[:2] else finding
        key = (rule.name, subject.key)
        self.judged[key], self._rests_on[key] = finding, self._touched
        return finding

    def rests_on(self, rule: Rule, subject: Subject) -> set[Key]:
        """Return every key a finding was made from; what those rest on is for the engine to tell."""
        return self._rests_on[rule.name, subject.key]

    def verdict(self, rule: Rule, subject: Subject) -> Result:
        """Judge one rule on one subject, without words."""
        return _Trial(self, rule, subject).verdict()

    def told(self, finding: Finding) -> Finding:
        """Add the sentences; one that cannot be written makes the rule broken, whatever its verdict.

        A rule's sentences are about what falls short; of what holds too narrowly they would say what is not so.
        """
        if finding.outcome == "too close to call" and finding.measured and (finding.measured.margin or 0) >= 0:
            return replace(finding, says=HOLDS_NARROWLY)
        names = self.names(finding.rule, finding.subject)
        if finding.measured:
            names |= {"left": finding.measured.left, "right": finding.measured.right}
        texts = {}
        try:
            with self.engine.frame() as frame:
                for key in ("says", "because", "to_customer"):
                    texts[key] = " ".join(compile_sentence(getattr(finding.rule, key))(**names).split())
        except Exception as error:  # whatever it is, it is the rule's fault and must be seen
            return replace(finding, outcome="broken", why_not=f"its text: {error}")
        finally:
            self._touched |= frame.touched
        return replace(
            finding,
            told=tuple(frame.readings.values()),
            says=texts["says"],
            because=texts["because"],
            to_customer=texts["to_customer"],
        )

    def names(self, rule: Rule, subject: Subject, engine: Engine | None = None) -> dict[str, Any]:
        """Return what a rule's conditions and sentences start from; in another engine, what it would say."""
        return {rule.about: (engine or self.engine).view(subject), "limits": rule.limit_values}

    def nearness(
        self, check: Comparison, rule: Rule, subject: Subject, readings: list[Reading], right: float, margin: float
    ) -> Nearness:
        """Return how near to its limit a comparison is too close to call."""

        def margin_in(engine: Engine) -> float:
            names = self.names(rule, subject, engine)
            return margin_of(check.op, self.condition(check.left)(**names), self.condition(check.right)(**names))

        return nearness(readings, right, margin, self.doubts, margin_in, self._touched)

    def condition(self, text: str) -> Callable[..., Any]:
        """Return a condition, compiled once."""
        if text not in self._compiled:
            self._compiled[text] = compile_condition(text)
        return self._compiled[text]

    def value(self, text: str, names: dict[str, Any]) -> tuple[Any, list[Reading]]:
        """Return the value of a condition and what it read."""
        condition = self.condition(text)
        with self.engine.frame() as frame:
            try:
                result = condition(**names)
            finally:
                self._touched |= frame.touched
        if not isinstance(result, bool | int | float | str | tuple | list):
            raise BrokenFact(f"'{text}' gave {type(result).__name__}, which cannot be compared")
        return result, list(frame.readings.values())


@dataclass(eq=False, slots=True)
class Result:
    """The verdict on one check: outcome, the comparison that decided, and why there is none. Never changed."""

    outcome: str
    measured: Measured | None = None
    why: str = ""
    unsure: bool = False
    """So near its limit that its inputs have to be looked into before it counts, which was left open."""


class _Trial:
    """One rule, one subject."""

    def __init__(self, judge: Judge, rule: Rule, subject: Subject) -> None:
        self.judge, self.rule, self.subject = judge, rule, subject
        self.names = judge.names(rule, subject)

    def verdict(self) -> Result:
        try:
            if self.rule.when is not None:
                applies, _ = self.judge.value(self.rule.when, self.names)
                if not isinstance(applies, bool):
                    return Result("broken", why=f"its 'when' gave {applies!r}, neither true nor false")
                if not applies:
                    return Result("does not apply", why=f"only where {self.rule.when}")
        except Exception as stop:
            return _stopped(stop)
        return self.check(self.rule.check)

    def check(self, check: Check, *, look: bool = True) -> Result:
        if isinstance(check, Comparison):
            return self.comparison(check, look=look)
        if check.kind == "not":
            return _denied(self.check(check.members[0], look=look))
        decides = "holds" if check.kind == "any" else "falls short"
        results = [self.check(member, look=False) for member in check.members]
        sure = [result for result in results if not result.unsure]
        if any(result.outcome == decides for result in sure):
            results = sure  # one member decides clearly: how near the others are makes no difference
        elif look:
            results = [self.check(member) for member in check.members]
        elif len(sure) < len(results):
            results = [replace(result, unsure=True) for result in results]
        # a missing member decides nothing that another decides without it; one that does not apply does not count
        order = ("broken", "falls short", "too close to call", "cannot tell", "holds", "does not apply")
        if check.kind == "any":
            order = ("broken", "holds", "too close to call", "cannot tell", "falls short", "does not apply")
        return min(results, key=lambda result: order.index(result.outcome))

    def comparison(self, check: Comparison, *, look: bool) -> Result:
        try:
            left, left_read = self.judge.value(check.left, self.names)
            right, right_read = self.judge.value(check.right, self.names)
            holds = _COMPARE[check.op](left, right)
        except Exception as stop:
            return _stopped(stop)
        readings = left_read + [reading for reading in right_read if reading not in left_read]
        outcome, near, unsure = "holds" if holds else "falls short", CLEAR_OF_ALL, False
        margin = margin_of(check.op, left, right) if check.op in ORDERED and _are_numbers(left, right) else None
        if margin is not None and not self.rule.exact:
            unsure = not look and is_near(readings, float(right), margin, self.judge.doubts)
            if not unsure:
                near = self.judge.nearness(check, self.rule, self.subject, readings, float(right), margin)
        measured = Measured(left, check.op, right, unit_of(readings), margin, near.within, tuple(readings), near.doubt)
        if margin is not None and abs(margin) < near.within:
            return Result("too close to call", measured)
        return Result(outcome, measured, unsure=unsure)


def margin_of(op: str, left: Any, right: Any) -> float:
    """Return by how much an ordered comparison holds (+) or falls short (−)."""
    return float(right - left) if op in ("<=", "<") else float(left - right)


def _denied(result: Result) -> Result:
    """Return what denying a check gives: turned round, or as much in doubt as it was."""
    flipped = {"holds": "falls short", "falls short": "holds"}
    measured = result.measured
    if measured is not None and measured.margin is not None:
        measured = replace(measured, margin=-measured.margin)
    return replace(result, outcome=flipped.get(result.outcome, result.outcome), measured=measured)


def _are_numbers(left: Any, right: Any) -> bool:
    return is_number(left) and is_number(right)


def _stopped(stop: Exception) -> Result:
    if isinstance(stop, Missing):
        return Result("cannot tell", why=str(stop))
    if isinstance(stop, NotDefined):
        return Result("does not apply", why=str(stop))
    return Result("broken", why=f"{type(stop).__name__}: {stop}" if not isinstance(stop, BrokenFact) else str(stop))
