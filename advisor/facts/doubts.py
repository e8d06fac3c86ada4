"""How sure a number is: the tolerances of all it was made of, carried up to it.

Inputs are taken as independent of each other and of a spread of `within` at two standard deviations. Each is turned
up and down by one standard deviation, what follows from that is worked out by what-if, and half the difference is
what it brings to the number; the root of the sum of squares is the number's own spread. That is the first-order
propagation of JCGM 100:2008 (the "GUM"), 5.1.2, with the derivatives taken by differences (5.1.3, note 2).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from weakref import WeakKeyDictionary

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine, Key, Worked
from advisor.facts.numbers import is_number, numbers_in, with_number
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.facts.tolerances import usual
from advisor.reading.spec import Steps

SIGMAS = 2.0
"""A tolerance is so many standard deviations."""

EDITS_KEPT = 8
"""What was worked out with an input turned is kept over so many edits in which nobody asked for it."""

Turn = tuple[Key, Steps, int]
"""One input and which way it is turned."""

Worth = Callable[[Engine], float]
"""Works a number out in an engine."""


@dataclass(frozen=True)
class Input:
    """One number that was given or assumed, and by how much it may be off; a table of thumb is off as a whole."""

    reading: Reading
    path: Steps
    value: float
    within: float
    whole: bool = False

    @property
    def key(self) -> tuple[Key, Steps]:
        """What no other input has."""
        return self.reading.key, self.path

    def turned(self, sign: int) -> object:
        """Return the value as it would read one standard deviation up or down."""
        step = sign * self.within / SIGMAS
        if not self.whole:
            return with_number(self.reading.value, self.path, self.value + step)
        value = self.reading.value
        for path, number in numbers_in(value):
            value = with_number(value, path, number * (1 + step))
        return value


@dataclass(frozen=True)
class Cause:
    """What one input brings to a number's doubt: by how much, and which share of it all (of the variance)."""

    input: Input
    amount: float
    share: float


@dataclass(frozen=True)
class Doubt:
    """How far a number may be off, and through what; the greatest cause first.

    `unturned` are inputs with a tolerance of which neither side could be worked out: what they bring is not known.
    """

    within: float
    causes: tuple[Cause, ...] = ()
    unturned: tuple[Input, ...] = ()

    @property
    def first(self) -> Cause | None:
        """The input that decides most: the one worth measuring first."""
        return self.causes[0] if self.causes else None


