"""The bands as a picture: what each way is asked to play against what it can, and what nobody plays."""

from __future__ import annotations

import math

from matplotlib.axes import Axes

from advisor.facts.engine import Engine
from advisor.judging.formats import hz, listed
from advisor.telling.pictures.band_rows import Hole, Row, holes_of, rows_of
from advisor.telling.pictures.canvas import (
    ACCENT,
    FILL,
    INK,
    PAPER,
    SOFT,
    Picture,
    area,
    clean,
    corners,
    draw,
    fitted,
    line,
    width_of,
    write,
)

LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
TICKS = {20: "20", 50: "50", 100: "100", 200: "200", 500: "500", 1000: "1k", 2000: "2k", 5000: "5k", 10_000: "10k",
         20_000: "20k"}  # fmt: skip

WIDTH, SIDE, ROW, LANE = 480.0, 14.0, 40.0, 13.0
NAME, SMALL = 9.0, 8.0
COVERS, ASKED = 7.5, 3.5
"""Half the heights of the bars [pt]."""

ROUGH_END, ARROW = 22.0, 9.0
"""Lengths of what is drawn at the ends of a bar [pt]."""

GRID = "#e6e6e6"
SHADED, BEYOND = "\\\\\\", "xxxxx"
SAMPLE = 26.0


def bands(engine: Engine) -> Picture:
    """Return the picture of what each way of a job is asked to play, what it covers, and the holes between."""
    rows = rows_of(engine)
    holes, unknown = holes_of(engine)
    sheet = _Sheet(rows, holes, float(engine.assume("bass_tells_its_place_from")))
    alt = _in_words(rows, holes, unknown)
    svg = draw("bands", (WIDTH, sheet.height), alt, sheet.paint)
    return Picture("bands", svg, alt, _caption(rows, holes, unknown))


def _x(frequency: float) -> float:
    """Return where a frequency stands; what lies off the axis stands at its end."""
    kept = min(max(frequency, LOWEST_HZ), HIGHEST_HZ)
    return SIDE + (WIDTH - 2 * SIDE) * math.log(kept / LOWEST_HZ) / math.log(HIGHEST_HZ / LOWEST_HZ)


class _Sheet:
    """The sheet from top to bottom: names of holes, a row for each way, the axis, the legend."""

    def __init__(self, rows: list[Row], holes: list[Hole], tells_from: float) -> None:
        self.rows, self.holes, self.tells_from = rows, holes, tells_from
        wanted = [(_x(math.sqrt(hole.low * hole.high)), hole.words, ACCENT) for hole in holes]
        wanted.append((_x(tells_from), f"bass tells its place above {hz(tells_from)}", SOFT))
        self.labels, lanes = _in_lanes(wanted)
        self.top = 4 + lanes * LANE
        self.bottom = self.top + len(rows) * ROW + 4
        self.legend, lines = _legend(rows, holes)
        self.height = self.bottom + 34 + lines * LANE

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        for tick, text in TICKS.items():
            line(axes, [(_x(tick), self.top), (_x(tick), self.bottom)], width=0.8, colour=GRID)
            write(axes, (_x(tick), self.bottom + 8), text, SMALL, align="center")
        for hole in self.holes:
            shade = corners(_x(hole.low), self.top, _x(hole.high), self.bottom)
            area(axes, shade, edge=ACCENT, hatch=SHADED, width=0.8)
        for index, row in enumerate(reversed(self.rows)):
            _paint_row(axes, row, self.top + index * ROW)
        at = _x(self.tells_from)
        lane = next(lane for _, lane, _, colour in self.labels if colour == SOFT)
        up = self.top - 2 - lane * LANE
        line(axes, [(at, up), (at, self.bottom)], width=0.9, style=(0, (5, 3)), colour=SOFT)
        line(axes, [(_x(LOWEST_HZ), self.bottom), (_x(HIGHEST_HZ), self.bottom)], width=1.0)
        for x, lane, text, colour in self.labels:
            write(axes, (x, self.top - 8 - lane * LANE), text, SMALL, colour=colour, align="center", backed=True)
        write(axes, (WIDTH / 2, self.bottom + 20), "frequency [Hz]", SMALL, align="center")
        for x, row_number, kind in self.legend:
            _paint_sample(axes, kind, x, self.bottom + 35 + row_number * LANE)


def _in_lanes(wanted: list[tuple[float, str, str]]) -> tuple[list[tuple[float, int, str, str]], int]:
    """Give each label a lane where no other stands in its way; return them and how many lanes it took."""
    ends: list[list[tuple[float, float]]] = []
    placed = []
    for x, text, colour in wanted:
        half = width_of(text, SMALL) / 2 + 4
        x = min(max(x, half), WIDTH - half)
        free = (n for n, taken in enumerate(ends) if all(x + half < left or x - half > right for left, right in taken))
        lane = next(free, len(ends))
        if lane == len(ends):
            ends.append([])
        ends[lane].append((x - half, x + half))
        placed.append((x, lane, text, colour))
    return placed, len(ends)


