"""Cone travel as a chart: how far each cone goes at the power it gets, as a share of what it has."""

from __future__ import annotations

import numpy as np

from advisor.facts.engine import Engine
from advisor.judging.formats import listed
from advisor.telling.pictures.canvas import Picture, clean, draw
from advisor.telling.pictures.charts import (
    WIDTH,
    Chart,
    Curve,
    about,
    band_of,
    frequencies,
    strokes_of,
    value_of,
    ways_of,
)

TICKS = {float(mark): f"{mark}" for mark in (0, 25, 50, 75, 100, 150, 200)}
LOW_TOP, HIGH_TOP = 120.0, 210.0
BELOW = 0.5
"""From where a way is drawn, as a share of its low edge: below it the cone moves farthest."""


def excursion(engine: Engine) -> Picture | None:
    """Return the chart of travel at the power each driver gets; none where no driver's motion is known."""
    found: list[Curve] = []
    strokes = strokes_of(engine)
    for way, driver in ways_of(engine):
        share = value_of(engine, driver, "travel_share")
        if share is not None:
            low, high = band_of(engine, driver)
            hz = frequencies(BELOW * low, high)
            found.append(Curve(way, 100 * share(hz), strokes[way], hz))
    if not found:
        return None
    top = LOW_TOP if max(float(np.max(curve.values)) for curve in found) < LOW_TOP else HIGH_TOP
    ticks = {mark: text for mark, text in TICKS.items() if mark <= top}
    limits = [(100.0, "all the travel it has")]
    chart = Chart("cone travel at full power, as a share of what it has [%]", ticks, 0.0, top, found, limits)
    told = "; ".join(_farthest(curve) for curve in found)
    alt = clean(f"Cone travel by frequency, at its farthest: {told}.")
    return Picture("excursion", draw("excursion", (WIDTH, chart.height), alt, chart.paint), alt, _caption(found))


def _farthest(curve: Curve) -> str:
    at = int(np.argmax(curve.values))
    return f"{curve.name} {curve.values[at]:.0f} % at {about(float(curve.hz[at]))}"


def _caption(found: list[Curve]) -> str:
    beyond = [_farthest(curve) for curve in found if np.max(curve.values) > 100]
    said = f"beyond its travel goes {listed(beyond)}" if beyond else "none goes beyond its travel"
    start = (
        "Travel on a sine at the power each driver gets, or is rated for where that is less, behind the filter at its "
        "low edge"
    )
    return clean(f"{start}: {said}. Music has that power only in its peaks.")
