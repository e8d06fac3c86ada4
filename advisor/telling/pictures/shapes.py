"""Round shapes for sketches."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.patches import Circle, FancyBboxPatch

from advisor.telling.pictures.canvas import Point


def disc(axes: Axes, at: Point, radius: float, *, fill: str, edge: str, hatch: str | None = None) -> None:
    """Draw a disc; a hatch takes the colour of the edge."""
    patch = Circle(at, radius, facecolor=fill, edgecolor=edge, linewidth=1.1, zorder=2)
    patch.set_clip_on(False)
    if hatch:
        patch.set_hatch(hatch)
    axes.add_patch(patch)


def rounded(
    axes: Axes, box: tuple[float, float, float, float], radius: float, *, fill: str, edge: str, width: float
) -> None:
    """Draw a rectangle (left, top, right, bottom) with round corners."""
    left, top, right, bottom = box
    style = f"round,pad=0,rounding_size={radius:g}"
    patch = FancyBboxPatch(
        (left, top), right - left, bottom - top, boxstyle=style, facecolor=fill, edgecolor=edge, linewidth=width
    )
    patch.set_clip_on(False)
    axes.add_patch(patch)
