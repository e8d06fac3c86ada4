"""An audit as JSON and CSV, written line by line."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import Any

import advisor
from advisor.catalogue.audit import Audit
from advisor.catalogue.baseline import identity_of
from advisor.catalogue.changes import Change
from advisor.catalogue.matrix import Matrix, suspects
from advisor.catalogue.row import Noted, Row

COLUMNS = (
    "package", "choice", "customer", "vehicle", "verdict", "margin_percent", "must", "trade_off", "tip",
    "too_close_to_call", "cannot_tell", "waived", "worst_rule", "worst_at", "says", "place",
)  # fmt: skip


def json_pieces(audit: Audit, matrix: Matrix, changes: list[Change] | None) -> Iterator[str]:
    """Yield an audit as JSON: what is told of all, then every line from the worst."""
    head: dict[str, Any] = {
        "advisor": 1,
        "version": advisor.__version__,
        "catalogue": audit.catalogue.name,
        "packages": list(matrix.packages),
        "vehicles": list(matrix.vehicles),
        "counts": matrix.counts(),
        "claims": [
            {
                "package": cell.package,
                "vehicle": cell.vehicle,
                "verdict": cell.verdict,
                "margin_share": cell.worst.share,
                "lines": len(cell.entries),
                "can_be_sold": cell.good,
            }
            for cell in matrix.worst_first()
        ],
        "remarks": [
            {"rule": one.rule, "level": one.level, "at": one.at, "says": one.says, "place": one.place}
            | ({"known": True} if one.identity in audit.baseline.known else {})
            for one in audit.remarks
        ],
        "suspect_rules": [
            {"rule": one.rule, "level": one.level, "how": one.how, "lines": one.lines} for one in suspects(audit)
        ],
    }
    if changes is not None:
        head["changes"] = [_change(change) for change in changes]
    text = json.dumps(head, indent=1, ensure_ascii=False, allow_nan=False)
    yield text.removesuffix("\n}") + ',\n "lines": ['
    names = list(audit.rules)
    for number, row in enumerate(audit.rows()):
        line = json.dumps(_row(audit, row, names), ensure_ascii=False, allow_nan=False)
        yield f"{',' if number else ''}\n  {line}"
    yield "\n ]\n}\n"


def _row(audit: Audit, row: Row, names: list[str]) -> dict[str, Any]:
    return {
        "package": row.package,
        "choice": dict(row.settled),
        "customer": row.customer,
        "vehicle": row.vehicle,
        "verdict": row.verdict,
        "margin_share": row.worst.share if row.worst else None,
        "worst": _noted(row.worst) if row.worst else None,
        "findings": [
            _noted(one) | ({"known": True} if identity_of(row, one) in audit.baseline.known else {})
            for one in row.noted
        ],
        "rules": dict(row.outcomes(names)) if row.rules else {},
        "figures": dict(row.figures),
    }


def _noted(one: Noted) -> dict[str, Any]:
    data: dict[str, Any] = {
        "rule": one.rule,
        "level": one.level,
        "outcome": one.outcome,
        "at": one.at,
        "says": one.says,
        "place": one.place,
    }
    if one.op:
        data |= {"left": one.left, "op": one.op, "right": one.right, "unit": one.unit, "margin": one.margin}
    return data | ({"waived": one.reason} if one.reason else {})


def _change(change: Change) -> dict[str, Any]:
    return {
        "package": change.package,
        "choice": change.choice,
        "customer": change.customer,
        "vehicle": change.vehicle,
        "before": change.before,
        "after": change.after,
        "worse": list(change.worse),
        "better": list(change.better),
    }


def csv_pieces(audit: Audit) -> Iterator[str]:
    """Yield an audit as CSV with a line for each line of it, from the worst."""
    yield _csv(COLUMNS)
    for row in audit.rows():
        worst = row.worst
        decided = worst is not None and worst.outcome == "falls short"
        first = worst if decided else next(iter(row.of("falls short", "must")), worst)
        share = "" if worst is None or worst.share is None else round(worst.share * 100, 2)
        counts = [len(row.of("falls short", level)) for level in ("must", "trade-off", "tip")]
        counts += [len(row.of(outcome)) for outcome in ("too close to call", "cannot tell", "waived")]
        told = (first.rule, first.at, first.says, first.place) if first else ("", "", "", row.place)
        yield _csv((row.package, row.choice, row.customer, row.vehicle, row.verdict, share, *counts, *told))


def _csv(values: tuple[Any, ...]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerow([_harmless(value) for value in values])
    return text.getvalue()


def _harmless(value: Any) -> Any:
    """A text that a spreadsheet would take for a formula is marked as text."""
    return f"'{value}" if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r") else value
