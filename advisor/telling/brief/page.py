"""A brief as a written page, with pictures a lay person reads at once."""

from __future__ import annotations

from pathlib import Path

from advisor.judging.review import Review
from advisor.telling.brief.brief import brief
from advisor.telling.brief.drawn import draw_pictures
from advisor.telling.pages import Page


def write_brief(review: Review, other: Review | None, paths: tuple[Path, ...]) -> list[Path]:
    """Write the brief to each path, as reports are written; return what was written.

    Raises NotWritten.
    """
    return brief_page(review, other).write(paths)


def brief_page(review: Review, other: Review | None = None) -> Page:
    """Return the page of a brief, its pictures drawn."""
    told = brief(review, other)
    return Page("brief.md.j2", told.title, draw_pictures(review, other), scrolled=False, brief=told)
