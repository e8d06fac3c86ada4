"""Which file holds an audit in which form, by its ending; each is written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from advisor.catalogue.audit import Audit
from advisor.catalogue.baseline import baseline_text, identity_of
from advisor.catalogue.changes import Change
from advisor.catalogue.matrix import Matrix, matrix_of
from advisor.telling.files import write_pieces, write_whole

Writer = Callable[[Audit, Matrix, "list[Change] | None"], Iterable[str]]


def _markdown(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.page import markdown

    return [markdown(audit, matrix, changes)]


def _html(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.page import html

    return [html(audit, matrix, changes)]


def _json(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.data import json_pieces

    return json_pieces(audit, matrix, changes)


def _csv(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.data import csv_pieces

    return csv_pieces(audit)


def _sarif(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.sarif import sarif_pieces

    return sarif_pieces(audit)


def _junit(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterable[str]:
    from advisor.telling.audit.junit import junit_pieces

    return junit_pieces(audit, matrix)


FORMS: dict[str, Writer] = {
    ".md": _markdown,
    ".html": _html,
    ".json": _json,
    ".csv": _csv,
    ".sarif": _sarif,
    ".xml": _junit,
}
"""By the ending of a file."""


def write_audit(audit: Audit, paths: Iterable[Path], changes: list[Change] | None = None) -> list[Path]:
    """Write an audit to each path, in the form its ending says; return what was written. Raises NotWritten."""
    written = list(paths)
    if written:
        matrix = matrix_of(audit)
        for path in written:
            write_pieces(path, FORMS[path.suffix](audit, matrix, changes))
    return written


def write_baseline(audit: Audit, path: Path) -> None:
    """Write every finding there is now as one that is known. Raises NotWritten."""
    found = {remark.identity for remark in audit.remarks}
    for row in audit.rows():
        found |= {identity_of(row, one) for one in row.noted if one.outcome not in ("waived", "broken")}
    write_whole(path, baseline_text(found))
