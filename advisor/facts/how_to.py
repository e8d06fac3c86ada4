"""What would have to change for a fact to have another value: each given number below it solved for alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.given import given_key
from advisor.facts.numbers import numbers_in, with_number
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.reading.parts import Box, Part
from advisor.reading.spec import Spec, Steps

GROUPS = ("job", "part", "survey", "shop")
"""Whose a value is, from what is soonest changed to what is only measured or agreed."""

POINTS = 8
"""How many values are tried on each side before a value is said not to reach it."""

_AMOUNTS = {"dB": 12.0, "°C": 40.0, "°": 60.0, "V": 4.0}
_FACTORS = {"": 3.0, "Hz": 4.0, "mm": 3.0, "m": 4.0}
_FACTOR = 5.0
"""How far a number is turned: by an amount where zero stands for nothing, else by a factor either way."""


@dataclass(frozen=True)
class Way:
    """One number of the files: what it is and what it would have to be, None where it cannot reach the value asked for.

    `group` says whose it is, `kind` which kind of part holds it.
    """

    reading: Reading
    path: Steps
    now: float
    wanted: float | None
    group: str
    kind: str
    reaches: tuple[float, float]
    """The least and the most that the fact came to."""


def ways_to(engine: Engine, reading: Reading, value: float) -> list[Way]:
    """Return every given number under a fact that has a say in it, those that can bring it to a value first."""
    subject = next(one for one in engine.chain.subjects if one.key == reading.key[:2])
    specs, found = _specs(engine.chain), []
    for leaf in reading.walk():
        if leaf.kind != "given" or isinstance(leaf.value, str):
            continue
        group, kind = _whose(specs.get(leaf.key[:2]))
        for path, now in numbers_in(leaf.value):
            if isinstance(now, int) or now == 0:
                continue  # counts, gauges and what is nothing are no matter of a little more
            worth = partial(_worth, engine, subject, reading.key[2], leaf, path)
            wanted, reaches = _solved(worth, now, float(reading.value), value, leaf.unit)
            if reaches[0] < reaches[1]:
                found.append(Way(leaf, path, now, wanted, group, kind, reaches))
    return sorted(found, key=lambda way: (way.wanted is None, GROUPS.index(way.group), _change(way)))


def _change(way: Way) -> float:
    return abs(math.log(way.wanted / way.now)) if way.wanted and way.wanted / way.now > 0 else math.inf


def _worth(engine: Engine, subject: Subject, name: str, leaf: Reading, path: Steps, number: float) -> float | None:
    try:
        value = engine.what_if({leaf.key: with_number(leaf.value, path, number)}).ask(subject, name).value
    except (Missing, NotDefined, BrokenFact):
        return None
    return float(value) if isinstance(value, int | float) else None


def _solved(
    worth: Callable[[float], float | None], now: float, here: float, value: float, unit: str
) -> tuple[float | None, tuple[float, float]]:
    """Return the nearest number that gives the value, if there is one, and between what the fact moved."""
    seen, brackets = [here], []
    for points in _both_ways(now, unit):
        last, last_worth = now, here
        for point in points:
            result = worth(point)
            if result is None:
                break  # past the end of what it may be
            seen.append(result)
            if (last_worth - value) * (result - value) <= 0 and last_worth != result:
                brackets.append((last, last_worth, point, result))
                break
            last, last_worth = point, result
    wanted = [root for bracket in brackets if (root := _root(worth, *bracket, value)) is not None]
    return min(wanted, key=lambda number: abs(number - now), default=None), (min(seen), max(seen))


def _both_ways(now: float, unit: str) -> Iterator[list[float]]:
    steps = [(index / POINTS) ** 1.5 for index in range(1, POINTS + 1)]
    if unit in _AMOUNTS:
        most = _AMOUNTS[unit]
        yield from ([now + sign * most * step for step in steps] for sign in (1, -1))
        return
    most = math.log(_FACTORS.get(unit, _FACTOR))
    yield from ([now * math.exp(sign * most * step) for step in steps] for sign in (1, -1))


def _root(
    worth: Callable[[float], float | None], low: float, low_worth: float, high: float, high_worth: float, value: float
) -> float | None:
    """Halve a bracket until it is as narrow as anybody could set it; None where the fact jumps past the value."""
    for _ in range(40):
        middle = (low + high) / 2
        result = worth(middle)
        if result is None:
            return None
        if (low_worth - value) * (result - value) <= 0:
            high, high_worth = middle, result
        else:
            low, low_worth = middle, result
        if abs(high - low) <= 1e-5 * abs(high):
            break
    near = high if abs(high_worth - value) < abs(low_worth - value) else low
    left = min(abs(high_worth - value), abs(low_worth - value))
    return near if left <= 1e-3 * max(abs(value), abs(high_worth)) else None


def _specs(chain: Chain) -> dict[tuple[str, ...], Spec]:
    found: dict[tuple[str, ...], Spec] = {}
    for subject in chain.subjects:
        waiting = [(spec, spec) for spec in subject.specs.values()]
        for record, spec in subject.specs.items():
            found.setdefault(given_key(spec, subject, record, "")[:2], spec)
        while waiting:
            spec, holder = waiting.pop()
            if spec.origin is not None:
                found.setdefault(("given", spec.origin.identity), holder)
            for value in vars(spec).values():
                items = value.values() if isinstance(value, dict) else value if isinstance(value, tuple) else (value,)
                waiting += [(item, holder if isinstance(holder, Part) else item) for item in items if _is_spec(item)]
    return found


def _is_spec(value: object) -> bool:
    return isinstance(value, Spec)


def _whose(spec: Spec | None) -> tuple[str, str]:
    """Tell whose a value is, and of which kind the part is that holds it."""
    if isinstance(spec, Part) and not isinstance(spec, Box):
        return "part", type(spec).__name__.lower()
    module = type(spec).__module__.rpartition(".")[2]
    return {"vehicle": "survey", "shop": "shop"}.get(module, "job"), ""
