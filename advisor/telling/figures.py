"""The tables of a report: the figures of the design, each named so that `advisor why` can be asked for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.formats import with_unit
from advisor.judging.review import Review

TABLES: dict[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "Drivers": (
        "driver",
        (
            ("low_edge_hz", "asked from"),
            ("high_edge_hz", "asked to"),
            ("plays_down_to_hz", "6 dB down at"),
            ("box_q", "Q as mounted"),
            ("sensitivity_1w_db", "level for 1 W"),
            ("arrival_ms", "arrives after"),
            ("delay_to_set_ms", "delay to set"),
            ("trim_to_set_db", "level to set"),
            ("polarity_to_set", "polarity to set"),
        ),
    ),
    "Channels": (
        "channel",
        (
            ("load_ohm", "rated load"),
            ("lowest_load_ohm", "lowest load"),
            ("allowed_ohm", "lowest allowed"),
            ("watts", "watts into it"),
            ("driven_w", "drivers take"),
            ("sensitivity_to_set_v", "full output set to"),
        ),
    ),
    "Amplifiers": (
        "amplifier",
        (
            ("current_a", "draws with loud music"),
            ("peak_current_a", "draws at rated power"),
            ("dissipation_w", "heat with loud music"),
            ("sink_c", "case on a hot day"),
            ("thermal_margin_k", "below its cut-out"),
        ),
    ),
    "Supply": (
        "supply",
        (
            ("section_mm2", "section"),
            ("planned_fuse_a", "fuse as planned"),
            ("loop_mohm", "cable, there and back"),
            ("drop_v", "lost when warm, all at rated power"),
            ("ampacity_a", "cable carries for good"),
            ("smallest_cable_mm2", "thinnest cable that does"),
            ("main_fuse_a", "fuse for the load"),
            ("largest_fuse_a", "largest fuse for the cable"),
            ("idle_reserve_a", "left at idle with loud music"),
            ("parked_days", "stands parked"),
        ),
    ),
    "Cables": (
        "cable",
        (
            ("comes_from", "from"),
            ("section_mm2", "section"),
            ("length_m", "length"),
            ("loop_mohm", "there and back"),
            ("drop_v", "lost at rated power"),
            ("loss_db", "level lost"),
        ),
    ),
    "Money and time": (
        "job",
        (
            ("parts_cost", "parts"),
            ("consumables_cost", "consumables"),
            ("labour_h", "labour"),
            ("labour_days", "working days"),
            ("total_cost", "all together"),
        ),
    ),
}
"""Heading: kind of subject, and its facts with what a column is called."""


@dataclass(frozen=True)
class Cell:
    """One figure of a table: its text, and the reading behind it (none where it cannot be told)."""

    text: str
    reading: Reading | None


@dataclass(frozen=True)
class Table:
    """A table of figures; `names` are the facts of its columns."""

    heading: str
    columns: tuple[str, ...]
    names: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


def tables(review: Review, told: Mapping[int, Cell] | None = None) -> list[Table]:
    """Return the tables that have anything in them; `told` are cells of a review before, by identity of readings."""
    currency, known = str(review.system.shop.currency or ""), told or {}
    found = []
    for heading, (kind, columns) in TABLES.items():
        subjects = [s for s in review.chain.of_kind(kind) if kind != "channel" or s.ties["drivers"]]
        names = tuple(name for name, _ in columns)
        rows = [(s.name, tuple([_cell(review.engine, s, name, currency, known) for name in names])) for s in subjects]
        rows = [row for row in rows if any(cell.reading for cell in row[1])]
        if rows:
            found.append(Table(heading, tuple(title for _, title in columns), names, tuple(rows)))
    return found


def _cell(engine: Engine, subject: Subject, name: str, currency: str, told: Mapping[int, Cell]) -> Cell:
    try:
        reading = engine.ask(subject, name)
    except NotDefined:
        return Cell("–", None)
    except Missing:
        return Cell("not known", None)
    except BrokenFact:
        return Cell("broken", None)
    known = told.get(id(reading))  # a cell keeps its reading, so that no other is taken for it
    if known is not None and reading.unit != "money":  # the currency is the shop's
        return known
    text = with_unit(reading.value, reading.unit)
    if reading.unit == "money":
        text = f"{text.removesuffix(' money')} {currency}"
    return Cell(text + (" *" if reading.basis == "rule of thumb" else ""), reading)
