"""What charts share: frequency across, a value upwards, curves told apart by their dashes, limits and a legend."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.formats import hz
from advisor.telling.pictures.canvas import ACCENT, INK, SOFT, Point, area, corners, fitted, line, width_of, write

LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
HZ = np.geomspace(LOWEST_HZ, HIGHEST_HZ, 361)
TICKS = {20: "20", 50: "50", 100: "100", 200: "200", 500: "500", 1000: "1k", 2000: "2k", 5000: "5k", 10_000: "10k",
         20_000: "20k"}  # fmt: skip

WIDTH, LEFT, RIGHT, TOP, BOTTOM = 480.0, 36.0, 466.0, 24.0, 206.0
SMALL, LANE, SAMPLE, MOST_NAME = 8.0, 13.0, 28.0, 210.0
GRID, PALE = "#e6e6e6", "#8c8c8c"

Stroke = tuple[float, Any, str]
STROKES: tuple[Stroke, ...] = (
    (1.4, "-", INK), (1.4, (0, (6, 2)), INK), (1.4, (0, (1.5, 1.5)), INK), (1.4, (0, (7, 2, 1.5, 2)), INK),
    (2.4, "-", PALE), (2.4, (0, (4, 2)), PALE), (2.4, (0, (1.5, 1)), PALE),
)  # fmt: skip
"""Width, dashes and grey of each curve in turn; all differ on a copier."""

LIMITS: tuple[Stroke, ...] = ((1.6, (0, (9, 3)), ACCENT), (1.6, (0, (3, 2)), ACCENT), (1.6, (0, (9, 2, 2, 2)), ACCENT))
"""Strokes of lines across, told apart where there are several."""

HATCH = "\\\\\\"


@dataclass(frozen=True)
class Curve:
    """One line: its values at some frequencies, told in the legend unless the name is empty."""

    name: str
    values: Any
    stroke: Stroke
    hz: Any = field(default_factory=lambda: HZ)


@dataclass(frozen=True)
class Shade:
    """An area that is hatched between some values and a level above them."""

    hz: Any
    values: Any
    level: float


@dataclass(frozen=True)
class Chart:
    """Axes and what stands in them. `ticks` are the marks upwards with their texts; `limits` are lines across.

    `shades` are hatched under the curves and told in the legend as `shaded`.
    """

    heading: str
    ticks: dict[float, str]
    bottom: float
    top: float
    curves: list[Curve]
    limits: list[tuple[float, str]] = field(default_factory=list)
    is_log: bool = False
    shades: list[Shade] = field(default_factory=list)
    shaded: str = ""

    @property
    def height(self) -> float:
        """Height of its sheet [pt]."""
        return BOTTOM + 34 + self._entries()[1] * LANE

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        for tick, text in TICKS.items():
            line(axes, [(_x(tick), TOP), (_x(tick), BOTTOM)], width=0.8, colour=GRID)
            write(axes, (_x(tick), BOTTOM + 8), text, SMALL, align="center")
        for value, text in self.ticks.items():
            colour = PALE if value == 0 > self.bottom else GRID
            line(axes, [(LEFT, self._y(value)), (RIGHT, self._y(value))], width=0.8, colour=colour)
            write(axes, (LEFT - 5, self._y(value)), text, SMALL, align="right")
        line(axes, [(LEFT, BOTTOM), (RIGHT, BOTTOM)], width=1.0)
        write(axes, (LEFT, TOP - 12), self.heading, SMALL, colour=SOFT)
        write(axes, (WIDTH / 2, BOTTOM + 20), "frequency [Hz]", SMALL, align="center")
        for shade in self.shades:
            area(axes, self._outline(shade), edge=ACCENT, hatch=HATCH, width=0.8)
        for (limit, _), across in zip(self.limits, itertools.cycle(LIMITS)):
            _stroke(axes, [(LEFT, self._y(limit)), (RIGHT, self._y(limit))], across)
        for curve in self.curves:
            for piece in self._pieces(curve):
                _stroke(axes, piece, curve.stroke)
        for x, row, text, stroke in self._entries()[0]:
            y = BOTTOM + 35 + row * LANE
            if stroke is None:
                area(axes, corners(x, y - 5, x + SAMPLE, y + 5), edge=ACCENT, hatch=HATCH, width=0.8)
            else:
                _stroke(axes, [(x, y), (x + SAMPLE, y)], stroke)
            write(axes, (x + SAMPLE + 5, y), text, SMALL, colour=SOFT)

    def _y(self, value: float) -> float:
        low, high = (math.log(self.bottom), math.log(self.top)) if self.is_log else (self.bottom, self.top)
        return BOTTOM - (BOTTOM - TOP) * ((math.log(value) if self.is_log else value) - low) / (high - low)

    def _pieces(self, curve: Curve) -> Iterator[list[Point]]:
        """Yield the stretches of a curve inside the axes, each up to where it leaves them."""
        piece: list[Point] = []
        points = [(_x(float(f)), self._y(float(v))) for f, v in zip(curve.hz, curve.values, strict=True)]
        for first, second in itertools.pairwise(points):
            kept = _inside(first, second)
            if kept and piece and piece[-1] == kept[0]:
                piece.append(kept[1])
                continue
            if piece:
                yield piece
            piece = list(kept) if kept else []
        if piece:
            yield piece

    def _outline(self, shade: Shade) -> list[Point]:
        """Return the corners of what lies between a level and the values below it, inside the axes."""
        below = [
            (_x(float(f)), self._y(max(min(shade.level, float(v)), self.bottom)))
            for f, v in zip(shade.hz, shade.values, strict=True)
        ]
        return [(below[0][0], self._y(shade.level)), *below, (below[-1][0], self._y(shade.level))]

    def _entries(self) -> tuple[list[tuple[float, int, str, Stroke | None]], int]:
        """Return where each entry of the legend stands, and how many lines they take; no stroke for a hatch."""
        named: list[tuple[str, Stroke | None]] = [(curve.name, curve.stroke) for curve in self.curves if curve.name]
        named += [(text, stroke) for (_, text), stroke in zip(self.limits, itertools.cycle(LIMITS))]
        named += [(self.shaded, None)] if self.shades else []
        x, row, placed = LEFT, 0, []
        for name, stroke in named:
            text = fitted(name, SMALL, MOST_NAME)
            wide = SAMPLE + 5 + width_of(text, SMALL)
            if x > LEFT and x + wide > RIGHT:
                x, row = LEFT, row + 1
            placed.append((x, row, text, stroke))
            x += wide + 14
        return placed, row + 1


def _x(frequency: float) -> float:
    return LEFT + (RIGHT - LEFT) * math.log(frequency / LOWEST_HZ) / math.log(HIGHEST_HZ / LOWEST_HZ)


def _inside(first: Point, second: Point) -> tuple[Point, Point] | None:
    """Return the part of a stretch that lies between top and bottom of the axes."""
    (x1, y1), (x2, y2) = first, second
    if max(y1, y2) < TOP or min(y1, y2) > BOTTOM:
        return None

    def kept(point: Point) -> Point:
        y = min(max(point[1], TOP), BOTTOM)
        return point if y == point[1] else (x1 + (x2 - x1) * (y - y1) / (y2 - y1), y)

    return kept(first), kept(second)


def _stroke(axes: Axes, points: list[Point], stroke: Stroke) -> None:
    width, style, colour = stroke
    line(axes, points, width=width, style=style, colour=colour)


def strokes_of(engine: Engine) -> dict[str, Stroke]:
    """Return the stroke of each way, the same in every chart."""
    return {way.name: STROKES[index % len(STROKES)] for index, way in enumerate(engine.chain.of_kind("way"))}


def ways_of(engine: Engine) -> Iterator[tuple[str, Subject]]:
    """Yield each way with its driver, the left one where there are two."""
    for way in engine.chain.of_kind("way"):
        drivers = way.ties["drivers"]
        yield way.name, drivers[0] if isinstance(drivers, tuple) else drivers


def way_name(driver: Subject) -> str:
    """Return the name of a driver's way: its own without the side."""
    side = driver.own["side"]
    return driver.name.removesuffix(f" {side}") if side else driver.name


