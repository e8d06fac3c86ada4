"""Where the money goes as a picture: cost by part of the chain, and which way limits the result."""

from __future__ import annotations

from matplotlib.axes import Axes

from advisor.facts.engine import Engine
from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
from advisor.telling.pictures.asking import asked, said, starred
from advisor.telling.pictures.canvas import (
    FILL,
    INK,
    PAPER,
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

WIDTH, SIDE, LABELS, ROW, HALF, SIZE = 480.0, 14.0, 132.0, 19.0, 6.5, 8.0
TOP, FOOT = 8.0, 8.0
ROWS = (
    ("source", "source_cost", "source_share_percent"),
    ("interfaces, processors", "processing_cost", "processing_share_percent"),
    ("amplifiers, fans", "amplification_cost", "amplification_share_percent"),
    ("drivers in front, networks", "front_cost", "front_share_percent"),
    ("bass", "bass_cost", "bass_share_percent"),
    ("drivers behind", "rear_cost", "rear_share_percent"),
    ("cables, fuses", "wiring_cost", "wiring_share_percent"),
    ("consumables", "consumables_cost", "consumables_share_percent"),
    ("labour", "labour_cost", "work_share_percent"),
)
"""Rows from the source to the hands, with the facts of their cost and share."""

Row = tuple[str, Reading, Reading]


def money(engine: Engine) -> Picture | None:
    """Return the picture of cost by part of the chain; None where prices or hours are not known."""
    job = engine.chain.of_kind("job")[0]
    currency = str(engine.chain.system.shop.currency or "")
    rows: list[Row] = []
    for title, cost_fact, share_fact in ROWS:
        cost, share = asked(engine, job, cost_fact), asked(engine, job, share_fact)
        if cost is not None and share is not None and cost.value:
            rows.append((title, cost, share))
    if len(rows) < 2:
        return None
    texts = [_words(cost, share, currency) for _, cost, share in rows]
    limit, starring = _limit(engine)
    told = "; ".join(f"{title} {text}" for (title, *_), text in zip(rows, texts, strict=True))
    alt = clean(f"Cost by part of the chain: {told}.{limit}")
    svg = draw("money", (WIDTH, TOP + len(rows) * ROW + FOOT), alt, lambda axes: _paint(axes, rows, texts))
    caption = f"Cost by part of the chain and its share of the whole; labour is hatched.{limit}"
    readings: list[Reading | None] = [reading for _, *pair in rows for reading in pair]
    return Picture("money", svg, alt, caption + starred([*readings, *starring]))


def _words(cost: Reading, share: Reading, currency: str) -> str:
    star = " *" if "rule of thumb" in (cost.basis, share.basis) else ""
    return f"{with_unit(cost.value, cost.unit)} {currency}, {with_unit(share.value, share.unit)}{star}"


def _limit(engine: Engine) -> tuple[str, list[Reading | None]]:
    """Return the sentence that says which way limits the result, with what it is made of."""
    job = engine.chain.of_kind("job")[0]
    names = ("weakest_way", "weakest_reaches_db", "weak_link_ends_by", "weak_link_db")
    way, reach, end, lost = (asked(engine, job, name) for name in names)
    if way is None or reach is None or end is None or lost is None:
        return "", []
    words = f" What limits the result is the {way.value}: {end.value} ends it at {said(reach)}"
    return f"{words}, where all others have {said(lost)} to spare.", [reach, lost]


def _paint(axes: Axes, rows: list[Row], texts: list[str]) -> None:
    left = SIDE + LABELS
    room = WIDTH - SIDE - left - max(width_of(text, SIZE) for text in texts) - 6
    scale = room / max(float(cost.value) for _, cost, _ in rows)
    for index, ((title, cost, _), text) in enumerate(zip(rows, texts, strict=True)):
        y = TOP + (index + 0.5) * ROW
        end = left + float(cost.value) * scale
        write(axes, (left - 8, y), fitted(title, SIZE, LABELS - 8), SIZE, align="right")
        hatched = title == "labour"
        area(axes, corners(left, y - HALF, end, y + HALF), fill=PAPER if hatched else FILL, edge=INK,
             hatch="////" if hatched else None, width=0.9)  # fmt: skip
        write(axes, (end + 5, y), text, SIZE)
    line(axes, [(left, TOP - 3), (left, TOP + len(rows) * ROW)], width=1.0)
