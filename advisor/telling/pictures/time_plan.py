"""The time plan as a picture: stages of the work one after the other, and the working days they fall in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from matplotlib.axes import Axes

from advisor.facts.engine import Engine
from advisor.facts.reading import Reading
from advisor.facts.work import STAGE_FACTS, STAGES
from advisor.telling.pictures.asking import asked, said, starred
from advisor.telling.pictures.canvas import FILL, INK, SOFT, Picture, area, corners, draw, line, width_of, write

WIDTH, SIDE, LABELS, ROW, HALF, SIZE = 480.0, 14.0, 92.0, 21.0, 7.0, 8.0
TOP, FOOT = 24.0, 8.0


@dataclass(frozen=True)
class Bar:
    """One stage: what it is called, its hours, and when it begins [h]."""

    title: str
    hours: Reading
    begins: float


def time_plan(engine: Engine) -> Picture | None:
    """Return the picture of the work by stage; None where its hours are not known."""
    job = engine.chain.of_kind("job")[0]
    all_hours, days = asked(engine, job, "labour_h"), asked(engine, job, "labour_days")
    if all_hours is None or days is None or not all_hours.value:
        return None
    bars, begins = [], 0.0
    for title, fact in zip(STAGES.values(), STAGE_FACTS, strict=True):
        hours = asked(engine, job, fact)
        if hours is not None:
            bars.append(Bar(title, hours, begins))
            begins += float(hours.value)
    day_h = float(all_hours.value) / float(days.value)
    waiting = asked(engine, job, "waiting_days")
    told = "; ".join(f"{bar.title} {said(bar.hours)}" for bar in bars)
    before = f" The last of the parts comes after {said(waiting)}." if waiting is not None else ""
    alt = (
        f"The work one after the other, by one pair of hands: {told}. Together {said(all_hours)}, {said(days)}.{before}"
    )
    svg = draw("time", (WIDTH, TOP + len(bars) * ROW + FOOT), alt, _Sheet(bars, begins, day_h).paint)
    caption = f"Stages of the work in hours, by one pair of hands; a line marks the end of each working day.{before}"
    readings: list[Reading | None] = [bar.hours for bar in bars]
    return Picture("time", svg, alt, caption + starred([*readings, waiting]))


class _Sheet:
    """The plan: a row for each stage, a line for each day."""

    def __init__(self, bars: list[Bar], total: float, day_h: float) -> None:
        self.bars, self.total, self.day_h = bars, total, day_h
        self.left = SIDE + LABELS
        widest = max(width_of(said(bar.hours), SIZE) for bar in bars)
        self.scale = (WIDTH - SIDE - self.left - widest - 6) / total
        self.bottom = TOP + len(bars) * ROW

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        self._days(axes)
        for index, bar in enumerate(self.bars):
            y = TOP + (index + 0.5) * ROW
            left = self.left + bar.begins * self.scale
            right = left + float(bar.hours.value) * self.scale
            write(axes, (self.left - 8, y), bar.title, SIZE, align="right")
            area(axes, corners(left, y - HALF, right, y + HALF), fill=FILL, edge=INK, width=0.9)
            write(axes, (right + 4, y), said(bar.hours), SIZE, backed=True)
        line(axes, [(self.left, TOP - 4), (self.left, self.bottom)], width=1.0)

    def _days(self, axes: Axes) -> None:
        days = math.ceil(round(self.total / self.day_h, 6))
        step = max(1, math.ceil(days / 14))
        for day in range(1, days + 1):
            end = self.left + min(day * self.day_h, self.total) * self.scale
            if day * self.day_h <= self.total * (1 + 1e-9):
                line(axes, [(end, TOP - 4), (end, self.bottom)], width=0.6, style=":", colour=SOFT)
            if (day - 1) % step == 0:
                middle = self.left + min((day - 0.5) * self.day_h, self.total) * self.scale
                write(
                    axes, (middle, TOP - 12), f"day {day}" if day == 1 else str(day), SIZE, colour=SOFT, align="center"
                )