def _paint_row(axes: Axes, row: Row, top: float) -> None:
    words = f"asked {row.asked_words}, covers {row.covers_words}"
    if row.asked is None and row.covers == (None, None):
        words = "not known"
    room = WIDTH - 2 * SIDE - width_of(words, SMALL) - 12
    name = fitted(row.name, NAME, room, bold=True)
    write(axes, (SIDE, top + 8), name, NAME, bold=True, backed=True)
    name_width = width_of(name, NAME, bold=True) + 7
    if room - name_width > 20:
        title = fitted(row.title, SMALL, room - name_width)
        write(axes, (SIDE + name_width, top + 8), title, SMALL, colour=SOFT, backed=True)
    write(axes, (WIDTH - SIDE, top + 8), words, SMALL, align="right", backed=True)
    middle = top + 25
    if row.covers[0] is not None and row.covers[1] is not None:
        _paint_covers(axes, _x(row.covers[0]), _x(row.covers[1]), row.rough, middle)
    if row.asked is not None:
        _paint_asked(axes, row, middle)


def _paint_covers(axes: Axes, left: float, right: float, rough: tuple[bool, bool], middle: float) -> None:
    area(axes, corners(left, middle - COVERS, right, middle + COVERS), fill=FILL, edge=SOFT, width=0.8)
    length = min(ROUGH_END, (right - left) / 2)
    for is_rough, start in zip(rough, (left, right - length), strict=True):
        if is_rough:
            end = corners(start, middle - COVERS, start + length, middle + COVERS)
            area(axes, end, fill=PAPER, edge=SOFT, hatch="////", width=0.8)


def _paint_asked(axes: Axes, row: Row, middle: float) -> None:
    """Draw the dark bar, an arrow where it is open, hatched where it runs beyond what the way covers."""
    assert row.asked is not None
    low, high = row.asked
    down, up = row.covers
    left = _x(low if low is not None else down if down is not None else LOWEST_HZ)
    right = _x(high if high is not None else up if up is not None else HIGHEST_HZ)
    inner_left, inner_right = left + (0 if low is not None else ARROW), right - (0 if high is not None else ARROW)
    area(axes, corners(inner_left, middle - ASKED, inner_right, middle + ASKED), fill=INK)
    for is_open, tip, base in ((low is None, left, inner_left), (high is None, right, inner_right)):
        if is_open:
            area(axes, [(tip, middle), (base, middle - ASKED - 3), (base, middle + ASKED + 3)], fill=INK)
    for start, end in _beyond(row):
        area(axes, corners(_x(start), middle - ASKED, _x(end), middle + ASKED), fill=PAPER, edge=ACCENT, hatch=BEYOND)


def _beyond(row: Row) -> list[tuple[float, float]]:
    """Return the stretches a way is asked to play but does not cover."""
    low, high = row.asked or (None, None)
    down, up = row.covers
    found = []
    if low is not None and down is not None and low < down:
        found.append((low, down if high is None else min(down, high)))
    if high is not None and up is not None and high > up:
        found.append((up if low is None else max(up, low), high))
    return found


_SAMPLES = {
    "covers": "can cover",
    "asked": "is asked to play",
    "rough": "end by rule of thumb",
    "open": "open edge",
    "beyond": "asked, not covered",
    "hole": "hole",
}


def _legend(rows: list[Row], holes: list[Hole]) -> tuple[list[tuple[float, int, str]], int]:
    """Return where each entry stands and how many lines they take; only what is drawn is explained."""
    shown = {"covers", "asked"}
    shown |= {"rough"} if any(any(row.rough) for row in rows) else set()
    shown |= {"open"} if any(row.asked and None in row.asked for row in rows) else set()
    shown |= {"beyond"} if any(_beyond(row) for row in rows) else set()
    shown |= {"hole"} if holes else set()
    x, lines, placed = SIDE, 0, []
    for kind, text in _SAMPLES.items():
        if kind not in shown:
            continue
        wide = SAMPLE + 5 + width_of(text, SMALL)
        if x > SIDE and x + wide > WIDTH - SIDE:
            x, lines = SIDE, lines + 1
        placed.append((x, lines, kind))
        x += wide + 14
    return placed, lines + 1


def _paint_sample(axes: Axes, kind: str, x: float, y: float) -> None:
    right = x + SAMPLE
    if kind in ("covers", "rough"):
        rough = {"fill": PAPER, "hatch": "////"} if kind == "rough" else {"fill": FILL}
        area(axes, corners(x, y - 5, right, y + 5), edge=SOFT, width=0.8, **rough)
    elif kind == "hole":
        area(axes, corners(x, y - 5, right, y + 5), edge=ACCENT, hatch=SHADED, width=0.8)
    elif kind == "beyond":
        area(axes, corners(x, y - ASKED, right, y + ASKED), fill=PAPER, edge=ACCENT, hatch=BEYOND)
    else:
        end = right - ARROW if kind == "open" else right
        area(axes, corners(x, y - ASKED, end, y + ASKED), fill=INK)
        if kind == "open":
            area(axes, [(right, y), (end, y - ASKED - 2), (end, y + ASKED + 2)], fill=INK)
    write(axes, (right + 5, y), _SAMPLES[kind], SMALL, colour=SOFT)


def _verdict(holes: list[Hole], unknown: list[str]) -> list[str]:
    said = [f"{hole.words} between {hole.between}" for hole in holes]
    said += [f"whether {pair} meet is not known" for pair in unknown]
    return said or ["no hole"]


def _in_words(rows: list[Row], holes: list[Hole], unknown: list[str]) -> str:
    told = [f"{row.name} asked {row.asked_words}, covers {row.covers_words}" for row in rows]
    return clean(f"Bands: {'; '.join([*told, *_verdict(holes, unknown)])}.")


def _caption(rows: list[Row], holes: list[Hole], unknown: list[str]) -> str:
    said = "What each way is asked to play (dark) and what its driver covers where it is mounted (light)"
    return clean(f"{said}: {listed(_verdict(holes, unknown))}.")
