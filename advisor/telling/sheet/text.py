"""The sheet as plain text for the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from advisor.telling.harmless import harmless
from advisor.telling.sheet.cells import Section, Sheet, Table
from advisor.telling.terminal import styled

WIDTH, GAP, NARROWEST = 110, 2, 8
BLANK = "________"


def sheet_text(sheet: Sheet) -> str:
    """Return the sheet as text, tables set in columns."""
    return "\n".join(_lines(sheet)) + "\n"


def _lines(sheet: Sheet) -> Iterator[str]:
    yield styled(sheet.title, bold=True)
    for cell in sheet.about:
        yield from _wrapped(cell.text)
    for warning in sheet.warnings:
        yield from _wrapped(warning)
    for section in sheet.sections:
        yield ""
        yield styled(section.heading.upper(), bold=True)
        yield from _section(section)


def _section(section: Section) -> Iterator[str]:
    for words in section.words:
        yield from _wrapped(words)
    for table in section.tables:
        yield ""
        yield styled(table.name, underline=True)
        yield from _table(table)
    for missing in section.missing:
        yield from _wrapped(f"Not known: {missing}.")


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(harmless(text), WIDTH, subsequent_indent="  ", break_long_words=False)


def _table(table: Table) -> Iterator[str]:
    rows = [[BLANK if cell.to_write else harmless(cell.text) for cell in row] for row in table.rows]
    heads = [column.strip() for column in table.columns]
    widths = _widths([heads, *rows])
    for index, row in enumerate([heads, *rows]):
        cells = [textwrap.wrap(text, width) or [""] for text, width in zip(row, widths, strict=True)]
        for line in range(max(len(cell) for cell in cells)):
            parts = [
                (cell[line] if line < len(cell) else "").ljust(width) for cell, width in zip(cells, widths, strict=True)
            ]
            yield (" " * GAP).join(parts).rstrip()
        if index == 0:
            yield (" " * GAP).join("-" * width for width in widths)


def _widths(rows: list[list[str]]) -> list[int]:
    """Return how wide each column is: as its widest cell, the widest of them narrowed until the line fits."""
    widths = [max(len(row[index]) for row in rows) for index in range(len(rows[0]))]
    room = WIDTH - GAP * (len(widths) - 1)
    while sum(widths) > room and max(widths) > NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return [max(1, width) for width in widths]
