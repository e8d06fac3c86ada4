"""What passive networks pass on as a chart: each driver's voltage by frequency, against the filter asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from advisor.facts.engine import Engine
from advisor.judging.formats import db
from advisor.telling.pictures.canvas import Picture, clean, draw
from advisor.telling.pictures.charts import HZ, WIDTH, Chart, Curve, about, decibels, strokes_of, value_of, ways_of

TICKS = {float(mark): f"{mark}".replace("-", "−") for mark in (6, 0, -6, -12, -18, -24, -30)}
BOTTOM, TOP = -33.0, 9.0
ASKED = (3.2, "-", "#c4c4c4")
HEARD_DB = 12.0
"""What lies further down than this against its passband is covered by the neighbour."""


@dataclass(frozen=True)
class _Output:
    """One output of a network: what it passes on and what it should, both behind its pad [dB]."""

    way: str
    passed: Any
    target: Any
    pad_db: float

    @property
    def strays(self) -> str:
        """Where it is farthest from its target while it can be heard, in words."""
        apart = np.where(self.target + self.pad_db > -HEARD_DB, self.passed - self.target, 0.0)
        at = int(np.argmax(np.abs(apart)))
        side = "above" if apart[at] > 0 else "below"
        said = (
            f"{self.way} is farthest from its filter at {about(float(HZ[at]))}, {db(abs(float(apart[at])))} {side} it"
        )
        return f"{said}, and a pad takes {db(self.pad_db)} off it" if self.pad_db else said


def network_response(engine: Engine) -> Picture | None:
    """Return the chart of what networks pass on; none where there is none or its parts are not known."""
    outputs = []
    for way, driver in ways_of(engine):
        passed, target = (value_of(engine, driver, name) for name in ("network_passes", "network_target"))
        if passed is not None and target is not None:
            pad = float(value_of(engine, driver, "pad_db") or 0.0)
            outputs.append(_Output(way, decibels(passed(HZ)), decibels(target(HZ)) - pad, pad))
    if not outputs:
        return None
    strokes = strokes_of(engine)
    curves = [Curve("" if n else "filter asked for", one.target, ASKED) for n, one in enumerate(outputs)]
    curves += [Curve(one.way, one.passed, strokes[one.way]) for one in outputs]
    chart = Chart("voltage at the driver against that before the network [dB]", TICKS, BOTTOM, TOP, curves)
    told = "; ".join(one.strays for one in outputs)
    alt = clean(f"What the passive networks pass on by frequency: {told}.")
    caption = "What the network passes on to each driver, with parts as sold and the driver's real impedance"
    svg = draw("network", (WIDTH, chart.height), alt, chart.paint)
    return Picture("network", svg, alt, clean(f"{caption}: {told}."))