@dataclass
class Doubts:
    """The doubts of one engine's numbers. What-ifs are made when first needed, and shared by all numbers."""

    engine: Engine
    _turned: dict[Turn, Engine] = field(default_factory=dict)
    _earlier: dict[Turn, tuple[dict[Key, Worked], tuple[set[Key], ...]]] = field(default_factory=dict)
    """What was worked out with inputs turned before the job was edited, and what each edit since made stale."""
    _inputs: dict[Key, tuple[Input, ...]] = field(default_factory=dict)
    _found: WeakKeyDictionary[Worth, dict[Turn, float | None]] = field(default_factory=WeakKeyDictionary)
    """What a number came to with inputs turned, as long as it is asked for: a rough look is half of a whole one."""

    def moved(self, engine: Engine, stale: set[Key]) -> Doubts:
        """Return the doubts of an engine that was moved; what rests on nothing stale need not be worked out again."""
        other = Doubts(engine)
        before = {**self._earlier, **{turn: (turned.worked_out, ()) for turn, turned in self._turned.items()}}
        for turn, (facts, gone) in before.items():
            if turn[0] not in stale and len(gone) < EDITS_KEPT:
                other._earlier[turn] = facts, (*gone, stale)
        other._inputs = {key: found for key, found in self._inputs.items() if key not in stale}
        return other

    def _kept(self, turn: Turn) -> dict[Key, Worked]:
        facts, stale = self._earlier.pop(turn, ({}, ()))
        kept: dict[Key, Worked] = {}
        lost: set[Key] = set()
        for key, (value, touched) in facts.items():  # in the order they were worked out: what they rest on comes first
            if touched.isdisjoint(lost) and all(map(touched.isdisjoint, stale)):
                kept[key] = value, touched
            else:
                lost.add(key)
        return kept

    def of_reading(self, reading: Reading) -> Doubt | None:
        """Return the doubt of a fact; None where it is no number."""
        subject = self._subjects.get(reading.key[:2])
        if reading.kind != "fact" or subject is None or not is_number(reading.value):
            return None
        return self.of([reading], lambda engine: float(engine.ask(subject, reading.key[2]).value))

    def roughly(self, inputs: Iterable[Input], middle: float, worth: Worth, touched: set[Key]) -> float:
        """Return about within what a number that came out as `middle` lies, by turning each input one way only."""
        amounts = []
        for each in inputs:
            result = self._worth(each, 1, worth, touched)
            if result is None:
                result = self._worth(each, -1, worth, touched)
            amounts.append((result - middle) * SIGMAS if result is not None else 0.0)
        return math.hypot(*amounts)

    def of(self, readings: Iterable[Reading], worth: Worth, touched: set[Key] | None = None) -> Doubt:
        """Return the doubt of a number that was made of some readings; what was read for it goes to `touched`."""
        middle, causes, unturned = worth(self.engine), [], []
        for each in self.inputs(readings):
            up, down = (self._worth(each, sign, worth, touched) for sign in (1, -1))
            if up is None and down is None:
                unturned.append(each)
                continue
            if half := _half(up, middle, down):
                causes.append((each, abs(half) * SIGMAS))
        total = math.hypot(*(amount for _, amount in causes))
        told = [Cause(each, amount, (amount / total) ** 2) for each, amount in causes]
        return Doubt(total, tuple(sorted(told, key=lambda cause: -cause.amount)), tuple(unturned))

    def inputs(self, readings: Iterable[Reading]) -> list[Input]:
        """Return every number below some readings that may be off, each once."""
        below = {leaf.key: leaf for reading in readings for leaf in reading.walk() if leaf.kind in ("given", "assumed")}
        found: list[Input] = []
        for key, leaf in below.items():
            if key not in self._inputs:
                self._inputs[key] = tuple(inputs_of(leaf))
            found += self._inputs[key]
        return found

    @cached_property
    def _subjects(self) -> dict[Key, Subject]:
        return {subject.key: subject for subject in self.engine.chain.subjects}

    def _worth(self, each: Input, sign: int, worth: Worth, touched: set[Key] | None) -> float | None:
        """Work a number out with one input turned; None where there is none then, as past the end of a range.

        What was read is entered in `touched` once, so for one number it is the same set throughout.
        """
        key = (*each.key, sign)
        found = self._found.setdefault(worth, {})
        if key in found:
            return found[key]
        if key not in self._turned:
            self._turned[key] = self.engine.what_if({each.reading.key: each.turned(sign)}, self._kept(key))
        engine = self._turned[key]
        with engine.frame() as frame:
            try:
                result = worth(engine)
            except (Missing, NotDefined, BrokenFact, ArithmeticError):
                result = math.nan
        if touched is not None:
            touched |= engine.read_below(frame.touched)
        found[key] = result if math.isfinite(result) else None
        return found[key]


def _half(up: float | None, middle: float, down: float | None) -> float:
    """Half of what lies between both sides, or what lies on the one side there is."""
    if up is not None and down is not None:
        return (up - down) / 2
    return up - middle if up is not None else middle - (down if down is not None else middle)


def inputs_of(leaf: Reading) -> Iterable[Input]:
    """Yield the numbers of a leaf that may be off: those that say so, else those the table knows.

    A category has none, nor has a decision.
    """
    said, known = leaf.within or {}, usual(leaf)
    if leaf.kind == "assumed" and isinstance(leaf.value, dict):
        if known is not None and known.share:
            yield Input(leaf, ("table",), 1.0, known.size, whole=True)
        return
    for path, number in numbers_in(leaf.value):
        within = said.get(path, known)
        if within is not None and within.of(number):
            yield Input(leaf, path, number, within.of(number))
