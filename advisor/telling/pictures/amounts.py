"""Amounts of money as bars, against what the customer named."""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.axes import Axes

from advisor.telling.pictures.canvas import (
    ACCENT,
    INK,
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

WIDTH, SIDE, BAR, ROW, NAME, SMALL = 480.0, 14.0, 14.0, 24.0, 9.0, 8.0
MOST_NAME = 170.0
PART, WHOLE = "#dcdcdc", "#3a3a3a"

Amount = tuple[str, float, str]
"""What it is for, how much, and how that is written."""


def amounts(name: str, rows: Sequence[Amount], named: tuple[float, str] | None, most: float) -> Picture:
    """Return the bars of some amounts, the last of them being the whole, and a line at what was `named`.

    The whole width stands for `most`.
    """
    left = SIDE + min(MOST_NAME, max(width_of(words, NAME) for words, _, _ in rows)) + 10
    right = WIDTH - SIDE - max(width_of(text, NAME, bold=True) for _, _, text in rows) - 8
    scale = (right - left) / (most or 1.0)
    top = 24.0 if named else 10.0
    height = top + len(rows) * ROW + 6
    told = "; ".join(f"{words} {text}" for words, _, text in rows)
    budget = f"; you named {named[1]}" if named else ""
    alt = clean(f"What it costs: {told}{budget}.")

    def paint(axes: Axes) -> None:
        if named:
            _named(axes, left + named[0] * scale, f"you named {named[1]}", (top, height - 6))
        for index, (words, amount, text) in enumerate(rows):
            last = index == len(rows) - 1
            y = top + index * ROW + ROW / 2
            write(axes, (left - 8, y), fitted(words, NAME, MOST_NAME, bold=last), NAME, bold=last, align="right")
            bar = corners(left, y - BAR / 2, left + amount * scale, y + BAR / 2)
            area(axes, bar, fill=WHOLE if last else PART, edge=INK, width=0.8)
            write(axes, (left + amount * scale + 5, y), text, NAME, bold=last, backed=True)
        line(axes, [(left, top - 2), (left, height - 4)], width=1.0)

    caption = "What goes into parts, material and work" + (", and what you named (dashed line)." if named else ".")
    return Picture(name, draw(name, (WIDTH, height), alt, paint), alt, caption)


def _named(axes: Axes, x: float, words: str, between: tuple[float, float]) -> None:
    line(axes, [(x, between[0] - 6), (x, between[1] + 4)], width=1.2, style=(0, (4, 3)), colour=ACCENT)
    half = width_of(words, SMALL) / 2 + SIDE
    write(axes, (min(max(x, half), WIDTH - half), 10), words, SMALL, colour=SOFT, align="center")
