"""Levels as a picture: volts from what feeds an amplifier to its terminals, with clip limits and noise where known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from matplotlib.axes import Axes

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.gain import CLIPPING
from advisor.facts.reading import Missing, Reading
from advisor.judging.formats import listed, plain
from advisor.telling.pictures.asking import asked, said, starred
from advisor.telling.pictures.canvas import (
    ACCENT,
    FILL,
    INK,
    PAPER,
    SOFT,
    Picture,
    area,
    corners,
    draw,
    fitted,
    line,
    width_of,
    write,
)
from advisor.telling.pictures.legend import Legend

WIDTH, SIDE, LEFT, RIGHT = 480.0, 14.0, 130.0, 140.0
HEAD, ROW, GAP, SIZE, HALF, MARK = 19.0, 19.0, 9.0, 8.0, 4.5, 5.0
GRID, NOISE = "#e6e6e6", "////"
DECADE_DB = 20


@dataclass(frozen=True)
class Stages:
    """Channels that share all their levels: what the sender gives, what the input takes and is set to, the output."""

    channels: tuple[str, ...]
    sender: str
    source: Reading
    least: Reading | None
    clips: Reading | None
    setting: Reading
    output: Reading
    gain: Reading | None
    first: Reading | None
    order: Reading | None
    noise: Reading | None
    hiss: tuple[tuple[str, Reading], ...]

    @property
    def levels(self) -> list[Reading | None]:
        """All that is shown but what comes to the ear."""
        return [self.source, self.least, self.clips, self.setting, self.output, self.gain, self.noise]

    @property
    def readings(self) -> list[Reading | None]:
        """All that is shown."""
        return [*self.levels, *(reading for _, reading in self.hiss)]

    @property
    def summary(self) -> str:
        """Gain and what clips first."""
        parts = [f"gain {said(self.gain)}"] if self.gain else []
        parts += [f"first to clip: {self.first.value}"] if self.first else []
        return ", ".join(parts)

    @property
    def ear_words(self) -> str:
        """The hiss at the ear, of each driver of which it is known."""
        return ", ".join(f"{driver} {said(reading)}" for driver, reading in self.hiss)

    @property
    def words(self) -> str:
        """What the picture says of it, as a sentence."""
        found = f"{listed(self.channels)}: {self.sender} gives at most {said(self.source)}, "
        found += f"full output is set to {said(self.setting)} at the input"
        limits = [f"lowest setting {said(self.least)}"] if self.least else []
        limits += [f"clips at {said(self.clips)}"] if self.clips else []
        found += f" ({', '.join(limits)})" if limits else ""
        found += f", at full power {said(self.output)} at the terminals"
        found += f", noise there {_small(self.noise)}" if self.noise else ""
        found += f"; gain {said(self.gain)}" if self.gain else ""
        found += f"; turned up, {self.order.value}" if self.order else ""
        found += f"; hiss at the ear: {self.ear_words}" if self.hiss else ""
        return f"{found}."


def gain_structure(engine: Engine) -> Picture | None:
    """Return the picture of the levels from what feeds the amplifiers to their terminals; None if none is known."""
    rows = _stages(engine)
    if not rows:
        return None
    alt = "Levels from source to ear. " + " ".join(row.words for row in rows)
    sheet = _Sheet(rows)
    svg = draw("gain", (WIDTH, sheet.height), alt, sheet.paint)
    caption = "Levels of each amplifier channel in volts and in dBV, its gain set to what feeds it."
    if any(row.noise is None for row in rows):
        caption += " Noise is left out where no sheet gives it."
    return Picture("gain", svg, alt, caption + starred([reading for row in rows for reading in row.readings]))


def _stages(engine: Engine) -> list[Stages]:
    """Return the levels of the channels in use, those that are alike together."""
    alike: dict[tuple[object, ...], list[Stages]] = {}
    for channel in engine.chain.of_kind("channel"):
        stages = _of_channel(engine, channel)
        if stages is not None:
            key = (
                channel.ties["amplifier"],
                *(one and one.value for one in stages.levels),
                stages.sender,
            )
            alike.setdefault(key, []).append(stages)
    return [_together(same) for same in alike.values()]


def _together(same: list[Stages]) -> Stages:
    """Return channels that are alike as one, with what comes to the ear from each."""
    channels = tuple(name for one in same for name in one.channels)
    return replace(same[0], channels=channels, hiss=tuple(ear for one in same for ear in one.hiss))


def _of_channel(engine: Engine, channel: Subject) -> Stages | None:
    drivers = channel.ties["drivers"]
    source, least, setting, output, gain, first, order, noise = (
        asked(engine, channel, name)
        for name in (
            "source_v",
            "input_least_v",
            "sensitivity_to_set_v",
            "full_output_v",
            "gain_db",
            "first_to_clip",
            "clip_order",
            "noise_v",
        )
    )
    if not drivers or source is None or setting is None or output is None:
        return None
    assert isinstance(drivers, tuple)
    ears = ((driver.name, asked(engine, driver, "hiss_db")) for driver in drivers)
    hiss = tuple((name, reading) for name, reading in ears if reading is not None)
    sender, clips = _feeding(engine, channel)
    return Stages((channel.name,), sender, source, least, clips, setting, output, gain, first, order, noise, hiss)


def _feeding(engine: Engine, channel: Subject) -> tuple[str, Reading | None]:
    """Return who feeds a channel's amplifier and the voltage its input clips at, if given."""
    link = engine.view(channel).amplifier.links[0]
    with engine.frame() as frame:
        try:
            value = link.take.get_("max_v")
        except Missing:  # its sheet says nothing of the kind of input that is used
            value = None
    readings = [reading for reading in frame.readings.values() if reading.name.endswith("max_v")]
    return str(link.sender), readings[0] if value is not None and readings else None


