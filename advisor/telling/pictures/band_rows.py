"""What the picture of bands has to show: a row for each way, and the holes between neighbours."""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.formats import hz, listed
from advisor.telling.pictures.chain_plan import title_of

LEAST_HOLE_OCTAVES = 0.05
"""A narrower gap can be neither seen in the picture nor heard."""


@dataclass(frozen=True)
class Row:
    """One way: the band it is asked to play, and the one it can.

    `asked` is None where the job does not say, and an edge of it None where it is open. An edge of `covers` is None
    where it is not known.
    """

    name: str
    title: str
    asked: tuple[float | None, float | None] | None
    covers: tuple[float | None, float | None]
    rough: tuple[bool, bool] = (False, False)
    """Whether an edge of what it covers rests on a rule of thumb."""

    @property
    def order(self) -> tuple[float, float]:
        """The lowest band first, those of which nothing is known last."""
        low, high = self.asked or (None, None)
        if low is None:  # an open edge reaches as low as the driver does
            low = self.covers[0] if self.covers[0] is not None else math.inf if self.asked is None else 0.0
        if high is None:
            high = self.covers[1] if self.covers[1] is not None else math.inf
        return low, high

    @property
    def asked_words(self) -> str:
        """What it is asked to play, in words."""
        if self.asked is None:
            return "not said"
        low, high = self.asked
        if low is not None and high is not None:
            return span(low, high)
        return f"from {hz(low)}" if low is not None else f"up to {hz(high)}" if high is not None else "all there is"

    @property
    def covers_words(self) -> str:
        """What it covers, in words."""
        low, high = self.covers
        if low is not None and high is not None:
            return span(low, high)
        if low is None and high is None:
            return "not known"
        return f"from {hz(low)}, top not known" if low is not None else f"up to {hz(high or 0.0)}, bottom not known"


@dataclass(frozen=True)
class Hole:
    """A stretch that neither of two neighbours covers."""

    low: float
    high: float
    between: str

    @property
    def words(self) -> str:
        """What it is called."""
        return f"hole {span(self.low, self.high)}"


def span(low: float, high: float) -> str:
    """Write a band.

    >>> span(75.0, 2800.0), span(3200.0, 20000.0)
    ('75–2800 Hz', '3200 Hz–20 kHz')
    """
    same_unit = hz(low).split()[-1] == hz(high).split()[-1]
    return f"{hz(low).split()[0] if same_unit else hz(low)}–{hz(high)}"


def rows_of(engine: Engine) -> list[Row]:
    """Return the ways of a job, the lowest band first."""
    return sorted((_row(engine, way) for way in engine.chain.of_kind("way")), key=lambda row: row.order)


def _row(engine: Engine, way: Subject) -> Row:
    drivers = way.ties["drivers"]
    driver = drivers[0] if isinstance(drivers, tuple) else drivers  # the other side is asked and plays the same
    title = title_of(engine.chain.system.ways[way.name].part)
    down, up = (_reading(engine, driver, name) for name in ("plays_down_to_hz", "plays_up_to_hz"))
    return Row(way.name, title, _asked(engine, driver), (_value(down), _value(up)), (_is_rough(down), _is_rough(up)))


def _asked(engine: Engine, driver: Subject) -> tuple[float | None, float | None] | None:
    edges: list[float | None] = []
    for name in ("low_edge_hz", "high_edge_hz"):
        try:
            edges.append(float(engine.ask(driver, name).value))
        except NotDefined:
            edges.append(None)
        except (Missing, BrokenFact):
            return None
    return edges[0], edges[1]


def _reading(engine: Engine, subject: Subject, name: str) -> Reading | None:
    try:
        return engine.ask(subject, name)
    except (Missing, NotDefined, BrokenFact):  # the report tells why; the picture says that it is not known
        return None


def _value(reading: Reading | None) -> float | None:
    return float(reading.value) if reading else None


def _is_rough(reading: Reading | None) -> bool:
    return reading is not None and reading.basis == "rule of thumb"


def holes_of(engine: Engine) -> tuple[list[Hole], list[str]]:
    """Return the holes of a job, and of which neighbours it is not known whether there is one between them."""
    holes: set[Hole] = set()  # left and right have the same
    unknown: dict[str, None] = {}
    for crossing in engine.chain.of_kind("crossing"):
        names = ("hole_octaves", "lower_covers_to_hz", "upper_covers_from_hz")
        width, low, high = (_value(_reading(engine, crossing, name)) for name in names)
        between = listed([_way_of(engine, crossing.ties[end]) for end in ("lower", "upper")])
        if width is None or low is None or high is None:
            unknown[between] = None
        elif width > LEAST_HOLE_OCTAVES:
            holes.add(Hole(low, high, between))
    return sorted(holes, key=lambda hole: hole.low), list(unknown)


def _way_of(engine: Engine, driver: Subject | tuple[Subject, ...]) -> str:
    assert isinstance(driver, Subject)
    return next(name for name, way in engine.chain.system.ways.items() if way.spec is driver.specs["way"])
