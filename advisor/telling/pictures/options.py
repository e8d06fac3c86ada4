"""Options as a chart: every figure with a bar for each of them, so that the eye sees where they part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes

from advisor.telling.pictures.canvas import (
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

WIDTH, SIDE, BAR, GAP, HEAD = 480.0, 14.0, 12.0, 3.0, 17.0
BETWEEN, NAME, SMALL, LETTER = 11.0, 9.0, 8.0, 14.0
LOOKS: tuple[tuple[str, str | None], ...] = (
    ("#3a3a3a", None), ("#dcdcdc", None), (PAPER, "////"), ("#8c8c8c", None), (PAPER, "...."), (PAPER, None),
)  # fmt: skip
"""Fill and hatch of each option in turn; all differ on a copier."""


@dataclass(frozen=True)
class Row:
    """A figure of all options: values and how they are written, None where it is not known."""

    name: str
    more: bool
    values: tuple[float | None, ...]
    texts: tuple[str, ...]

    @property
    def span(self) -> tuple[float, float]:
        """The least and the most that has to be drawn; nought is always among it."""
        known = [value for value in self.values if value is not None]
        return min(0.0, *known), max(0.0, *known)


def options(rows: Sequence[Row], letters: Sequence[str], titles: Sequence[str]) -> Picture | None:
    """Return the chart of some figures over options; none where no figure is known."""
    drawn = [row for row in rows if any(value is not None for value in row.values)]
    if not drawn:
        return None
    sheet = _Sheet(drawn, letters, titles)
    told = "; ".join(f"{row.name}: {_told(row, letters)}" for row in drawn)
    alt = clean(f"Options side by side: {told}.")
    svg = draw("options", (WIDTH, sheet.height), alt, sheet.paint)
    caption = "Each figure of every option; bars of one figure share a scale that begins at nought."
    return Picture("options", svg, alt, caption)


def _told(row: Row, letters: Sequence[str]) -> str:
    return ", ".join(f"{letter} {text}" for letter, text in zip(letters, row.texts, strict=True))


class _Sheet:
    """The sheet from top to bottom: who is who, then a block of bars for each figure."""

    def __init__(self, rows: Sequence[Row], letters: Sequence[str], titles: Sequence[str]) -> None:
        self.rows, self.letters, self.titles = rows, letters, titles
        self.top = 10.0 + len(letters) * (BAR + GAP)
        self.block = HEAD + len(letters) * (BAR + GAP) + BETWEEN
        self.height = self.top + BETWEEN + len(rows) * self.block
        self.room = max(width_of(text, SMALL) for row in rows for text in row.texts) + 8

    def paint(self, axes: Axes) -> None:
        """Paint it all."""
        for index, (letter, title) in enumerate(zip(self.letters, self.titles, strict=True)):
            y = 12.0 + index * (BAR + GAP)
            self._bar(axes, index, SIDE, SIDE + 22, y)
            write(axes, (SIDE + 30, y), letter, NAME, bold=True)
            write(axes, (SIDE + 30 + LETTER, y), fitted(title, SMALL, WIDTH - 2 * SIDE - 50), SMALL, colour=SOFT)
        for index, row in enumerate(self.rows):
            self._row(axes, row, self.top + BETWEEN + index * self.block)

    def _row(self, axes: Axes, row: Row, top: float) -> None:
        write(axes, (SIDE, top + 6), row.name[0].upper() + row.name[1:], NAME, bold=True)
        better = "more is better" if row.more else "less is better"
        write(axes, (WIDTH - SIDE, top + 6), better, SMALL, colour=SOFT, align="right")
        low, high = row.span
        left, right = SIDE + LETTER, WIDTH - SIDE - self.room
        wide = (right - left) / ((high - low) or 1.0)
        zero = left - low * wide
        for index, (value, text) in enumerate(zip(row.values, row.texts, strict=True)):
            y = top + HEAD + BAR / 2 + index * (BAR + GAP)
            write(axes, (SIDE, y), self.letters[index], SMALL)
            at = zero
            if value is not None:
                at = zero + value * wide
                self._bar(axes, index, min(zero, at), max(zero, at), y)
            write(axes, (max(zero, at) + 5, y), text, SMALL)
        bottom = top + HEAD + len(row.values) * (BAR + GAP) - GAP
        line(axes, [(zero, top + HEAD - 2), (zero, bottom + 2)], width=1.0)

    def _bar(self, axes: Axes, index: int, left: float, right: float, y: float) -> None:
        fill, hatch = LOOKS[index % len(LOOKS)]
        area(axes, corners(left, y - BAR / 2, right, y + BAR / 2), fill=fill, edge=INK, hatch=hatch, width=0.8)