def _small(reading: Reading) -> str:
    """Write a noise voltage, which is some hundred millionths of a volt."""
    return f"{plain(float(reading.value) * 1e6)} µV" + (" *" if reading.basis == "rule of thumb" else "")


def _dbv(reading: Reading) -> float:
    return 20 * math.log10(max(float(reading.value), 1e-7))


class _Sheet:
    """The sheet from top to bottom: the stages of each sort of channel, the axis, the legend."""

    def __init__(self, rows: list[Stages]) -> None:
        self.rows = rows
        volts = [r for row in rows for r in (row.source, row.least, row.clips, row.setting, row.output, row.noise) if r]
        levels = [_dbv(reading) for reading in volts]
        self.low = DECADE_DB * math.floor((min(levels) - 1) / DECADE_DB)
        self.high = DECADE_DB * math.ceil((max(levels) + 1) / DECADE_DB)
        step = DECADE_DB if self.high - self.low <= 4 * DECADE_DB else 2 * DECADE_DB
        self.ticks = range(-step * (-self.low // step), self.high + 1, step)
        shown = {"at most", "set to"}
        shown |= {"range"} if any(row.least and row.clips for row in rows) else set()
        shown |= {"clip"} if any(_overdriven(row) for row in rows) else set()
        shown |= {"noise"} if any(row.noise for row in rows) else set()
        self.legend = Legend([(t, _sample(kind)) for kind, t in _KINDS.items() if kind in shown], SIDE, WIDTH - SIDE)
        self.bottom = 4 + sum(HEAD + (3 + bool(row.hiss)) * ROW + GAP for row in rows)
        self.height = self.bottom + 38 + self.legend.height

    def x(self, level: float) -> float:
        """Return where a level in dBV stands."""
        return LEFT + (WIDTH - LEFT - RIGHT) * (level - self.low) / (self.high - self.low)

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        for tick in self.ticks:
            write(axes, (self.x(tick), self.bottom + 2), str(tick).replace("-", "−"), SIZE, align="center")
            write(axes, (self.x(tick), self.bottom + 13), plain(10 ** (tick / 20)), SIZE, align="center")
        for unit, down in (("dBV", 2.0), ("V", 13.0)):
            write(axes, (LEFT - 26, self.bottom + down), unit, SIZE, colour=SOFT, align="right")
        top = 4.0
        for row in self.rows:
            self._stages(axes, row, top)
            top += HEAD + (3 + bool(row.hiss)) * ROW + GAP
        self.legend.paint(axes, self.bottom + 32)

    def _stages(self, axes: Axes, row: Stages, top: float) -> None:
        name = fitted(", ".join(row.channels), 9, 200, bold=True)
        write(axes, (SIDE, top + HEAD / 2), name, 9, bold=True)
        at = SIDE + width_of(name, 9, bold=True) + 8
        colour = ACCENT if _clips_early(row) else SOFT
        write(axes, (at, top + HEAD / 2), fitted(row.summary, SIZE, WIDTH - SIDE - at), SIZE, colour=colour)
        top += HEAD
        for tick in self.ticks:
            line(axes, [(self.x(tick), top), (self.x(tick), top + 3 * ROW)], width=0.7, colour=GRID)
        heights = [top + (index + 0.5) * ROW for index in range(3)]
        levels = [_dbv(reading) for reading in (row.source, row.setting, row.output)]
        line(axes, [(self.x(lv), y) for lv, y in zip(levels, heights, strict=True)], width=0.9, colour=SOFT)
        labels = (f"{row.sender} gives at most", "input set to", "terminals at full power")
        for label, y in zip(labels, heights, strict=True):
            write(axes, (LEFT - 8, y), fitted(label, SIZE, LEFT - 12), SIZE, align="right")
        if row.least and row.clips:
            _mark(axes, "range", self.x(_dbv(row.least)), self.x(_dbv(row.clips)), heights[1])
        if row.clips and _overdriven(row):
            _mark(axes, "clip", self.x(_dbv(row.clips)), self.x(_dbv(row.source)), heights[0])
        if row.noise:
            _mark(axes, "noise", self.x(self.low), self.x(_dbv(row.noise)), heights[2])
        for kind, level, y in zip(("at most", "set to", "at most"), levels, heights, strict=True):
            _mark(axes, kind, self.x(level) - MARK, self.x(level) + MARK, y)
        limits = f"{said(row.setting)}{f', clips {said(row.clips)}' if row.clips else ''}"
        noise = f", noise {_small(row.noise)}" if row.noise else ""
        for words, y in zip((said(row.source), limits, said(row.output) + noise), heights, strict=True):
            write(axes, (WIDTH - RIGHT + 8, y), fitted(words, SIZE, RIGHT - 10), SIZE)
        if row.hiss:
            write(axes, (LEFT - 8, top + 3.5 * ROW), "hiss at the ear", SIZE, align="right")
            driver, most = max(row.hiss, key=lambda ear: float(ear[1].value))
            words = f"{said(most)}, {driver}" + (" the most" if len(row.hiss) > 1 else "")
            write(axes, (LEFT, top + 3.5 * ROW), fitted(words, SIZE, WIDTH - LEFT - SIDE), SIZE)


def _clips_early(row: Stages) -> bool:
    """Whether anything clips before the output does, which is what a gain is set for."""
    return row.first is not None and row.first.value != CLIPPING[-1]


def _overdriven(row: Stages) -> bool:
    """Whether it is the input that clips first."""
    return row.first is not None and row.first.value == CLIPPING[1] and row.clips is not None


_KINDS = {
    "at most": "most there is",
    "set to": "gain set for full output",
    "range": "from most sensitive setting to clipping",
    "clip": "more than the input takes",
    "noise": "noise",
}


def _mark(axes: Axes, kind: str, left: float, right: float, y: float) -> None:
    middle = (left + right) / 2
    if kind == "at most":
        area(axes, corners(middle - 2, y - HALF - 1.5, middle + 2, y + HALF + 1.5), fill=INK)
    elif kind == "set to":
        shape = [(middle - MARK, y), (middle, y - MARK), (middle + MARK, y), (middle, y + MARK)]
        area(axes, shape, fill=PAPER, edge=INK, width=1.4)
    elif kind == "clip":
        area(axes, corners(left, y - HALF, right, y + HALF), fill=PAPER, edge=ACCENT, hatch="xxxxx")
    elif kind == "noise":
        area(axes, corners(left, y - HALF, right, y + HALF), fill=PAPER, edge=SOFT, hatch=NOISE, width=0.8)
    else:
        area(axes, corners(left, y - HALF, right, y + HALF), fill=FILL, edge=SOFT, width=0.8)


def _sample(kind: str) -> Callable[[Axes, float, float, float], None]:
    return lambda axes, left, right, y: _mark(axes, kind, left, right, y)
