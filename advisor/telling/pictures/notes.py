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
REGIONS = (
    (20.0, "deep bass"),
    (60.0, "bass and drums"),
    (250.0, "voices and guitars"),
    (4000.0, "cymbals and sparkle"),
)
"""Where each region begins, and what a listener calls it; common practice."""

WIDTH, SIDE, TOP, BAR, SMALL, NAME = 480.0, 14.0, 12.0, 26.0, 8.0, 9.0
PLAYED, NOBODY = "#8c8c8c", "xxxx"

SLIVER = 2**0.05
"""A gap of a twentieth of an octave is neither seen nor heard."""

Band = tuple[float, float]


def notes(name: str, bands: Sequence[Band], gaps: Sequence[Band]) -> Picture | None:
    """Return the bar of what some bands [Hz] play together but for some gaps; none where no band is known."""
    played = without(joined(bands), gaps)
    if not played:
        return None
    holes = [(one[1], other[0]) for one, other in itertools.pairwise(played)]
    alt = clean(f"From deep to high notes: {_words(played, holes)}.")
    beyond = ["deep"] * (played[0][0] > LOWEST_HZ) + ["high"] * (played[-1][1] < HIGHEST_HZ)
    legend = Legend(_entries(beyond, is_holed=bool(holes)), SIDE, WIDTH - SIDE)
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


def joined(bands: Sequence[Band]) -> list[Band]:
    """Return bands with those that meet made one, the deepest first; a sliver that nobody hears is no gap.

    >>> joined([(80.0, 400.0), (30.0, 80.0), (500.0, 900.0)])
    [(30.0, 400.0), (500.0, 900.0)]
    """
    found: list[Band] = []
    for low, high in sorted(bands):
        low, high = max(low, LOWEST_HZ), min(high, HIGHEST_HZ)
        if low >= high:
            continue
        if found and low <= found[-1][1] * SLIVER:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def without(bands: Sequence[Band], gaps: Sequence[Band]) -> list[Band]:
    """Return what is left of bands when gaps are taken out.

    >>> without([(30.0, 900.0)], [(80.0, 200.0)])
    [(30.0, 80.0), (200.0, 900.0)]
    """
    left = list(bands)
    for low, high in gaps:
        if high > low * SLIVER:
            pieces = [piece for one in left for piece in ((one[0], min(one[1], low)), (max(one[0], high), one[1]))]
            left = [piece for piece in pieces if piece[0] < piece[1]]
    return left


def region_of(hz: float) -> str:
    """Return what a listener calls the region of a note."""
    return next(words for start, words in reversed(REGIONS) if hz >= start)


def _words(played: Sequence[Band], holes: Sequence[Band]) -> str:
    regions = dict.fromkeys(region_of(math.sqrt(low * high)) for low, high in holes)
    said = [f"among {', and '.join(regions)}, some notes are played well by no speaker"] if holes else []
    if played[0][0] >= REGIONS[1][0]:
        said.append("there is no deep bass")
    elif played[0][0] > LOWEST_HZ:
        said.append("all but the very deepest notes are there" if not holes else "the very deepest notes are missing")
    return "; ".join(said) or "all notes are there"


def _entries(beyond: list[str], *, is_holed: bool) -> list[tuple[str, Paint]]:
    def played(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PLAYED, edge=INK, width=0.8)

    def outside(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PAPER, edge=SOFT, width=0.8)

    def gap(axes: Axes, left: float, right: float, y: float) -> None:
        area(axes, corners(left, y - 5, right, y + 5), fill=PAPER, edge=ACCENT, hatch=NOBODY, width=0.8)

    entries: list[tuple[str, Paint]] = [("you hear these notes", played)]
    entries += [(f"too {' or too '.join(beyond)} for this list", outside)] if beyond else []
    entries += [("a gap: no speaker plays these notes well", gap)] if is_holed else []
    return entries


def _x(frequency: float) -> float:
    return SIDE + (WIDTH - 2 * SIDE) * math.log(frequency / LOWEST_HZ) / math.log(HIGHEST_HZ / LOWEST_HZ)
