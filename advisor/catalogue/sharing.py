"""Work shared between lines: the same driver in the same place is judged once, whichever packages it is in.

A finding is known by all it rests on. Where a line has the same at every leaf of one that was judged before, it has
the same finding; nothing is worked out, and nothing but the leaves is looked at. Findings whose words name a line of
a file ("is not given, write it there") are not shared.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from advisor.catalogue.leaves import Leaf, Names, Numbers, Tokens
from advisor.catalogue.told import Told, told_of
from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine, Key
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.judge import Judge
from advisor.judging.rule import Rule

MOST = 40_000
"""Findings kept at once: memory is bounded, and what is dropped is worked out again."""

NOT_SHARED = ("cannot tell", "broken")

Asked = tuple[str, str, str]
"""A rule and a subject's kind and name; a figure, with no rule."""


@dataclass
class _Known:
    """What was found where the leaves looked at were these: lately, and before that."""

    leaves: tuple[Leaf, ...]
    found: dict[tuple[int, ...], Any] = field(default_factory=dict)
    before: dict[tuple[int, ...], Any] = field(default_factory=dict)


class Shared:
    """Findings of lines judged before. Of those that were not asked for in a long while room is made for others."""

    def __init__(self, most: int = MOST) -> None:
        self.most = most
        self._known: dict[Asked, list[_Known]] = {}
        self._leaves: dict[tuple[Leaf, ...], tuple[Leaf, ...]] = {}
        self.numbers = Numbers()
        self.late = 0
        self.taken = 0
        self.made = 0

    def get(self, asked: Asked, line: LineLeaves) -> Any:
        """Return what is known, or None."""
        for known in self._known.get(asked, ()):
            values = line.values(known.leaves)
            found = known.found.get(values)
            if found is None and (found := known.before.pop(values, None)) is not None:
                self._keep(known, values, found)
            if found is not None:
                self.taken += 1
                return found
        return None

    def put(self, asked: Asked, line: LineLeaves, keys: Iterable[Key], found: Any) -> None:
        """Keep what was found, with what it rests on."""
        leaves = line.names.leaves(keys)
        leaves = self._leaves.setdefault(leaves, leaves)
        entries = self._known.setdefault(asked, [])
        known = next((one for one in entries if one.leaves is leaves), None)
        if known is None:
            known = _Known(leaves)
            entries.append(known)
        self.made += 1
        self._keep(known, line.values(leaves), found)

    def _keep(self, known: _Known, values: tuple[int, ...], found: Any) -> None:
        known.found[values] = found
        self.late += 1
        if 2 * self.late >= self.most:
            for one in (one for entries in self._known.values() for one in entries):
                one.before, one.found = one.found, {}
            self.late = 0


class LineLeaves:
    """The leaves of one line, each looked at once."""

    def __init__(self, chain: Chain, names: Names, numbers: Numbers, fixed: dict[Leaf, int]) -> None:
        self.names = names
        self._tokens = Tokens(chain, names, numbers, fixed)
        self._values: dict[int, tuple[int, ...]] = {}

    def values(self, leaves: tuple[Leaf, ...]) -> tuple[int, ...]:
        """Return what stands at some leaves; the tuple of leaves is one that is kept."""
        found = self._values.get(id(leaves))
        if found is None:
            tokens = self._tokens
            found = tuple([tokens[leaf] for leaf in leaves])
            self._values[id(leaves)] = found
        return found


class LineJudge:
    """Judges one line, with what is known from others."""

    def __init__(self, chain: Chain, rules: dict[str, Rule], shared: Shared, line: LineLeaves) -> None:
        self.chain, self.rules, self.shared, self.line = chain, rules, shared, line

    @cached_property
    def judge(self) -> Judge:
        """Works out what is not known; made when it is first needed."""
        return Judge(Engine(self.chain), self.rules)

    def findings(self) -> list[Told]:
        """Return every finding, the worst first."""
        found = [self.told(rule, subject) for rule in self.rules.values() for subject in self.chain.of_kind(rule.about)]
        return sorted(found, key=lambda one: one.order)

    def told(self, rule: Rule, subject: Subject) -> Told:
        """Return one finding."""
        asked = (rule.name, *subject.key)
        known: Told | None = self.shared.get(asked, self.line)
        if known is not None:
            return known.at_place(subject.origin.place) if known.noted and subject.origin else known
        found = told_of(self.judge.finding(rule, subject))
        if found.outcome not in NOT_SHARED:
            self.shared.put(asked, self.line, self._below(self.judge.rests_on(rule, subject)), found)
        return found

    def figure(self, fact: str) -> float | None:
        """Return a fact of the job, None where there is none."""
        job = self.chain.of_kind("job")[0]
        asked = ("", "job", fact)
        known = self.shared.get(asked, self.line)
        if known is not None:
            return known[0] if known else None
        engine = self.judge.engine
        with engine.frame() as frame:
            try:
                engine.read(job, fact)
                found: tuple[float, ...] = (float(engine.ask(job, fact).value),)
            except (Missing, NotDefined, BrokenFact):
                found = ()
        self.shared.put(asked, self.line, self._below(frame.touched), found)
        return found[0] if found else None

    def _below(self, keys: Iterable[Key]) -> set[Key]:
        return self.judge.engine.read_below(keys)
