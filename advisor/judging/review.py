"""A whole review: from a job file to findings."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

from advisor.chain.build import Chain, build_chain
from advisor.facts.engine import Engine
from advisor.judging.differences import Index
from advisor.judging.finding import Finding
from advisor.judging.judge import Judge
from advisor.judging.rule import LEVELS, Rule
from advisor.judging.rulebook import load_rulebook
from advisor.judging.waivers import check_waivers, waive
from advisor.reading.reader import read_job
from advisor.reading.system import System


@dataclass(frozen=True)
class Review:
    """All that is known of a job after its rules were held against it."""

    system: System
    chain: Chain
    engine: Engine
    rules: dict[str, Rule]
    findings: tuple[Finding, ...]
    judge: Judge
    gathered: Index | None = None
    """What its chain holds, where that was gathered before it was asked for."""

    @cached_property
    def index(self) -> Index:
        """What its chain holds, by the keys of readings: what a review made again is compared by."""
        return self.gathered or Index(self.chain)

    def of(self, outcome: str, level: str | None = None) -> list[Finding]:
        """Return the findings of an outcome (and level)."""
        return [finding for finding in self._by_outcome.get(outcome, ()) if level in (None, finding.rule.level)]

    @cached_property
    def by_key(self) -> dict[tuple[str, tuple[str, str]], Finding]:
        """The findings by rule and subject."""
        return {finding.key: finding for finding in self.findings}

    @cached_property
    def _by_outcome(self) -> dict[str, list[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in self.findings:
            found.setdefault(finding.outcome, []).append(finding)
        return found

    def counts(self) -> Counter[str]:
        """Count findings by outcome."""
        return Counter(finding.outcome for finding in self.findings)

    def fails(self, fail_on: str) -> bool:
        """Tell whether anything falls short at a level or above; a broken rule always counts."""
        if self.of("broken"):
            return True
        levels = LEVELS[: LEVELS.index(fail_on) + 1] if fail_on in LEVELS else LEVELS
        doubtful = fail_on == "cannot tell" and bool(self.of("cannot tell") or self.of("too close to call"))
        return doubtful or any(self.of("falls short", level) for level in levels)


def review_job(path: Path, name: str | None = None, today: date | None = None) -> Review:
    """Read, build, compute and judge one job.

    Raises InputError (or RulebookError) where a file cannot be used.
    """
    return review_system(read_job(path, name), today or date.today())


def review_system(system: System, today: date) -> Review:
    """Judge a job that was read."""
    chain = build_chain(system, today)
    rules = load_rulebook(system.own_shop)
    engine = Engine(chain)
    return conclude(system, chain, Judge(engine, rules), today)


def conclude(system: System, chain: Chain, judge: Judge, today: date, index: Index | None = None) -> Review:
    """Hold all rules against a job, waivers last, since they are judged by what they meet."""
    rules, waivers = judge.rules, chain.of_kind("waiver")
    check_waivers(waivers, rules, [subject.name for subject in chain.subjects])
    first = judge.judge([rule for rule in rules.values() if rule.about != "waiver"])
    findings = waive(first, waivers, today)
    findings += judge.judge([rule for rule in rules.values() if rule.about == "waiver"])
    ordered = tuple(sorted(findings, key=lambda finding: finding.order))
    return Review(system, chain, judge.engine, rules, ordered, judge, index)
