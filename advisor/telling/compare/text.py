"""A comparison for the terminal: a table of figures, then each other option against the first."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.telling.compare.causes import Cause
from advisor.telling.compare.compared import Against, Change, Comparison, Found
from advisor.telling.compare.figures import FIGURES, written
from advisor.telling.harmless import harmless
from advisor.telling.terminal import styled
from advisor.telling.wrapped import wrapped

WIDTH = 100


def comparison_text(comparison: Comparison) -> str:
    """Return a comparison as text."""
    return "\n".join(_lines(comparison)) + "\n"


def _lines(comparison: Comparison) -> Iterator[str]:
    for option in comparison.options:
        yield styled(f"{option.letter}  {option.review.system.job.job}", bold=True)
        yield from wrapped(option.review.system.name, WIDTH, "   ")
        yield from wrapped(option.verdict, WIDTH, "   ")
    yield ""
    yield from _table(comparison)
    for against in comparison.others:
        yield from _against(against)


def _table(comparison: Comparison) -> Iterator[str]:
    columns = [[option.letter, *(value.text for value in option.values)] for option in comparison.options]
    widths = [max(map(len, column)) for column in columns]
    names = ["Figures", *(figure.name for figure in FIGURES)]
    room = max(map(len, names))
    for index, name in enumerate(names):
        cells = "   ".join(column[index].rjust(width) for column, width in zip(columns, widths, strict=True))
        line = f"{name.ljust(room)}   {cells}"
        yield styled(line, bold=True) if index == 0 else harmless(line)


def _against(against: Against) -> Iterator[str]:
    letters = (against.second.letter, against.first.letter)
    yield ""
    yield styled("{} against {}".format(*letters), bold=True)
    if not (against.changes or against.gained or against.lost):
        yield "  No figure and no finding differs."
    for change in against.changes:
        yield from wrapped(change_words(change, against), WIDTH, "  ", "    ")
    for title, entries in found_in(against):
        if entries:
            yield ""
            yield styled(f"  {title}", bold=True)
            for entry in entries:
                yield from wrapped(f"{mark_of(entry)}, {entry.where}, {entry.rule}: {entry.says}", WIDTH, "  ", "    ")


def found_in(against: Against) -> tuple[tuple[str, tuple[Found, ...]], ...]:
    """Return what is found in one of the two alone, each list with its title."""
    one, other = against.first.letter, against.second.letter
    return (
        (f"Found in {other} and not in {one}", against.gained),
        (f"Found in {one} and not in {other}", against.lost),
    )


def mark_of(entry: Found) -> str:
    """Return how a finding is marked: its level where it falls short, else its outcome."""
    return entry.level if entry.outcome == "falls short" else entry.outcome


def change_words(change: Change, against: Against) -> str:
    """Say a figure that differs and why, in one sentence."""
    said = f"{change.figure.name}: {change.second.text} instead of {change.first.text}"
    said += " (better)" if change.better else " (worse)"
    towards = [_cause(cause, against) for cause in change.causes if not cause.against]
    contrary = [_cause(cause, against) for cause in change.causes if cause.against]
    if towards:
        said += f", because {_joined(towards)}"
    if contrary:
        said += f"; against that, {_joined(contrary)}"
    return f"{said[0].upper()}{said[1:]}."


def _joined(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{'; '.join(parts[:-1])}; and {parts[-1]}"


def _cause(cause: Cause, against: Against) -> str:
    if cause.alone is None:
        return cause.words
    return f"{cause.words}, which alone makes it {written(cause.alone, against.first.review)}"
