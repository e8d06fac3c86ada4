"""The level at the seat as a picture: each way behind its filters, their sum, and where the sum falls."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from advisor.facts.engine import Engine
from advisor.judging.formats import db, hz, listed
from advisor.telling.pictures.canvas import (
    ACCENT,
    INK,
    SOFT,
    Picture,
    Point,
    area,
    clean,
    draw,
    fitted,
    line,
    width_of,
    write,
)
from advisor.telling.pictures.level_curves import HZ, Curves, Dip, curves_of

TICKS = {20: "20", 50: "50", 100: "100", 200: "200", 500: "500", 1000: "1k", 2000: "2k", 5000: "5k", 10_000: "10k",
         20_000: "20k"}  # fmt: skip
LEVELS = (6, 0, -6, -12, -18, -24)
TOP_DB, BOTTOM_DB = 8.0, -27.0
WIDTH, LEFT, RIGHT, TOP, BOTTOM = 480.0, 36.0, 466.0, 10.0, 196.0
SMALL, LANE, SAMPLE = 8.0, 13.0, 28.0
GRID = "#e6e6e6"
STYLES: tuple[Any, ...] = ((0, (6, 2)), (0, (1.5, 1.5)), (0, (6, 2, 1.5, 2)), (0, (10, 3)), (0, (3, 3)))
"""Dashes that tell ways apart in grey, from the lowest up."""

SHADED, SHOWN_DIP_DB = "\\\\\\", 3.0
MOST_NAME = 110.0


def level(engine: Engine) -> Picture | None:
    """Return the picture of the level at the first listed seat; none where no way's response is known."""
    curves = curves_of(engine)
    if not curves.ways:
        return None
    entries, lines = _legend(curves)
    height = BOTTOM + 34 + lines * LANE
    alt = _in_words(curves)
    svg = draw("level", (WIDTH, height), alt, lambda axes: _paint(axes, curves, entries))
    return Picture("level", svg, alt, _caption(curves))


def _x(frequency: float) -> float:
    return LEFT + (RIGHT - LEFT) * math.log(frequency / HZ[0]) / math.log(HZ[-1] / HZ[0])


def _y(level_db: float) -> float:
    """Return where a level stands; what lies off the axis stands at its end."""
    kept = min(max(level_db, BOTTOM_DB), TOP_DB)
    return TOP + (BOTTOM - TOP) * (TOP_DB - kept) / (TOP_DB - BOTTOM_DB)


def _paint(axes: Axes, curves: Curves, entries: list[tuple[float, int, str, Any]]) -> None:
    for tick, text in TICKS.items():
        line(axes, [(_x(tick), TOP), (_x(tick), BOTTOM)], width=0.8, colour=GRID)
        write(axes, (_x(tick), BOTTOM + 8), text, SMALL, align="center")
    for mark in LEVELS:
        line(axes, [(LEFT, _y(mark)), (RIGHT, _y(mark))], width=0.8, colour=SOFT if mark == 0 else GRID)
        write(axes, (LEFT - 5, _y(mark)), f"{mark}".replace("-", "−"), SMALL, align="right")
    for dip in _shown(curves):
        _paint_dip(axes, curves, dip)
    for index, curve in enumerate(curves.ways):
        _paint_curve(axes, curve.level_db, width=1.1, style=STYLES[index % len(STYLES)], colour=SOFT)
    _paint_curve(axes, curves.total_db, width=1.8, style="-", colour=INK)
    write(axes, (WIDTH / 2, BOTTOM + 20), "level [dB] against the passband, by frequency [Hz]", SMALL, align="center")
    for x, row, text, style in entries:
        y = BOTTOM + 35 + row * LANE
        if text == "dip":
            area(axes, [(x, y - 5), (x + SAMPLE, y - 5), (x + SAMPLE, y + 5), (x, y + 5)], edge=ACCENT, hatch=SHADED)
        else:
            colour, width = (INK, 1.8) if text == "sum" else (SOFT, 1.1)
            line(axes, [(x, y), (x + SAMPLE, y)], width=width, style=style, colour=colour)
        write(axes, (x + SAMPLE + 5, y), fitted(text, SMALL, MOST_NAME), SMALL, colour=SOFT)


def _paint_curve(axes: Axes, level_db: Any, *, width: float, style: Any, colour: str) -> None:
    """Draw a curve in as many pieces as it is above the bottom of the sheet."""
    piece: list[Point] = []
    for frequency, value in zip(HZ, level_db, strict=True):
        if value > BOTTOM_DB:
            piece.append((_x(float(frequency)), _y(float(value))))
        elif len(piece) > 1:
            line(axes, piece, width=width, style=style, colour=colour)
            piece = []
        else:
            piece = []
    if len(piece) > 1:
        line(axes, piece, width=width, style=style, colour=colour)


def _shown(curves: Curves) -> list[Dip]:
    return [dip for dip in curves.dips if dip.depth_db >= SHOWN_DIP_DB]


def _paint_dip(axes: Axes, curves: Curves, dip: Dip) -> None:
    """Shade what the sum lacks within half an octave of a handover."""
    near = np.abs(np.log2(HZ / dip.at_hz)) <= 0.5
    below = [(_x(float(f)), _y(min(0.0, float(v)))) for f, v in zip(HZ[near], curves.total_db[near], strict=True)]
    if below and np.min(curves.total_db[near]) < 0:
        area(axes, [(below[0][0], _y(0)), *below, (below[-1][0], _y(0))], edge=ACCENT, hatch=SHADED, width=0.8)


def _legend(curves: Curves) -> tuple[list[tuple[float, int, str, Any]], int]:
    """Return where each entry stands, and how many lines they take."""
    entries: list[tuple[str, Any]] = [(way.name, STYLES[n % len(STYLES)]) for n, way in enumerate(curves.ways)]
    entries.append(("sum", "-"))
    entries += [("dip", None)] if _shown(curves) else []
    x, row, placed = LEFT, 0, []
    for text, style in entries:
        wide = SAMPLE + 5 + width_of(fitted(text, SMALL, MOST_NAME), SMALL)
        if x > LEFT and x + wide > RIGHT:
            x, row = LEFT, row + 1
        placed.append((x, row, text, style))
        x += wide + 14
    return placed, row + 1


def _told(curves: Curves) -> list[str]:
    told = [f"{dip.between} together fall {db(dip.depth_db)} round {hz(dip.at_hz)}" for dip in _shown(curves)]
    told = told or ["no dip to speak of at a handover"]
    return told + ([f"not known of {listed(curves.unknown)}"] if curves.unknown else [])


def _in_words(curves: Curves) -> str:
    ways = listed([way.name for way in curves.ways])
    return clean(f"Level at the seat of {ways}, and of them together: {'; '.join(_told(curves))}.")


def _caption(curves: Curves) -> str:
    said = (
        "Level of one side at the first listed seat, each way (dashed) and their sum, before the cabin lifts the bass"
    )
    return clean(f"{said}: {listed(_told(curves))}. Ways are taken as set alike; the cabin's own modes are not in it.")
