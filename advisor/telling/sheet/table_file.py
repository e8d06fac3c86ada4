"""The sheet for a spreadsheet: one line for each figure, number and unit in columns of their own."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
from advisor.telling.harmless import harmless
from advisor.telling.sheet.cells import NONE_HERE, Cell, Sheet, Table

COLUMNS = ("section", "table", "line", "row", "column", "value", "unit", "words", "rests on", "fact", "not known")
BOM = "\ufeff"
"""Tells spreadsheet programs that what follows is UTF-8."""

FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""What a spreadsheet would work out instead of showing it."""


def sheet_csv(sheet: Sheet, currency: str) -> str:
    """Return the sheet as comma-separated values with decimal points."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in _lines(sheet, currency):
        writer.writerow(line)
    return BOM + text.getvalue()


def as_text(text: str) -> str:
    """Return a text that a spreadsheet shows and does not work out.

    >>> as_text("=1+1"), as_text("front 1 > split left")
    ("'=1+1", 'front 1 > split left')
    """
    text = " ".join(harmless(text).split())
    return f"'{text}" if text.startswith(FORMULA) else text


def _lines(sheet: Sheet, currency: str) -> Iterator[tuple[str, ...]]:
    for cell in sheet.about:
        yield from _cell(("about", "", "", "", ""), cell, currency)
    for warning in sheet.warnings:
        yield _text(("review", "", "", "", ""), warning)
    for section in sheet.sections:
        for words in section.words:
            yield _text((section.heading, "", "", "", ""), words)
        for table in section.tables:
            yield from _table(section.heading, table, currency)


def _table(heading: str, table: Table, currency: str) -> Iterator[tuple[str, ...]]:
    name = ""
    for number, row in enumerate(table.rows, 1):
        name = row[0].text if row[0].text != NONE_HERE else name  # what stands under a name belongs to it
        for index, cell in enumerate(row):
            if index == 0 and not cell.readings and len(row) > 1:
                continue
            place = (heading, table.name, str(number), as_text(name), as_text(table.columns[index]))
            yield from _cell(place, cell, currency)


def _cell(place: tuple[str, ...], cell: Cell, currency: str) -> Iterator[tuple[str, ...]]:
    if cell.missing:
        yield (*place, "", "", as_text(cell.text), "", "", as_text(cell.missing))
    elif cell.to_write:
        yield (*place, "", "", "", "", "", "")
    elif not cell.readings:
        if cell.text != NONE_HERE:
            yield _text(place, cell.text)
        return
    for reading in cell.readings:
        yield (*place, *_value(reading, cell, currency), reading.basis, as_text(reading.name), "")


def _text(place: tuple[str, ...], text: str) -> tuple[str, ...]:
    return (*place, "", "", as_text(text), "", "", "")


def _value(reading: Reading, cell: Cell, currency: str) -> tuple[str, str, str]:
    """Return number, unit and words of a reading: one of number and words is empty."""
    value = reading.value
    if isinstance(value, int | float) and not isinstance(value, bool):
        unit = reading.unit.replace("money", currency)
        return f"{round(value, 6):.15g}", unit, ""
    if isinstance(value, tuple):  # the cell shows one of several
        return "", "", as_text(cell.text)
    return "", "", as_text(with_unit(value, reading.unit))
