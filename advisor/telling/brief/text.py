"""A brief for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.telling.brief.brief import Brief
from advisor.telling.harmless import harmless
from advisor.telling.terminal import styled
from advisor.telling.wrapped import wrapped

WIDTH = 88


def brief_text(brief: Brief) -> str:
    """Return a brief as text."""
    return "\n".join(_lines(brief)) + "\n"


def _lines(brief: Brief) -> Iterator[str]:
    yield styled(harmless(" ".join(brief.title.split())), bold=True)
    for section in brief.sections:
        yield ""
        yield styled(section.heading, bold=True)
        for paragraph in section.paragraphs:
            yield from wrapped(paragraph, WIDTH)
        for point in section.points:
            yield from wrapped(point, WIDTH, "- ")
        room = max((len(name) for name, _ in section.amounts), default=0)
        wide = max((len(amount) for _, amount in section.amounts), default=0)
        for name, amount in section.amounts:
            yield harmless(f"{name.ljust(room)}  {amount.rjust(wide)}")
