"""The level at the seat as a chart: each way behind its filters, their sum, and where the sum falls."""

from __future__ import annotations

import numpy as np

from advisor.facts.engine import Engine
from advisor.judging.formats import db, hz, listed
from advisor.telling.pictures.canvas import Picture, clean, draw
from advisor.telling.pictures.charts import WIDTH, Chart, Curve, Shade, strokes_of
from advisor.telling.pictures.level_curves import HZ, Curves, Dip, curves_of

TICKS = {float(mark): f"{mark}".replace("-", "−") for mark in (6, 0, -6, -12, -18, -24)}
TOP_DB, BOTTOM_DB = 8.0, -27.0
SUM = (5.0, "-", "#cccccc")
"""A broad band behind the ways, so that both can be followed where they run together."""

SHOWN_DIP_DB = 3.0


def level(engine: Engine) -> Picture | None:
    """Return the chart of the level at the first listed seat; none where no way's response is known."""
    found = curves_of(engine)
    if not found.ways:
        return None
    strokes = strokes_of(engine)
    curves = [Curve("sum", found.total_db, SUM, HZ)]
    curves += [Curve(way.name, way.level_db, strokes[way.name], HZ) for way in found.ways]
    shades = [shade for dip in _shown(found) if (shade := _shade(found, dip))]
    heading = "level at the seat against the passband [dB]"
    chart = Chart(heading, TICKS, BOTTOM_DB, TOP_DB, curves, shades=shades, shaded="dip at a handover")
    alt = _in_words(found)
    return Picture("level", draw("level", (WIDTH, chart.height), alt, chart.paint), alt, _caption(found))


def _shown(curves: Curves) -> list[Dip]:
    return [dip for dip in curves.dips if dip.depth_db >= SHOWN_DIP_DB]


def _shade(curves: Curves, dip: Dip) -> Shade | None:
    """Return what the sum lacks within half an octave of a handover."""
    near = np.abs(np.log2(HZ / dip.at_hz)) <= 0.5
    return Shade(HZ[near], curves.total_db[near], 0.0) if near.any() and np.min(curves.total_db[near]) < 0 else None


def _told(curves: Curves) -> list[str]:
    told = [f"{dip.between} together fall {db(dip.depth_db)} round {hz(dip.at_hz)}" for dip in _shown(curves)]
    told = told or ["no dip to speak of at a handover"]
    return told + ([f"not known of {listed(curves.unknown)}"] if curves.unknown else [])


def _in_words(curves: Curves) -> str:
    ways = listed([way.name for way in curves.ways])
    return clean(f"Level at the seat of {ways}, and of them together: {'; '.join(_told(curves))}.")


def _caption(curves: Curves) -> str:
    said = "Level of one side at the first listed seat, each way and (broad) their sum, before the cabin lifts the bass"
    rest = "Ways nobody trimmed are taken as set alike; the cabin's own modes are not in it."
    return clean(f"{said}: {listed(_told(curves))}. {rest}")
