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
from advisor.telling.audit.claims import Claim, failing, told_claims
from advisor.telling.audit.fields import LEGEND, SIGNS, Field, fields_of
from advisor.telling.audit.words import summary
from advisor.telling.harmless import harmless
from advisor.telling.pages import Page, Plain, environment, escaped

TOLD = 200
"""Claims told one by one on a page; the other files hold all."""

NOTE = (
    "A field tells the worst line of a claim: how many findings make it, left and right counted once, and which rule "
    "is missed most or kept most narrowly, by what share of its limit. A dash: not claimed. Packages stand worst first."
)


def markdown(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> str:
    """Return an audit as Markdown."""
    claims = told_claims(audit, failing(matrix), TOLD)
    table = Plain("\n".join(_table(matrix, _fields(audit, matrix))))
    return _page(audit, matrix, changes, table, claims).markdown("")


def html(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> str:
    """Return an audit as one page that needs no network; its matrix can be sorted and filtered."""
    claims = told_claims(audit, failing(matrix), TOLD)
    page = _page(audit, matrix, changes, Plain("matrix-goes-here"), claims).html()
    page = re.sub(r"<h3>(\d+)\. ", r'<h3 id="claim-\1">\1. ', page)
    return page.replace("<p>matrix-goes-here</p>", _matrix(audit, matrix, claims))


def _page(audit: Audit, matrix: Matrix, changes: list[Change] | None, table: Plain, claims: list[Claim]) -> Page:
    return Page(
        "audit.md.j2",
        f"Audit of {audit.catalogue.name}",
        (),
        audit=audit,
        summary=summary(audit, matrix),
        changes=changes,
        matrix_note=NOTE,
        legend=[(SIGNS[verdict], verdict, LEGEND[verdict]) for verdict in matrix.counts()],
        table=table,
        failing=len(failing(matrix)),
        told=sum(len(claim.cells) for claim in claims),
        claims=claims,
        remarks=_remarks(audit),
        suspects=_suspects(audit),
    )


def _fields(audit: Audit, matrix: Matrix) -> dict[tuple[str, str], Field]:
    return {(field.cell.package, field.cell.vehicle): field for field in fields_of(audit, matrix)}


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


def _table(matrix: Matrix, fields: dict[tuple[str, str], Field]) -> Iterator[str]:
    """Yield the matrix as a table of Markdown."""
    yield "| |" + "".join(f" {escaped(vehicle)} |" for vehicle in matrix.vehicles)
    yield "|---|" + "---|" * len(matrix.vehicles)
    for package in matrix.packages:
        found = (fields.get((package, vehicle)) for vehicle in matrix.vehicles)
        words = "".join(f" {escaped(f'{field.sign} {field.words}') if field else '–'} |" for field in found)
        yield f"| {escaped(package)} |{words}"


def _matrix(audit: Audit, matrix: Matrix, claims: list[Claim]) -> str:
    """Return the matrix as a table that a small script of the page sorts and filters."""
    order = {id(cell): number for number, cell in enumerate(matrix.worst_first(), 1)}
    numbered = {id(cell): claim.number for claim in claims for cell in claim.cells}
    fields = _fields(audit, matrix)
    rows = [
        {
            "package": harmless(package),
            "title": harmless(audit.heads[package].title),
            "cells": [
                {
                    "rank": VERDICTS.index(field.cell.verdict),
                    "sign": field.sign,
                    "verdict": field.verdict,
                    "worst": harmless(field.worst).replace(" %", "\u00a0%"),
                    "sold": field.sold,
                    "order": order[id(field.cell)],
                    "number": numbered.get(id(field.cell)),
                }
                if field
                else None
                for field in (fields.get((package, vehicle)) for vehicle in matrix.vehicles)
            ],
        }
        for package in matrix.packages
    ]
    template = environment(html=True).get_template("matrix.html.j2")
    vehicles = [harmless(vehicle) for vehicle in matrix.vehicles]
    verdicts = [(VERDICTS.index(verdict), verdict) for verdict in matrix.counts()]
    return str(Markup(template.render(rows=rows, vehicles=vehicles, verdicts=verdicts)))
