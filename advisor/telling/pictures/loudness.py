"""Loudness as a chart: how loud each way can get by frequency, until travel or heat ends it, against what is wanted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.judging.formats import db, plain
from advisor.telling.pictures.canvas import Picture, clean, draw
from advisor.telling.pictures.charts import (
    WIDTH,
    Chart,
    Curve,
    about,
    band_of,
    decibels,
    frequencies,
    strokes_of,
    value_of,
    ways_of,
)

REFERENCE_PA = 20e-6
LEAST_DB, MOST_DB = 70.0, 130.0


@dataclass(frozen=True)
class _Reach:
    """What a way can reach within its band [dB], and whether travel is what ends it there."""

    way: str
    hz: Any
    level: Any
    by_travel: Any

    @property
    def weakest(self) -> tuple[float, float, str]:
        """Where it gives up first: level, frequency, and what ends it."""
        at = int(np.argmin(self.level))
        return float(self.level[at]), float(self.hz[at]), "travel" if self.by_travel[at] else "heat"


def loudness(engine: Engine) -> Picture | None:
    """Return the chart of what each way can reach; none where it is not known how loud it shall get, or can."""
    job = engine.chain.of_kind("job")[0]
    at_seat, wanted = (value_of(engine, job, name) for name in ("wanted_db", "wanted_at_a_metre_db"))
    reaches = [reach for way, driver in ways_of(engine) if (reach := _reach(engine, way, driver))]
    if at_seat is None or wanted is None or not reaches:
        return None
    weakest = [reach.weakest for reach in reaches]
    bottom = max(LEAST_DB, 10.0 * np.floor(min([wanted, *(level for level, _, _ in weakest)]) / 10 - 0.5))
    top = min(MOST_DB, max(float(np.max(reach.level)) for reach in reaches) + 6)
    ticks = {float(mark): f"{mark}" for mark in range(int(bottom), int(max(top, wanted)) + 1, 10)}
    strokes = strokes_of(engine)
    curves = [Curve(reach.way, reach.level, strokes[reach.way], reach.hz) for reach in reaches]
    limits = [(wanted, f"for {plain(at_seat)} dB at the seat")]
    chart = Chart("level one side can reach at 1 m [dB]", ticks, bottom, max(top, wanted + 6), curves, limits)
    told = "; ".join(
        f"{reach.way} at least {db(level)}, where {cause} ends it at {about(at)}"
        for reach, (level, at, cause) in zip(reaches, weakest, strict=True)
    )
    takes = f"it takes {plain(wanted)} dB for the {plain(at_seat)} dB wanted at the seat"
    alt = clean(f"Loudness each way can reach within its band: {told}; {takes}.")
    svg = draw("loudness", (WIDTH, chart.height), alt, chart.paint)
    return Picture("loudness", svg, alt, _caption(reaches, wanted, at_seat))


def _reach(engine: Engine, way: str, driver: Subject) -> _Reach | None:
    pressure, heat = (value_of(engine, driver, name) for name in ("travel_limited_pa", "thermal_limited_db"))
    if pressure is None or heat is None or not value_of(engine, driver, "has_to_be_loud"):
        return None
    hz = frequencies(*band_of(engine, driver))
    travel = decibels(pressure(hz) / REFERENCE_PA)
    return _Reach(way, hz, np.minimum(travel, heat), travel < heat)


def _caption(reaches: list[_Reach], wanted: float, at_seat: float) -> str:
    start = (
        "What one side of each way can reach at 1 m in half space, within its band: where a line rises it is travel "
        "that ends it, where it is level it is the heat of the coil"
    )
    short = [reach for reach in reaches if reach.weakest[0] < wanted]
    said = "all get there" if not short else "; ".join(
        f"{reach.way} comes to {db(reach.weakest[0])} at {about(reach.weakest[1])}" for reach in short
    )  # fmt: skip
    takes = f"For the {plain(at_seat)} dB wanted at the seat it takes {plain(wanted)} dB here"
    rest = "the second side and near walls give back what distance takes and a little more"
    return clean(f"{start}. {takes}: {rest}. Against that, {said}.")
