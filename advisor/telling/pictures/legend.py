"""A legend of samples and words, set in as many lines as they need."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from matplotlib.axes import Axes

from advisor.telling.pictures.canvas import width_of, write

SAMPLE, LANE, SIZE = 22.0, 13.0, 8.0

Paint = Callable[[Axes, float, float, float], None]
"""Draws a sample from left to right at a height."""


class Legend:
    """Where each entry stands; only what is drawn should be explained."""

    def __init__(self, entries: Iterable[tuple[str, Paint]], left: float, right: float) -> None:
        self.placed: list[tuple[float, float, str, Paint]] = []
        x, lines = left, 0
        for words, paint in entries:
            wide = SAMPLE + 5 + width_of(words, SIZE)
            if x > left and x + wide > right:
                x, lines = left, lines + 1
            self.placed.append((x, lines * LANE, words, paint))
            x += wide + 14
        self.height = (lines + 1) * LANE

    def paint(self, axes: Axes, top: float) -> None:
        """Draw it, the first line at `top`."""
        for x, down, words, paint in self.placed:
            paint(axes, x, x + SAMPLE, top + down)
            write(axes, (x + SAMPLE + 5, top + down), words, SIZE)
