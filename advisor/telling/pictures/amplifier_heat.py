"""Heat as a picture: how warm the case of each amplifier gets on a hot drive, with and without a fan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.heat import WARMING_MIN
from advisor.facts.reading import Reading
from advisor.telling.pictures.asking import asked, said, starred
from advisor.telling.pictures.canvas import (
    ACCENT,
    INK,
    PAPER,
    SOFT,
    Picture,
    Point,
    area,
    draw,
    fitted,
    line,
    width_of,
    write,
)
from advisor.telling.pictures.legend import Legend

WIDTH, SIDE, LEFT, RIGHT = 480.0, 14.0, 44.0, 100.0
HEAD, PANEL, GAP, SIZE = 26.0, 96.0, 12.0, 8.0
GRID, TOO_HOT = "#e6e6e6", "xxxxx"
PLANNED, OTHER, AIR, CUT_OUT = "-", (0, (5, 3)), (0, (1, 2)), (0, (8, 2, 1.5, 2))
DEGREES_APART, MINUTES_APART = 10, 30


@dataclass(frozen=True)
class Warming:
    """How one amplifier warms: what it settles at and when it is how warm, as planned and otherwise."""

    name: str
    has_fan: bool
    air: Reading
    cut_out: Reading | None
    minutes: Reading | None
    planned: tuple[Reading, tuple[float, ...]]
    other: tuple[Reading, tuple[float, ...]] | None

    def fan_words(self, *, planned: bool) -> str:
        """How its air moves."""
        return "with a fan" if self.has_fan == planned else "without a fan"

    @property
    def words(self) -> str:
        """What the picture says of it, as a sentence."""
        found = f"{self.name}: from {said(self.air)} it settles at {said(self.planned[0])} as planned,"
        found += f" {self.fan_words(planned=True)}"
        if self.other is not None:
            found += f", and at {said(self.other[0])} {self.fan_words(planned=False)}"
        if self.cut_out is not None:
            found += f"; it cuts out at {said(self.cut_out)}"
        if self.minutes is not None:
            found += f", reached after {said(self.minutes)}"
        return f"{found}."


def amplifier_heat(engine: Engine) -> Picture | None:
    """Return the picture of how warm amplifiers get, of those of which it is known; None if of none."""
    found = [_warming(engine, amplifier) for amplifier in engine.chain.of_kind("amplifier")]
    warmings = [warming for warming in found if warming is not None]
    if not warmings:
        return None
    alt = "Temperature of amplifiers on a hot drive. " + " ".join(warming.words for warming in warmings)
    sheet = _Sheet(warmings)
    svg = draw("heat", (WIDTH, sheet.height), alt, sheet.paint)
    caption = (
        "Cases of the amplifiers with loud music, begun in a vehicle that stood in the sun; its air stays that hot."
    )
    readings: list[Reading | None] = []
    for one in warmings:
        readings += [one.air, one.minutes, one.planned[0], one.other[0] if one.other else None]
    return Picture("heat", svg, alt, caption + starred(readings))


_CURVES = (("sink_still_c", "warming_still_c"), ("sink_with_fan_c", "warming_with_fan_c"))
"""Where an amplifier settles and how it gets there, without and with a fan."""


def _warming(engine: Engine, amplifier: Subject) -> Warming | None:
    air, blown = asked(engine, amplifier, "hottest_air_c"), asked(engine, amplifier, "is_blown")
    still, fan = (_curve(engine, amplifier, *names) for names in _CURVES)
    has_fan = blown is not None and bool(blown.value)
    planned, other = (fan, still) if has_fan else (still, fan)
    if air is None or blown is None or planned is None:
        return None
    minutes = asked(engine, amplifier, "minutes_to_protection")
    return Warming(amplifier.name, has_fan, air, _cut_out(engine, amplifier), minutes, planned, other)


def _curve(
    engine: Engine, amplifier: Subject, end_name: str, curve_name: str
) -> tuple[Reading, tuple[float, ...]] | None:
    end, curve = asked(engine, amplifier, end_name), asked(engine, amplifier, curve_name)
    return None if end is None or curve is None else (end, curve.value)


def _cut_out(engine: Engine, amplifier: Subject) -> Reading | None:
    with engine.frame() as frame:
        value = engine.view(amplifier).part.get_("cut_out_c")
    readings = [reading for reading in frame.readings.values() if reading.name.endswith("cut_out_c")]
    return readings[0] if value is not None and readings else None


class _Sheet:
    """The sheet from top to bottom: a panel for each amplifier, the axis of time, the legend."""

    def __init__(self, warmings: list[Warming]) -> None:
        self.warmings = warmings
        every = [float(w.air.value) for w in warmings]
        every += [float(w.cut_out.value) for w in warmings if w.cut_out is not None]
        every += [value for w in warmings for curve in (w.planned, w.other) if curve is not None for value in curve[1]]
        self.low = np.floor((min(every) - 2) / DEGREES_APART) * DEGREES_APART
        self.high = np.ceil((max(every) + 2) / DEGREES_APART) * DEGREES_APART
        shown = {"as planned", "air"}
        shown |= {"otherwise"} if any(w.other for w in warmings) else set()
        shown |= {"cuts out at"} if any(w.cut_out for w in warmings) else set()
        self.legend = Legend([(t, _sample(*s)) for t, s in _KINDS.items() if t in shown], SIDE, WIDTH - SIDE)
        self.bottom = len(warmings) * (HEAD + PANEL + GAP)
        self.height = self.bottom + 36 + self.legend.height

    def x(self, minute: float) -> float:
        """Return where a time stands."""
        return LEFT + (WIDTH - LEFT - RIGHT) * minute / WARMING_MIN[-1]

    def y(self, top: float, degrees: float) -> float:
        """Return where a temperature stands in the panel that begins at `top`."""
        return float(top + PANEL * (self.high - degrees) / (self.high - self.low))

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        for index, warming in enumerate(self.warmings):
            self._panel(axes, warming, index * (HEAD + PANEL + GAP) + HEAD)
        for minute in range(0, WARMING_MIN[-1] + 1, MINUTES_APART):
            write(axes, (self.x(minute), self.bottom + 1), str(minute), SIZE, align="center")
        write(axes, ((LEFT + WIDTH - RIGHT) / 2, self.bottom + 14), "minutes of driving", SIZE, align="center")
        self.legend.paint(axes, self.bottom + 31)

    def _panel(self, axes: Axes, warming: Warming, top: float) -> None:
        name = fitted(warming.name, 9, 160, bold=True)
        write(axes, (SIDE, top - 14), name, 9, bold=True)
        words = f"{warming.fan_words(planned=True)} settles at {said(warming.planned[0])}"
        if warming.minutes is not None:
            words += f", cuts out after {said(warming.minutes)}"
        too_hot = warming.minutes is not None
        at = SIDE + width_of(name, 9, bold=True) + 8
        write(axes, (at, top - 14), fitted(words, SIZE, WIDTH - SIDE - at), SIZE, colour=ACCENT if too_hot else SOFT)
        for degrees in np.arange(self.low, self.high + 1, DEGREES_APART):
            y = self.y(top, degrees)
            line(axes, [(LEFT, y), (WIDTH - RIGHT, y)], width=0.7, colour=GRID)
            if degrees % (2 * DEGREES_APART) == 0 or self.high - self.low <= 4 * DEGREES_APART:
                write(axes, (LEFT - 5, y), f"{degrees:.0f} °C", SIZE, align="right")
        line(axes, [(LEFT, top), (LEFT, top + PANEL), (WIDTH - RIGHT, top + PANEL)], width=0.9, colour=SOFT)
        wanted: list[tuple[float, str, str]] = []
        if warming.cut_out is not None:
            cut = float(warming.cut_out.value)
            self._beyond(axes, warming.planned[1], cut, top)
            self._level(axes, cut, top, CUT_OUT, ACCENT)
            wanted.append((self.y(top, cut), f"cuts out {said(warming.cut_out)}", ACCENT))
        self._level(axes, float(warming.air.value), top, AIR, SOFT)
        wanted.append((self.y(top, float(warming.air.value)), f"air {said(warming.air)}", SOFT))
        for planned, curve in ((False, warming.other), (True, warming.planned)):
            if curve is not None:
                points = [(self.x(m), self.y(top, c)) for m, c in zip(WARMING_MIN, curve[1], strict=True)]
                line(axes, points, width=2.0 if planned else 1.1, style=PLANNED if planned else OTHER)
                wanted.append((points[-1][1], warming.fan_words(planned=planned), INK))
        _labels(axes, wanted)

    def _level(self, axes: Axes, degrees: float, top: float, style: Any, colour: str) -> None:
        y = self.y(top, degrees)
        line(axes, [(LEFT, y), (WIDTH - RIGHT, y)], width=1.1, style=style, colour=colour)

    def _beyond(self, axes: Axes, curve: tuple[float, ...], cut: float, top: float) -> None:
        """Hatch what lies above the temperature it cuts out at."""
        minutes = np.linspace(0, WARMING_MIN[-1], 241)
        degrees = np.interp(minutes, WARMING_MIN, curve)
        hot = [(self.x(m), self.y(top, c)) for m, c in zip(minutes, degrees, strict=True) if c > cut]
        if hot:
            limit = self.y(top, cut)
            shape: list[Point] = [(hot[0][0], limit), *hot, (hot[-1][0], limit)]
            area(axes, shape, fill=PAPER, edge=ACCENT, hatch=TOO_HOT, width=0.6)


def _labels(axes: Axes, wanted: list[tuple[float, str, str]]) -> None:
    """Write what lines are at their right ends, apart from each other."""
    last = -np.inf
    for y, words, colour in sorted(wanted):
        last = max(y, last + SIZE + 2.5)
        write(axes, (WIDTH - RIGHT + 5, last), fitted(words, SIZE, RIGHT - 8), SIZE, colour=colour)


_KINDS: dict[str, tuple[Any, float, str]] = {
    "as planned": (PLANNED, 2.0, INK),
    "otherwise": (OTHER, 1.1, INK),
    "air": (AIR, 1.1, SOFT),
    "cuts out at": (CUT_OUT, 1.1, ACCENT),
}


def _sample(style: Any, width: float, colour: str) -> Callable[[Axes, float, float, float], None]:
    return lambda axes, left, right, y: line(axes, [(left, y), (right, y)], width=width, style=style, colour=colour)
