"""Writes the sheet: Markdown with its pictures beside it, a page that prints on A4, or a file for spreadsheets."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from advisor.judging.review import Review
from advisor.telling.files import write_whole
from advisor.telling.harmless import harmless
from advisor.telling.pages import TEMPLATES, Page
from advisor.telling.sheet.build import build_sheet
from advisor.telling.sheet.cells import Sheet
from advisor.telling.sheet.table_file import sheet_csv

if TYPE_CHECKING:
    from advisor.telling.pictures.canvas import Picture

SUFFIXES = (".md", ".html", ".csv")
BLANK = "________"
BRIEF, LONGEST_WORD = 13, 24


def write_sheets(review: Review, paths: tuple[Path, ...]) -> list[Path]:
    """Write the sheet to each path by its ending; return what was written, pictures beside Markdown included.

    Raises NotWritten; a file that was there before is replaced whole or not at all.
    """
    sheet = build_sheet(review)
    pictures = draw_pictures(review) if any(path.suffix != ".csv" for path in paths) else []
    written: list[Path] = []
    for path in paths:
        if path.suffix == ".csv":
            write_whole(path, sheet_csv(sheet, str(review.system.shop.currency or "")))
            written.append(path)
        elif path.suffix == ".html":
            write_whole(path, sheet_html(sheet, pictures))
            written.append(path)
        else:
            written += sheet_page(sheet, pictures).write((path,))
    return written


def draw_pictures(review: Review) -> list[Picture]:
    """Draw the pictures of the sheet; this loads the drawing library."""
    from advisor.telling.pictures.money import money
    from advisor.telling.pictures.time_plan import time_plan

    drawn = (time_plan(review.engine), money(review.engine))
    return [picture for picture in drawn if picture is not None]


def sheet_page(sheet: Sheet, pictures: list[Picture]) -> Page:
    """Return the sheet as a page of Markdown."""
    return Page("sheet.md.j2", sheet.title, pictures, sheet=sheet, blank=BLANK)


def sheet_html(sheet: Sheet, pictures: list[Picture]) -> str:
    """Return the sheet as one page that needs no network and prints on A4."""
    template = _environment().get_template("sheet.html.j2")
    return template.render(sheet=sheet, pictures={picture.name: picture for picture in pictures})


@functools.cache
def _environment() -> Environment:
    env = Environment(
        loader=FileSystemLoader(TEMPLATES),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    env.filters["harmless"] = lambda text: harmless(str(text))
    env.filters["fit"] = _fit
    return env


def _fit(text: str) -> str:
    """Return how a cell is set: a short one on one line, one with endless words broken anywhere."""
    if any(len(word) > LONGEST_WORD for word in text.split()):
        return "endless"
    return "brief" if len(text) <= BRIEF else "wordy"
