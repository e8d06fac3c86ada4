"""An engine that takes over what was worked out in lines before: a pair of ways in a door, whichever package it is in.

Shared are facts of single links of the chain; those of the whole job, of a seat, of the supply rest on everything and
would hardly be met again. What is worked out with an input turned, to see how sure a verdict is, is shared likewise.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from typing import Any

from advisor.catalogue.leaves import Leaf, leaf_of
from advisor.catalogue.traces import Line, Traces
from advisor.chain.build import Chain
from advisor.facts.engine import Engine, Key
from advisor.facts.reading import NotDefined, Reading, Stop

LENT = ("driver", "crossing", "channel", "network", "amplifier", "cable", "item")
"""Kinds of subjects whose facts are shared."""


class LendingEngine(Engine):
    """Facts of one line; those of single links are looked for in lines before, and kept for lines after."""

    def __init__(self, chain: Chain, traces: Traces, line: Line, given: Mapping[Key, Any] | None = None) -> None:
        super().__init__(chain, given)
        self.traces, self.line = traces, line
        self.turned = tuple(sorted((key, repr(value)) for key, value in self.given.items()))
        self._lent: dict[Key, frozenset[Key]] = {}
        """Facts that were taken over, with all they rest on that is no fact."""
        self._below: dict[Key, frozenset[Key]] = {}

    def _another(self, given: Mapping[Key, Any]) -> Engine:
        return LendingEngine(self.chain, self.traces, self.line, given)

    def resting_on(self, keys: Iterable[Key]) -> set[Key]:
        """Return some readings and every fact that was made of them, however far up."""
        seeds = set(keys)
        lent = [key for engine in self._line() for key, below in _lent_by(engine) if not below.isdisjoint(seeds)]
        return super().resting_on({*seeds, *lent})

    def _lookup(self, key: Key) -> Reading | Stop | None:
        known = super()._lookup(key)
        if known is None and key[0] in LENT:
            answer = self.traces.get(self.traces.question((key, self.turned)), self.line)
            if answer is not None:
                (known, below), _ = answer
                self._lent[key] = self._below[key] = below
                self._known[key], self._read_for[key] = known, below
                self._order.append(key)
        return known

    def _enter(self, key: Key, result: Reading | Stop, touched: set[Key]) -> None:
        super()._enter(key, result, touched)
        if key[0] in LENT and isinstance(result, Reading | NotDefined):
            below = self._rests_on(key)
            self.traces.put(self.traces.question((key, self.turned)), self.line, leaves_of(below), (result, below))

    def read_below(self, keys: Iterable[Key]) -> set[Key]:
        """Return all that some keys rest on that is no fact: of facts it is enough to know what they were made of."""
        known = self._known
        facts = [key for key in keys if key in known]
        return set(keys).difference(facts).union(*map(self._rests_on, facts))

    def _rests_on(self, fact: Key) -> frozenset[Key]:
        """Return all that a fact that is known here rests on, and is no fact itself."""
        found = self._below.get(fact)
        if found is None:
            read = self._read_for.get(fact)
            if read is not None:
                found = frozenset(self.read_below(read))
            else:
                assert isinstance(self._before, LendingEngine)
                found = self._before._rests_on(fact)
            self._below[fact] = found
        return found


@functools.lru_cache(maxsize=10_000)
def leaves_of(keys: frozenset[Key]) -> frozenset[Leaf]:
    """Return the leaves of some keys; in the next vehicle they are the same keys."""
    return frozenset([leaf for key in keys if (leaf := leaf_of(key)) is not None])


def _lent_by(engine: Engine) -> Iterable[tuple[Key, frozenset[Key]]]:
    assert isinstance(engine, LendingEngine)
    return engine._lent.items()
