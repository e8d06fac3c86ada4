"""Why a figure is another one in another option: what differs below it, and what of that moves it.

The derivations name the candidates. Each is then put alone into the first option (or, where that cannot be, taken
back alone in the other), and what moves the figure too little to tell is left out: no reason is a guess.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.chain.build import build_chain
from advisor.errors import AdvisorError
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.review import Review
from advisor.reading.system import System
from advisor.telling.compare.aspects import Aspect, aspect_of, whole_aspects, with_aspect_of
from advisor.telling.compare.figures import Figure, worst
from advisor.telling.compare.leaves import Decided, bare, differing, equal
from advisor.telling.compare.words import in_words

LEAST_SHARE, LEAST_OF_A_SUM = 0.1, 0.05
EXPLAINED = 0.5
MOST, MOST_OF_A_SUM, MOST_AGAINST = 3, 6, 2

SUMS = {"total_cost": "total_cost", "booked_days": "labour_h"}
"""Figures that are added up of everything in a job, and the fact by which what adds to them is weighed."""


_KINDS = {"crossing": "handover ", "amplifier": "amplifier "}
"""What stands before the name of a subject that decides."""


@dataclass(frozen=True)
class Cause:
    """One reason, and the figure with that alone changed (none where it cannot be changed alone).

    `against` marks what alone would move the figure the other way; `aspect` is what of the design it is.
    """

    words: str
    alone: Reading | None = None
    against: bool = False
    aspect: Aspect | None = None


@dataclass(frozen=True)
class _Tried:
    words: str
    share: float | None
    alone: Reading | None
    aspect: Aspect

    def cause(self, *, against: bool = False) -> Cause:
        """Return it as a reason."""
        return Cause(self.words, self.alone, against, self.aspect)


def causes(figure: Figure, here: Review, there: Review, first: Reading, second: Reading) -> list[Cause]:
    """Return why a figure is `second` there instead of `first` here, what moves it most first."""
    decided: dict[str, None] = {}
    aspects: dict[Aspect, set[str]] = {}
    if figure.fact in SUMS:
        aspects = {aspect: set() for aspect in whole_aspects(here.system, there.system)}
    else:
        if bare(first.key[1]) != bare(second.key[1]):
            decided[_decided(first, second)] = None
        for aspect in _aspects(here, there, first, second, decided):
            aspects.setdefault(aspect, set()).add(aspect.field)
    told = {aspect: in_words(aspect, here.system, there.system, frozenset(read)) for aspect, read in aspects.items()}
    pair = (first, second)
    trials = ((aspect, _tried(figure, here, there, aspect, words, pair)) for aspect, words in told.items() if words)
    tried = {aspect: one for aspect, one in trials if one}
    limits = (MOST_OF_A_SUM, LEAST_OF_A_SUM) if figure.fact in SUMS else (MOST, LEAST_SHARE)
    moving = _moving(list(tried.values()), *limits) or _together(tried, pair)
    return [*(Cause(words) for words in decided), *moving]


def _moving(tried: list[_Tried], most: int, least: float) -> list[Cause]:
    """Order by what moves the figure most; what could not be tried counts where the rest does not explain it."""
    shares = {one.words: (one.share, one) for one in tried if one.share is not None and abs(one.share) >= least}
    known = sorted(shares.values(), key=lambda pair: -abs(pair[0]))
    towards = [one for share, one in known if share > 0]
    kept = [one.cause() for one in towards]
    if sum(share for share, _ in known if share > 0) < EXPLAINED:
        kept += [one.cause() for one in tried if one.share is None and one.words not in shares]
    if not kept:
        return []
    against = [one.cause(against=True) for share, one in known if share < 0]
    return list({cause.words: cause for cause in kept[:most]}.values()) + against[:MOST_AGAINST]


def _together(tried: dict[Aspect, _Tried], pair: tuple[Reading, Reading]) -> list[Cause]:
    """Return what differs where nothing moves the figure alone: of what decides it, if that is known."""
    names = {name for reading in pair for name in _deciders(reading)}
    near = [one for aspect, one in tried.items() if aspect.name in names]
    unique = {one.words: one for one in near or tried.values()}
    return [Cause(one.words, aspect=one.aspect) for one in list(unique.values())[:MOST]]


def _deciders(reading: Reading) -> Iterator[str]:
    """Yield the names of the subjects from which a value was taken as it is."""
    yield from bare(reading.key[1]).split("/")
    for below in reading.inputs:
        if below.kind == "fact" and equal(below, reading):
            yield from _deciders(below)


def _tried(
    figure: Figure, here: Review, there: Review, aspect: Aspect, words: str, pair: tuple[Reading, Reading]
) -> _Tried | None:
    first, second = pair
    unit = first.unit
    if figure.fact in SUMS:
        figure = Figure(figure.name, figure.kind, SUMS[figure.fact], figure.more)
        first, second = worst(here.engine, figure), worst(there.engine, figure)
    whole = float(second.value) - float(first.value)
    if not whole:
        return None
    share: float | None
    alone = _asked(figure, with_aspect_of(here.system, there.system, aspect))
    if alone is not None:
        share = (float(alone.value) - float(first.value)) / whole
        return _Tried(words, share, alone if alone.unit == unit else None, aspect)
    back = _asked(figure, with_aspect_of(there.system, here.system, aspect))
    share = None if back is None else (float(second.value) - float(back.value)) / whole
    return _Tried(words, share, None, aspect)


def _asked(figure: Figure, system: System | None) -> Reading | None:
    """Return a figure of an option that nobody wrote; none where it cannot be built or told."""
    if system is None:
        return None
    try:
        return worst(Engine(build_chain(system)), figure)
    except (AdvisorError, Missing, NotDefined, BrokenFact, KeyError):
        return None


def _aspects(
    here: Review, there: Review, first: Reading, second: Reading, decided: dict[str, None]
) -> Iterator[Aspect]:
    waiting, seen = [(first, second)], set()
    while waiting:
        pair = waiting.pop()
        if (pair[0].key, pair[1].key) in seen:
            continue
        seen.add((pair[0].key, pair[1].key))
        if bare(pair[0].key[1]) != bare(pair[1].key[1]):
            waiting += _same_subjects(*pair, here, there)
            continue
        for item in differing(*pair):
            if isinstance(item, Decided):
                decided[_decided(item.here, item.there)] = None
                waiting += _same_subjects(item.here, item.there, here, there)
                yield from _ways_missing(item, here, there)
                continue
            sides = (here.chain, item.here, item.above[0]), (there.chain, item.there, item.above[1])
            for chain, leaf, above in sides:
                aspect = aspect_of(chain, leaf, above) if leaf else None
                if aspect is not None:
                    yield aspect


def _decided(first: Reading, second: Reading) -> str:
    return f"what decides it is {_called(second)}, no longer {_called(first)}"


def _called(reading: Reading) -> str:
    kind, name = reading.key[0], bare(reading.key[1])
    return f"the {_KINDS.get(kind, '')}{name}"


def _same_subjects(first: Reading, second: Reading, here: Review, there: Review) -> Iterator[tuple[Reading, Reading]]:
    """Yield the fact that decides in one option beside the same of the other, where it has one."""
    for reading, other, turned in ((first, there, False), (second, here, True)):
        for subject in other.chain.of_kind(reading.key[0]):
            if bare(subject.name) == bare(reading.key[1]):
                try:
                    mate = other.engine.ask(subject, reading.key[2])
                except (Missing, NotDefined, BrokenFact):
                    break
                yield (mate, reading) if turned else (reading, mate)
                break


def _ways_missing(item: Decided, here: Review, there: Review) -> Iterator[Aspect]:
    """Yield the ways and devices of what decides that the other option does not have."""
    for reading, own, other in ((item.here, here, there), (item.there, there, here)):
        for name in bare(reading.key[1]).split("/"):
            if name in own.system.ways and name not in other.system.ways:
                yield Aspect("way", name, "there")
            if name in own.system.devices and name not in other.system.devices:
                yield Aspect("device", name, "there")
