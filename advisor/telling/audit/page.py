"""An audit as a page: the matrix of packages and vehicles, what is not kept, and what else was found."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from markupsafe import Markup

from advisor.catalogue.audit import Audit
from advisor.catalogue.changes import Change
from advisor.catalogue.matrix import Matrix, suspects
from advisor.catalogue.remarks import SAYS
from advisor.catalogue.row import VERDICTS
from advisor.telling.audit.claims import failing, told_claims
from advisor.telling.audit.words import cell_words, summary
from advisor.telling.harmless import harmless
from advisor.telling.pages import Page, Plain, environment, escaped

TOLD = 200
"""Claims told one by one on a page; the other files hold all."""

NOTE = "In each field the worst line of a claim; margins are shares of the limit, and packages stand worst first."


def markdown(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> str:
    """Return an audit as Markdown."""
    return _page(audit, matrix, changes, Plain("\n".join(_table(matrix)))).markdown("")


def html(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> str:
    """Return an audit as one page that needs no network; its matrix can be sorted and filtered."""
    page = _page(audit, matrix, changes, Plain("matrix-goes-here")).html()
    page = re.sub(r"<h3>(\d+)\. ", r'<h3 id="claim-\1">\1. ', page)
    return page.replace("<p>matrix-goes-here</p>", _matrix(audit, matrix))


def _page(audit: Audit, matrix: Matrix, changes: list[Change] | None, table: Plain) -> Page:
    cells = failing(matrix)
    claims = told_claims(audit, cells, TOLD)
    return Page(
        "audit.md.j2",
        f"Audit of {audit.catalogue.name}",
        (),
        audit=audit,
        summary=summary(audit, matrix),
        changes=changes,
        matrix_note=NOTE,
        table=table,
        failing=len(cells),
        told=sum(len(claim.cells) for claim in claims),
        claims=claims,
        remarks=_remarks(audit),
        suspects=_suspects(audit),
    )


def _remarks(audit: Audit) -> list[dict[str, Any]]:
    rules = dict.fromkeys(remark.rule for remark in audit.remarks)
    return [
        {"rule": rule, "wanted": SAYS.get(rule, ""), "found": [one for one in audit.remarks if one.rule == rule]}
        for rule in rules
    ]


def _suspects(audit: Audit) -> list[dict[str, Any]]:
    found = suspects(audit)
    kinds = dict.fromkeys(one.how for one in found)
    return [{"how": how, "names": [one.rule for one in found if one.how == how]} for how in kinds]


def _table(matrix: Matrix) -> Iterator[str]:
    """Yield the matrix as a table of Markdown."""
    yield "| |" + "".join(f" {escaped(vehicle)} |" for vehicle in matrix.vehicles)
    yield "|---|" + "---|" * len(matrix.vehicles)
    for package in matrix.packages:
        fields = (matrix.cells.get((package, vehicle)) for vehicle in matrix.vehicles)
        words = "".join(f" {escaped(cell_words(cell)) if cell else '–'} |" for cell in fields)
        yield f"| {escaped(package)} |{words}"


def _matrix(audit: Audit, matrix: Matrix) -> str:
    """Return the matrix as a table that a small script of the page sorts and filters."""
    order = {id(cell): number for number, cell in enumerate(matrix.worst_first(), 1)}
    claims = told_claims(audit, failing(matrix), TOLD)
    numbered = {id(cell): claim.number for claim in claims for cell in claim.cells}
    rows = [
        {
            "package": harmless(package),
            "title": harmless(audit.heads[package].title),
            "cells": [
                {
                    "verdict": VERDICTS.index(cell.verdict),
                    "words": harmless(cell_words(cell)),
                    "order": order[id(cell)],
                    "number": numbered.get(id(cell)),
                }
                if cell
                else None
                for cell in (matrix.cells.get((package, vehicle)) for vehicle in matrix.vehicles)
            ],
        }
        for package in matrix.packages
    ]
    template = environment(html=True).get_template("matrix.html.j2")
    vehicles = [harmless(vehicle) for vehicle in matrix.vehicles]
    return str(Markup(template.render(rows=rows, vehicles=vehicles, verdicts=VERDICTS)))
