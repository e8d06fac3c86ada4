"""From the deepest to the highest notes as one bar: what is played, what nobody plays, what lies too deep."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from matplotlib.axes import Axes

from advisor.telling.pictures.canvas import (
    ACCENT,
    INK,
    PAPER,
    SOFT,
    Picture,
    area,
    clean,
    corners,
    draw,
    line,
    width_of,
    write,
)
from advisor.telling.pictures.legend import Legend, Paint

LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
REGIONS = ((20.0, "deep bass"), (60.0, "bass, drums"), (250.0, "voices, guitars"), (4000.0, "cymbals, sparkle"))
"""Where each region begins, and what a listener calls it; common practice."""

WIDTH, SIDE, TOP, BAR, SMALL, NAME = 480.0, 14.0, 12.0, 26.0, 8.0, 9.0
PLAYED, NOBODY = "#8c8c8c", "xxxx"

Band = tuple[float, float]


def notes(name: str, bands: Sequence[Band]) -> Picture | None:
    """Return the bar of what some bands [Hz] play together; none where none is known."""
    played = joined(bands)
    if not played:
        return None
    holes = [(one[1], other[0]) for one, other in itertools.pairwise(played)]
    alt = clean(f"From deep to high notes: {_words(played, holes)}.")
    ends = {"deep": played[0][0] > LOWEST_HZ, "hole": bool(holes)}
    legend = Legend(_entries(ends), SIDE, WIDTH - SIDE)
    height = TOP + 20 + BAR + 26 + legend.height

    def paint(axes: Axes) -> None:
        for index, (start, words) in enumerate(REGIONS):
            end = REGIONS[index + 1][0] if index + 1 < len(REGIONS) else HIGHEST_HZ
            write(axes, ((_x(start) + _x(end)) / 2, TOP), words, NAME, align="center")
            if index:
                line(axes, [(_x(start), TOP + 8), (_x(start), TOP + 20 + BAR + 6)], width=0.8, colour=SOFT)
        top, bottom = TOP + 16, TOP + 16 + BAR
        area(axes, corners(_x(LOWEST_HZ), top, _x(HIGHEST_HZ), bottom), fill=PAPER, edge=SOFT, width=0.8)
        for low, high in played:
            area(axes, corners(_x(low), top, _x(high), bottom), fill=PLAYED, edge=INK, width=0.8)
        for low, high in holes:
            area(
                axes, corners(_x(low), top - 3, _x(high), bottom + 3), fill=PAPER, edge=ACCENT, hatch=NOBODY, width=1.2
            )
            half = width_of("gap", NAME, bold=True) / 2 + SIDE
            middle = min(max((_x(low) + _x(high)) / 2, half), WIDTH - half)
            write(axes, (middle, bottom + 12), "gap", NAME, bold=True, colour=ACCENT, align="center")
        legend.paint(axes, bottom + 30)

    svg = draw(name, (WIDTH, height), alt, paint)
    caption = f"From the deepest notes (left) to the highest (right): {_words(played, holes)}."
    return Picture(name, svg, alt, clean(caption))


def joined(bands: Sequence[Band], least_octaves: float = 0.05) -> list[Band]:
    """Return bands with those that meet made one, the deepest first; a sliver that nobody hears is no gap."""
    found: list[Band] = []
    for low, high in sorted(bands):
        low, high = max(low, LOWEST_HZ), min(high, HIGHEST_HZ)
        if low >= high:
            continue
        if found and low <= found[-1][1] * 2**least_octaves:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def region_of(hz: float) -> str:
    """Return what a listener calls the region of a note."""
    return next(words for start, words in reversed(REGIONS) if hz >= start)


def _words(played: Sequence[Band], holes: Sequence[Band]) -> str:
    said = "everything is played" if not holes else " and ".join(
        f"nobody plays some notes among {region_of(math.sqrt(low * high))}" for low, high in holes
    )  # fmt: skip
    if played[0][0] >= REGIONS[1][0]:
        return f"{said}, but there is no deep bass"
    return f"{said}, but for the very deepest notes" if played[0][0] > LOWEST_HZ else said


def _entries(ends: dict[str, bool]) -> list[tuple[str, Paint]]:
    def played(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PLAYED, edge=INK, width=0.8)

    def deep(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PAPER, edge=SOFT, width=0.8)

    def gap(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PAPER, edge=ACCENT, hatch=NOBODY, width=0.8)

    entries: list[tuple[str, Paint]] = [("you hear these notes", played)]
    entries += [("too deep or too high for this list", deep)] if ends["deep"] else []
    entries += [("a gap: no speaker plays these notes well", gap)] if ends["hole"] else []
    return entries


def _x(frequency: float) -> float:
    return SIDE + (WIDTH - 2 * SIDE) * math.log(frequency / LOWEST_HZ) / math.log(HIGHEST_HZ / LOWEST_HZ)