def value_of(engine: Engine, subject: Subject, name: str) -> Any:
    """Return the value of a fact, None where it is not known or does not apply."""
    try:
        return engine.ask(subject, name).value
    except (Missing, NotDefined, BrokenFact):  # the report tells why; a chart leaves out what is not known
        return None


def band_of(engine: Engine, driver: Subject) -> tuple[float, float]:
    """Return the band a driver is asked to play, within the axis; an open edge is where it gives up."""
    low = value_of(engine, driver, "low_edge_hz") or value_of(engine, driver, "plays_down_to_hz") or LOWEST_HZ
    high = value_of(engine, driver, "high_edge_hz") or value_of(engine, driver, "plays_up_to_hz") or HIGHEST_HZ
    return max(low, LOWEST_HZ), min(high, HIGHEST_HZ)


def frequencies(low: float, high: float) -> Any:
    """Return frequencies from one to the other, both ends included, what lies off the axis left out."""
    return np.geomspace(max(low, LOWEST_HZ), min(high, HIGHEST_HZ), 181)


def about(frequency: float) -> str:
    """Write a frequency that was read off a curve.

    >>> about(2719.4)
    '2700 Hz'
    """
    return hz(float(f"{frequency:.2g}"))


def decibels(ratio: Any) -> Any:
    """Return a ratio of amplitudes as a level; what is nothing at all lies far below any chart."""
    return 20 * np.log10(np.maximum(np.abs(ratio), 1e-9))
