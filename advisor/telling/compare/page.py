"""A comparison as a written page, with the chart over the options."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from advisor.telling.compare.compared import Comparison
from advisor.telling.compare.figures import FIGURES
from advisor.telling.compare.text import change_words, found_in, mark_of
from advisor.telling.pages import Page

if TYPE_CHECKING:
    from advisor.telling.pictures.canvas import Picture


def write_comparison(comparison: Comparison, paths: tuple[Path, ...]) -> list[Path]:
    """Write the comparison to each path, as reports are written; return what was written.

    Raises NotWritten.
    """
    return comparison_page(comparison).write(paths)


def comparison_page(comparison: Comparison) -> Page:
    """Return the page of a comparison, its chart drawn."""
    texts = {
        figure.fact: [option.values[index].text for option in comparison.options]
        for index, figure in enumerate(FIGURES)
    }
    return Page(
        "compare.md.j2",
        "Options side by side",
        _chart(comparison),
        comparison=comparison,
        figures=FIGURES,
        texts=texts,
        change_words=change_words,
        found_in=found_in,
        mark_of=mark_of,
    )


def _chart(comparison: Comparison) -> list[Picture]:
    from advisor.telling.pictures.options import Row, options

    rows = []
    for index, figure in enumerate(FIGURES):
        values = [option.values[index] for option in comparison.options]
        numbers = tuple(float(value.reading.value) if value.reading else None for value in values)
        rows.append(Row(figure.name, figure.more, numbers, tuple(value.text for value in values)))
    letters = [option.letter for option in comparison.options]
    drawn = options(rows, letters, [option.review.system.job.job for option in comparison.options])
    return [drawn] if drawn else []
