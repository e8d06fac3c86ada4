"""The supply as a picture: what alternator or converter gives and what is taken, and what the supply cable bears."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from matplotlib.axes import Axes

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
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

WIDTH, SIDE, LABELS, ROW, HEAD, GAP = 480.0, 14.0, 150.0, 19.0, 18.0, 8.0
SIZE, HALF = 8.0, 5.5
MUSIC, TOO_MUCH = "////", "xxxxx"


@dataclass(frozen=True)
class Bar:
    """One bar: pieces one after the other, each with how it is filled; `bears` is what it should not go beyond."""

    label: str
    pieces: tuple[tuple[Reading, str], ...]
    words: str
    bears: float | None = None

    @property
    def length(self) -> float:
        """How long it is [A]."""
        return sum(float(reading.value) for reading, _ in self.pieces)

    @property
    def is_too_much(self) -> bool:
        """Whether it goes beyond what bears it."""
        return self.bears is not None and self.length > self.bears * (1 + 1e-9)


@dataclass(frozen=True)
class Group:
    """Bars that are to be held against each other."""

    heading: str
    bars: tuple[Bar, ...]
    words: str


def supply_budget(engine: Engine) -> Picture | None:
    """Return the picture of what the supply gives, what is taken from it and what cable and fuse bear, if known."""
    job = engine.chain.of_kind("job")[0]
    groups = [group for supply in engine.chain.of_kind("supply")[:1] for group in _groups(engine, job, supply)]
    if not groups:
        return None
    readings: list[Reading | None] = [r for group in groups for bar in group.bars for r, _ in bar.pieces]
    alt = "The supply in amperes. " + " ".join(group.words for group in groups)
    sheet = _Sheet(groups)
    svg = draw("supply", (WIDTH, sheet.height), alt, sheet.paint)
    caption = (
        "What the supply gives and what is taken from it, in amperes. Loud music is a mean; rated power comes in peaks."
    )
    return Picture("supply", svg, alt, caption + starred(readings))


def _groups(engine: Engine, job: Subject, supply: Subject) -> list[Group]:
    vehicle, music = asked(engine, supply, "own_draw_a"), asked(engine, job, "programme_current_a")
    converter = asked(engine, job, "has_converter")
    giver = "converter" if converter is not None and converter.value else "alternator"
    found = []
    for heading, name in (("On the road", "running_source_a"), ("At idle", "idle_source_a")):
        gives = asked(engine, supply, name)
        if gives is None or vehicle is None or music is None:
            continue
        words = (
            f"{heading} the {giver} gives {said(gives)}; the vehicle takes {said(vehicle)}, loud music {said(music)}"
        )
        left = asked(engine, supply, "idle_reserve_a") if name == "idle_source_a" else None
        after = f"{said(vehicle)} + {said(music)}"
        if left is not None:
            rest = with_unit(abs(left.value), left.unit)
            words += f", which leaves {rest}" if left.value >= 0 else f", which is {rest} too much"
            after += f", {rest} left" if left.value >= 0 else f", {rest} too much"
        taken = Bar("vehicle and loud music take", ((vehicle, "vehicle"), (music, "music")), after, float(gives.value))
        found.append(Group(heading, (Bar(f"{giver} gives", ((gives, "gives"),), said(gives)), taken), f"{words}."))
    return found + _cable(engine, job, supply) + _branches(engine)


def _cable(engine: Engine, job: Subject, supply: Subject) -> list[Group]:
    peak = asked(engine, job, "full_current_a")
    if peak is None:
        return []
    bears = asked(engine, supply, "ampacity_a")
    limit = float(bears.value) if bears is not None else None
    fuse = asked(engine, supply, "planned_fuse_a")
    wanted = asked(engine, supply, "main_fuse_a")
    bars, words = [], []
    for label, kind, reading, against in (
        ("amplifiers at rated power", "music", peak, limit),
        ("fuse for that load", "fuse", wanted, limit),
        ("fuse as planned", "fuse", fuse, limit),
        ("cable carries for good", "gives", bears, None),
    ):
        if reading is not None:
            bar = Bar(label, ((reading, kind),), said(reading), against)
            more = " (more than the cable carries)" if bar.is_too_much else ""
            bars.append(bar)
            words.append(f"{label} {said(reading)}{more}")
    return [Group("Supply cable", tuple(bars), f"Supply cable: {', '.join(words)}.")]


def _branches(engine: Engine) -> list[Group]:
    """Return what each branch from the distribution takes and which fuse it hangs on, against what it carries."""
    bars, words = [], []
    for amplifier in engine.chain.of_kind("amplifier"):
        draws, carries, fuse = (
            asked(engine, amplifier, name) for name in ("peak_current_a", "branch_carries_a", "branch_protected_by_a")
        )
        if draws is None or carries is None or fuse is None:
            continue
        limit = float(carries.value)
        for label, kind, reading, after in (
            (f"{amplifier.name} at rated power", "music", draws, ""),
            ("fuse before its branch", "fuse", fuse, f"; the branch carries {said(carries)}"),
        ):
            bar = Bar(label, ((reading, kind),), said(reading) + after, limit)
            bars.append(bar)
            words.append(f"{label} {said(reading)}" + (" (more than it carries)" if bar.is_too_much else ""))
        words[-1] += f", its branch carries {said(carries)}"
    return [Group("Branches", tuple(bars), f"Branches: {', '.join(words)}.")] if bars else []


class _Sheet:
    """The sheet from top to bottom: the groups, the legend."""

    def __init__(self, groups: list[Group]) -> None:
        self.groups = groups
        bars = [bar for group in groups for bar in group.bars]
        self.left = SIDE + LABELS
        room = WIDTH - SIDE - self.left - 5  # each bar has its words behind it
        self.scale = min((room - width_of(bar.words, SIZE)) / max(bar.length, 1.0) for bar in bars)
        kinds = {kind for bar in bars for _, kind in bar.pieces}
        kinds |= {"too much"} if any(bar.is_too_much for bar in bars) else set()
        self.legend = Legend(
            [(text, _sample(kind)) for kind, text in _KINDS.items() if kind in kinds], SIDE, WIDTH - SIDE
        )
        self.bottom = 4 + sum(HEAD + len(group.bars) * ROW + GAP for group in groups)
        self.height = self.bottom + self.legend.height + 6

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        top = 4.0
        for group in self.groups:
            write(axes, (SIDE, top + HEAD / 2), group.heading, 9, bold=True)
            low = top + HEAD + len(group.bars) * ROW
            line(axes, [(self.left, top + HEAD - 1), (self.left, low)], width=0.9, colour=SOFT)
            for index, bar in enumerate(group.bars):
                self._bar(axes, bar, top + HEAD + (index + 0.5) * ROW)
            top = low + GAP
        self.legend.paint(axes, self.bottom + 6)

    def _bar(self, axes: Axes, bar: Bar, y: float) -> None:
        write(axes, (self.left - 6, y), fitted(bar.label, SIZE, LABELS - 6), SIZE, align="right")
        x = self.left
        for reading, kind in bar.pieces:
            end = x + float(reading.value) * self.scale
            _fill(axes, kind, x, end, y)
            x = end
        if bar.bears is not None and bar.is_too_much:
            _fill(axes, "too much", self.left + bar.bears * self.scale, x, y)
        write(axes, (x + 5, y), bar.words, SIZE, colour=ACCENT if bar.is_too_much else INK)


_KINDS = {
    "gives": "what there is",
    "vehicle": "the vehicle's own draw",
    "music": "the audio system",
    "fuse": "fuse",
    "too much": "beyond what there is",
}


def _fill(axes: Axes, kind: str, left: float, right: float, y: float) -> None:
    shape = corners(left, y - HALF, right, y + HALF)
    if kind == "too much":
        area(axes, shape, fill=PAPER, edge=ACCENT, hatch=TOO_MUCH)
    elif kind == "fuse":
        area(axes, shape, fill=PAPER, edge=INK, width=1.4)
    elif kind == "vehicle":
        area(axes, shape, fill=PAPER, edge=SOFT, hatch=MUSIC, width=0.8)
    else:
        area(axes, shape, fill=FILL if kind == "gives" else INK, edge=SOFT, width=0.8)


def _sample(kind: str) -> Callable[[Axes, float, float, float], None]:
    return lambda axes, left, right, y: _fill(axes, kind, left, right, y)
