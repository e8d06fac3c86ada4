"""The vehicle from above, with who plays where: a sketch for people who have never seen a wiring plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes

from advisor.telling.pictures.canvas import FILL, INK, PAPER, SOFT, Picture, area, clean, draw, fitted, line, write
from advisor.telling.pictures.shapes import disc, rounded

WIDTH, HEIGHT, MIDDLE = 480.0, 400.0, 240.0
BODY_LEFT, BODY_RIGHT, NOSE, TAIL = 158.0, 322.0, 10.0, 388.0
GLASS, DASH, KNEES, SEATS, BEHIND, LAST = 72.0, 92.0, 126.0, 168.0, 236.0, 356.0
SIDE_X, SEAT_X, SEAT = 66.0, 39.0, 27.0
LABEL, LANE, SMALL = 9.0, 15.0, 8.0
NEAREST_M, FURTHEST_M = 1.4, 3.2
"""Between these distances from the first seat a place behind is drawn nearer or further back."""

SIZES = {"high": 6.0, "voice": 9.0, "bass": 15.0, "soft": 7.5}


@dataclass(frozen=True)
class Mark:
    """One speaker: what it plays, how it looks, and where it sits.

    `side` is -1 left, 0 middle, 1 right; `zone` front, low or rear; `away_m` its distance from the first seat.
    """

    words: str
    looks: str
    side: int
    zone: str
    away_m: float | None = None


@dataclass(frozen=True)
class Chair:
    """A front seat; `listens` where the customer named it."""

    name: str
    side: int
    listens: bool


def places(marks: Sequence[Mark], chairs: Sequence[Chair]) -> Picture | None:
    """Return the sketch; none where no place is known."""
    if not marks:
        return None
    told = "; ".join(f"{mark.words} {_where(mark)}" for mark in marks)
    alt = clean(f"The vehicle from above: {told}.")
    svg = draw("places", (WIDTH, HEIGHT), alt, lambda axes: _paint(axes, marks, chairs))
    caption = "Who plays where, seen from above. Large dark discs play low, small light ones high. Not to scale."
    return Picture("places", svg, alt, caption)


def _where(mark: Mark) -> str:
    zone = {"front": "up in front", "low": "low in front", "rear": "behind the seats"}[mark.zone]
    return f"{zone}, {('left', 'middle', 'right')[mark.side + 1]}"


def _paint(axes: Axes, marks: Sequence[Mark], chairs: Sequence[Chair]) -> None:
    _vehicle(axes, chairs)
    spots = [(mark, *_spot(mark)) for mark in marks]
    placed = _apart(spots)
    for mark, x, y in placed:
        fill, edge, hatch = _LOOKS[mark.looks]
        disc(axes, (x, y), SIZES[mark.looks], fill=fill, edge=edge, hatch=hatch)
    _labels(axes, placed)


_LOOKS = {
    "high": (PAPER, INK, None), "voice": ("#8c8c8c", INK, None), "bass": (INK, INK, None), "soft": (PAPER, INK, "////"),
}  # fmt: skip

Placed = tuple[Mark, float, float]


def _vehicle(axes: Axes, chairs: Iterable[Chair]) -> None:
    rounded(axes, (BODY_LEFT, NOSE, BODY_RIGHT, TAIL), 34, fill="#f6f6f6", edge=SOFT, width=1.6)
    glass = [
        (BODY_LEFT + 14, GLASS),
        (BODY_RIGHT - 14, GLASS),
        (BODY_RIGHT - 22, GLASS - 20),
        (BODY_LEFT + 22, GLASS - 20),
    ]
    area(axes, glass, fill=PAPER, edge=SOFT)
    line(axes, [(BODY_LEFT + 6, DASH + 10), (BODY_RIGHT - 6, DASH + 10)], width=1.0, colour=SOFT)
    write(axes, (MIDDLE, NOSE + 16), "front", SMALL, colour=SOFT, align="center")
    write(axes, (MIDDLE, TAIL - 12), "back", SMALL, colour=SOFT, align="center")
    for chair in chairs:
        x = MIDDLE + chair.side * SEAT_X
        rounded(axes, (x - SEAT, SEATS - SEAT, x + SEAT, SEATS + SEAT), 7, fill=FILL, edge=SOFT, width=1.0)
        rounded(axes, (x - SEAT, SEATS + SEAT - 9, x + SEAT, SEATS + SEAT), 4, fill=PAPER, edge=SOFT, width=1.0)
        name = fitted(chair.name, SMALL, 2 * SEAT - 4)
        write(axes, (x, SEATS - 5), name, SMALL, bold=chair.listens, align="center")


def _spot(mark: Mark) -> tuple[float, float]:
    x = MIDDLE + mark.side * (SIDE_X - max(0.0, SIZES[mark.looks] - 10))
    if mark.zone == "front":
        return x, DASH
    if mark.zone == "low":
        return x, KNEES
    away = min(max(mark.away_m if mark.away_m is not None else NEAREST_M, NEAREST_M), FURTHEST_M)
    return x, BEHIND + (LAST - BEHIND) * (away - NEAREST_M) / (FURTHEST_M - NEAREST_M)


def _apart(spots: list[Placed]) -> list[Placed]:
    """Move marks that would stand on each other apart: those in front inwards along the dash, others backwards."""
    placed: list[Placed] = []
    for mark, x, y in sorted(spots, key=lambda spot: (spot[2], -SIZES[spot[0].looks])):
        while any(_touch((mark, x, y), other) for other in placed):
            if mark.zone == "front" and mark.side:
                x -= mark.side * 4.0
            elif y < LAST:
                y += 4.0
            else:
                x -= (mark.side or 1) * 4.0
        placed.append((mark, x, y))
    return placed


def _touch(one: Placed, other: Placed) -> bool:
    apart = SIZES[one[0].looks] + SIZES[other[0].looks] + 3
    return (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2 < apart**2


def _labels(axes: Axes, placed: Sequence[Placed]) -> None:
    """Write what each plays beside the vehicle, a line to it; a pair is named on both its sides."""
    for side in (-1, 1):
        own = sorted((one for one in placed if (one[0].side or 1) == side), key=lambda one: (one[2], -side * one[1]))
        lanes = _lanes([y for _, _, y in own])
        edge = BODY_LEFT - 16 if side < 0 else BODY_RIGHT + 16
        for (mark, x, y), lane in zip(own, lanes, strict=True):
            start = x + side * SIZES[mark.looks]
            line(axes, [(start, y), (edge, lane)], width=0.8, colour=SOFT)
            align = "right" if side < 0 else "left"
            write(axes, (edge + side * 4, lane), fitted(mark.words, LABEL, BODY_LEFT - 28), LABEL, align=align)


def _lanes(heights: Sequence[float]) -> list[float]:
    """Return where each label stands: near its mark, none on another."""
    lanes: list[float] = []
    for height in heights:
        lanes.append(max(height, lanes[-1] + LANE) if lanes else height)
    over = (lanes[-1] - (HEIGHT - 8)) if lanes else 0.0
    return [lane - max(0.0, over) for lane in lanes]
