"""What the picture of levels has to show: a curve for each way of one side, and their sum at the seat."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from advisor.chain.crossings import in_front
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.telling.pictures.charts import decibels, value_of, way_name

HZ = np.geomspace(20.0, 20_000.0, 481)


@dataclass(frozen=True)
class Curve:
    """One way's level by frequency, against its passband [dB]."""

    name: str
    level_db: Any


@dataclass(frozen=True)
class Dip:
    """Where the sum falls, round the handover of two ways."""

    at_hz: float
    depth_db: float
    between: str


@dataclass(frozen=True)
class Curves:
    """Ways from the lowest up, their sum, its dips, and the ways of which nothing is known."""

    ways: list[Curve]
    total_db: Any
    dips: list[Dip]
    unknown: list[str]


def curves_of(engine: Engine) -> Curves:
    """Return what one side of the front stage sends to the first listed seat, with the bass wherever it plays from.

    What only plays along from behind is left out: it is in no handover.
    """
    drivers = [driver for driver in engine.chain.of_kind("driver") if driver.own["side"] != "right"]
    met = {id(end) for crossing in _crossings(engine) for end in _ends(crossing)}
    drivers = [driver for driver in drivers if in_front(driver) or id(driver) in met]
    known = {id(driver): (driver, heard) for driver in drivers if (heard := value_of(engine, driver, "at_seat"))}
    phasors = {key: heard(HZ) for key, (_, heard) in known.items()}
    for crossing in sorted(_crossings(engine), key=lambda one: value_of(engine, one, "handover_hz") or math.inf):
        lower, upper = _ends(crossing)
        late, polarity = (value_of(engine, crossing, name) for name in ("left_over_ms", "polarity"))
        if id(lower) in phasors and id(upper) in phasors and late is not None and polarity:
            # the lower way's own turn is already in its phasor; the upper one adds to it
            turn = phasors[id(lower)] / known[id(lower)][1](HZ) * np.exp(-2j * math.pi * HZ * late / 1000)
            phasors[id(upper)] = phasors[id(upper)] * turn * (-1 if polarity == "turned" else 1)
    ways = sorted(
        (Curve(way_name(driver), decibels(phasors[key])) for key, (driver, _) in known.items()), key=_middle_of
    )
    unknown = [way_name(driver) for driver in drivers if id(driver) not in known]
    return Curves(ways, decibels(sum(phasors.values())), _dips(engine), unknown)


def _crossings(engine: Engine) -> list[Subject]:
    return [crossing for crossing in engine.chain.of_kind("crossing") if crossing.own["side"] != "right"]


def _ends(crossing: Subject) -> tuple[Subject, Subject]:
    lower, upper = crossing.ties["lower"], crossing.ties["upper"]
    assert isinstance(lower, Subject)
    assert isinstance(upper, Subject)
    return lower, upper


def _dips(engine: Engine) -> list[Dip]:
    found = []
    for crossing in _crossings(engine):
        depth, at = (value_of(engine, crossing, name) for name in ("hole_db", "handover_hz"))
        if depth is not None and at is not None:
            lower, upper = _ends(crossing)
            found.append(Dip(at, depth, f"{way_name(lower)} and {way_name(upper)}"))
    return sorted(found, key=lambda dip: dip.at_hz)


def _middle_of(curve: Curve) -> float:
    """Return the middle of what is within 6 dB of a curve's top."""
    near = np.log(HZ[curve.level_db > np.max(curve.level_db) - 6])
    return float(near.mean())
