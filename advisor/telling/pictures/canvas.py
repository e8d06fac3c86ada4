"""What the pictures of a report share: paper and ink, text that fits, and SVG that may stand inside a page.

Positions are points (1/72 inch) from the top left corner, y downwards, so that drawing and SVG agree.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.textpath import text_to_path

INK, SOFT, FILL, PAPER = "#1a1a1a", "#555555", "#dcdcdc", "#ffffff"
ACCENT = "#9a3412"
"""The one colour: what falls short. Dark enough to read as text, and always hatched as well."""

FONT = "DejaVu Sans"
"""What text is measured in: it comes with matplotlib and is wide, so text set in another face fits as well."""

Point = tuple[float, float]


@dataclass(frozen=True)
class Picture:
    """A picture with its words: `alt` for who cannot see it, `caption` for who can."""

    name: str
    svg: str
    alt: str
    caption: str


def draw(name: str, size: Point, alt: str, paint: Callable[[Axes], None]) -> str:
    """Return what `paint` draws on a sheet of `size` points, as SVG text that is the same every time."""
    with matplotlib.rc_context(), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # the reader's own fonts draw the text
        _settle()
        figure = Figure(figsize=(size[0] / 72, size[1] / 72), facecolor=PAPER)
        FigureCanvasSVG(figure)
        axes = figure.add_axes((0, 0, 1, 1), xlim=(0, size[0]), ylim=(size[1], 0))
        axes.set_axis_off()
        paint(axes)
        text = io.StringIO()
        figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None})
    return _for_a_page(text.getvalue(), name, alt)


def _settle() -> None:
    """Set what the SVG depends on, whatever the user's own settings of matplotlib are."""
    matplotlib.rcdefaults()
    matplotlib.rc("svg", hashsalt="advisor", fonttype="none")
    matplotlib.rc("font", **{"family": "sans-serif", "sans-serif": [FONT]})
    matplotlib.rc("text", parse_math=False)  # a title may hold a dollar sign
    matplotlib.rc("hatch", linewidth=0.7)
    matplotlib.rc("path", simplify=False)


_NOT_OURS = re.compile(r"\s*<metadata>.*?</metadata>|\s*<defs>\s*<style.*?</style>\s*</defs>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_ID = re.compile(r'(\bid="|href="#|url\(#)')


def _for_a_page(svg: str, name: str, alt: str) -> str:
    """Make SVG fit to stand in a page: no prolog, no style that would reach the page, ids of its own, a title."""
    svg = _NOT_OURS.sub("", svg[svg.index("<svg") :])
    svg = _TAG.sub(lambda tag: _ID.sub(rf"\1{name}-", tag[0]), svg)
    words = escape(alt)
    head = f'<svg role="img" aria-label="{words}" style="max-width: 100%; height: auto" stroke-linejoin="round" '
    end_of_head = svg.index(">") + 1
    return f"{head}{svg[len('<svg ') : end_of_head]}\n <title>{words}</title>{svg[end_of_head:]}"


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide a text is [pt]."""
    font = FontProperties(family=FONT, size=size, weight="bold" if bold else "normal")
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        return float(text_to_path.get_text_width_height_descent(text, font, ismath=False)[0])


def clean(text: str) -> str:
    """Return a text on one line, without what XML cannot hold."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def fitted(text: str, size: float, room: float, *, bold: bool = False) -> str:
    """Return a text cleaned, and cut short with an ellipsis where it is wider than the room [pt]."""
    text = clean(text)
    if width_of(text, size, bold=bold) <= room:
        return text
    while text and width_of(f"{text}…", size, bold=bold) > room:
        text = text[:-1].rstrip()
    return f"{text}…"


def write(
    axes: Axes,
    at: Point,
    text: str,
    size: float = 9,
    *,
    bold: bool = False,
    colour: str = INK,
    align: str = "left",
    backed: bool = False,
) -> None:
    """Write a line of text, `at` being the middle of its height; `backed` keeps lines from running through it."""
    box = {"boxstyle": "square,pad=0.15", "facecolor": PAPER, "edgecolor": "none"} if backed else None
    weight = "bold" if bold else "normal"
    baseline = at[1] + 0.36 * size  # half the height of capitals
    axes.text(at[0], baseline, clean(text), fontsize=size, fontweight=weight, color=colour, ha=align, bbox=box)


def line(axes: Axes, points: list[Point], *, width: float = 1.2, style: Any = "-", colour: str = INK) -> None:
    """Draw a line through points; like areas, over what was drawn before it."""
    xs, ys = zip(*points, strict=True)
    axes.add_line(Line2D(xs, ys, linewidth=width, linestyle=style, color=colour, clip_on=False, zorder=1))


def area(
    axes: Axes,
    points: list[Point],
    *,
    fill: str = "none",
    edge: str = "none",
    hatch: str | None = None,
    style: Any = "-",
    width: float = 1.0,
) -> None:
    """Draw a closed shape; a hatch takes the colour of the edge."""
    patch = Polygon(points, closed=True, facecolor=fill, edgecolor=edge, linestyle=style, linewidth=width)
    patch.set_clip_on(False)
    if hatch:
        patch.set_hatch(hatch)
    axes.add_patch(patch)


def corners(left: float, top: float, right: float, bottom: float) -> list[Point]:
    """Return the corners of a rectangle."""
    return [(left, top), (right, top), (right, bottom), (left, bottom)]
