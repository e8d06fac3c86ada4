"""An engine that takes over what was worked out in lines before: a pair of ways in a door, whichever package it is in.

Shared are facts of single links of the chain; those of the whole job, of a seat, of the supply rest on everything and
would hardly be met again. What is worked out with an input turned, to see how sure a verdict is, is shared likewise.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from advisor.catalogue.leaves import Bits
from advisor.catalogue.traces import Line, Question, Traces
from advisor.chain.build import Chain
from advisor.facts.engine import Engine, Key, Worked, Written
from advisor.facts.frames import Frame
from advisor.facts.reading import NotDefined, Reading, Stop

LENT = frozenset({"driver", "crossing", "channel", "network", "amplifier", "cable", "item"})
"""Kinds of subjects whose facts are shared."""

STEPS = frozenset({"better_polarity", "hole_db", "hiss_db", "meeting", "settles_at_c", "sink_c", "sink_with_fan_c"})
"""Facts of theirs that are not: steps on the way to one that is, or to a finding. Where that is known nobody asks for
them, so what is kept of them is hardly ever met again."""

SHARED = (Reading, NotDefined)
"""What facts may be that hold in other lines: what is missing or broken is told with a line of a file."""


class KnownFacts:
    """Facts of designs in one vehicle, and what was read of files for them; the next takes over what still holds."""

    def __init__(self) -> None:
        self.facts: dict[Key, tuple[Reading | NotDefined, Bits, int]] = {}
        """Facts with all that they rest on and is no fact itself, and the number of the design they are of."""
        self.written: dict[Key, Written] = {}
        self.drawn: dict[Key, Reading] = {}
        """What follows from how the chain is drawn."""
        self.number = 0
        """Of the design that they are asked for."""
        self.changed: list[Bits] = [0]
        """By number of a design before, what has changed since."""
        self.leaves: Bits = 0
        """Of all that are asked for, and of what was read for those that are not kept."""

    def begin(self, number: int, changed: list[Bits], gone: Iterable[Key]) -> None:
        """Go on with another design; `gone` are keys at which something else stands than in the one before."""
        for key in gone:
            (self.written if key[0] == "given" else self.drawn).pop(key, None)
        self.number, self.changed, self.leaves = number, changed, 0


class LendingEngine(Engine):
    """Facts of one line; those of single links are looked for in lines before, and kept for lines after."""

    says_where = False
    """Rows tell where their subjects stand; facts that are kept for other lines must not hold on to whole files."""

    def __init__(
        self,
        chain: Chain,
        traces: Traces,
        line: Line,
        facts: KnownFacts,
        given: Mapping[Key, Any] | None = None,
        made_from: LendingEngine | None = None,
    ) -> None:
        super().__init__(chain, given)
        self.traces, self.line, self.index = traces, line, traces.index
        self._facts, self._written, self._drawn = facts, facts.written, facts.drawn
        self._below: dict[Key, Bits] = {}
        self._made_from = made_from
        self._turned: Bits = 0
        turned = []
        for key, value in self.given.items():
            self._turned |= self.index[key]
            turned.append((key, repr(value)))
        self._turn = traces.turns.setdefault(tuple(sorted(turned)), len(traces.turns)) if turned else None

    def what_if(self, given: Mapping[Key, Any], kept: Mapping[Key, Worked] | None = None) -> LendingEngine:
        """Return an engine with some given values replaced; only what rests on them is worked out again."""
        assert not kept, "lines are not edited"
        other = LendingEngine(self.chain, self.traces, self.line, KnownFacts(), {**self.given, **given}, self)
        other._drawn = self._drawn
        return other

    def below(self, keys: Iterable[Key]) -> Bits:
        """Return all that some keys rest on and is no fact."""
        found, known, index = 0, self._below, self.index
        for key in keys:
            below = known.get(key)
            if below is None:  # a fact that was not looked up here is none that is known
                below = index[key]
            found |= below
        return found

    def read_below(self, keys: Iterable[Key]) -> set[Key]:
        """Return a key that stands for all that some keys rest on, in this engine and those it was made from."""
        below, engine = self.below(keys), self
        while engine._made_from is not None:
            engine = engine._made_from
        key = ("below", str(len(engine._below)))
        engine._below[key] = below
        return {key}

    def _written_at(self, key: Key) -> Any:
        known = self._written.get(key)
        if known is None and self._made_from is not None and key not in self.given:
            return self._made_from._written_at(key)
        return known

    def _lookup(self, key: Key) -> Reading | Stop | None:
        known = self._known.get(key)
        if known is not None:
            return known
        if self._made_from is not None:
            known = self._made_from._lookup(key)
            if known is not None:
                below = self._made_from._below[key]
                if not below & self._turned:
                    self._known[key], self._below[key] = known, below
                    return known
        facts = self._facts
        kept = facts.facts.get(key)
        if kept is not None and not kept[1] & facts.changed[kept[2]]:
            self._known[key], self._below[key] = kept[0], kept[1]
            return kept[0]
        if key[0] in LENT and key[2] not in STEPS:
            answer = self.traces.get(self._question(key), self.line)
            if answer is not None:
                self._known[key], self._below[key] = answer[0]
                self._keep(key, *answer[0])
                return self._known[key]
        return None

    def _worked_out(self, key: Key, result: Reading | Stop, frame: Frame) -> None:
        below = self.below(frame.looked_at)
        for reading in frame.readings.values():
            below |= reading.rests_on or self._of_no_fact(reading)
        self._known[key], self._below[key] = result, below
        self._facts.leaves |= below
        if isinstance(result, Reading):
            result.rests_on = below
        if isinstance(result, SHARED):
            self._keep(key, result, below)
            if key[0] in LENT and key[2] not in STEPS:
                self.traces.put(self._question(key), self.line, below & self.index.leaves, (result, below))

    def _of_no_fact(self, reading: Reading) -> Bits:
        bit = reading.rests_on = self.index[reading.key]
        return bit

    def _keep(self, key: Key, result: Reading | NotDefined, below: Bits) -> None:
        self._facts.facts[key] = result, below, self._facts.number
        self._facts.leaves |= below

    def _question(self, key: Key) -> Question:
        return self.traces.questions[key if self._turn is None else (key, self._turn)]
