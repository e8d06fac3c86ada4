"""A review, a derivation and a rule as plain data for other programs."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from advisor.facts.reading import Reading
from advisor.judging.finding import Finding
from advisor.judging.rule import Rule
from advisor.telling.doubt import doubt_data
from advisor.telling.groups import verdict

if TYPE_CHECKING:
    from advisor.judging.remedies import Place, WayOut
    from advisor.judging.review import Review
    from advisor.reading.edits import Edit


def review_data(review: Review, ways: Mapping[Place, WayOut] | None = None) -> dict[str, Any]:
    """Return a review: verdict, counts, and every finding, those that hold by name as well, with ways out found."""
    return {
        "advisor": 1,
        "job": review.system.job.job,
        "file": review.system.name,
        "verdict": verdict(review),
        "counts": dict(review.counts()),
        "findings": [_finding(finding) | _ways_out(finding, ways or {}) for finding in review.findings],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    measured = finding.measured
    data: dict[str, Any] = {
        "rule": finding.rule.name,
        "level": finding.rule.level,
        "outcome": finding.outcome,
        "at": finding.subject.name,
        "place": finding.place,
    }
    if measured:
        data |= {"left": _plain(measured.left), "op": measured.op, "right": _plain(measured.right)}
        data |= {"unit": measured.unit, "margin": measured.margin, "too_close_within": measured.within}
        if measured.doubt:
            data["doubt"] = doubt_data(measured.doubt)
    for key in ("says", "because", "to_customer", "why_not"):
        if getattr(finding, key):
            data[key] = getattr(finding, key)
    facts = [reading.name for reading in finding.readings if reading.kind == "fact"]
    if facts:
        data["facts"] = facts
    if finding.waiver is not None:
        data["waiver"] = finding.waiver.name
    return data


def _ways_out(finding: Finding, ways: Mapping[Place, WayOut]) -> dict[str, Any]:
    way = ways.get((finding.rule.name, finding.subject.key))
    if way is None:
        return {}
    remedies = [
        {
            "says": remedy.says,
            "edits": [_edit(edit) for edit in remedy.edits],
            "costs": remedy.costs,
            "hours": remedy.hours,
            "opens": [_named(one) for one in remedy.opens],
            "clears": [_named(one) for one in remedy.clears],
            "worsens": [_named(one) for one in remedy.worsens],
            "cannot_be_told_then": [_named(one) for one in remedy.unsure],
        }
        for remedy in way.remedies
    ]
    conflict = [_named(one) for one in way.conflict]
    return {"ways_out": remedies, "tried": way.tried} | ({"cannot_hold_together": conflict} if conflict else {})


def _edit(edit: Edit) -> dict[str, Any]:
    path = list(edit.path)
    return {"path": path, "remove": True} if edit.removes else {"path": path, "value": edit.value}


def _named(finding: Finding) -> dict[str, str]:
    return {"rule": finding.rule.name, "level": finding.rule.level, "at": finding.subject.name}


def reading_data(reading: Reading) -> dict[str, Any]:
    """Return a reading with its derivation, down to given values and rules of thumb."""
    data: dict[str, Any] = {
        "name": reading.name,
        "value": _plain(reading.value),
        "unit": reading.unit,
        "basis": reading.basis,
        "kind": reading.kind,
        "place": reading.place,
    }
    if reading.says:
        data["says"] = reading.says
    if reading.source:
        data["source"] = reading.source
    if reading.kind == "fact":
        data["derivation"] = [reading_data(below) for below in reading.inputs]
    return data


def rule_data(rule: Rule) -> dict[str, Any]:
    """Return what a rule asks and why."""
    return {
        "rule": rule.name,
        "about": rule.about,
        "level": rule.level,
        "asks": [f"{c.left} {c.op} {c.right}" for c in rule.comparisons()],
        "when": rule.when,
        "limits": {name: {"value": limit.value, "source": limit.source} for name, limit in rule.limits.items()},
        "because": rule.because,
        "sources": list(rule.sources),
        "cautions": list(rule.cautions),
        "place": rule.origin.place,
    }


def _plain(value: Any) -> Any:
    if isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, date):
        return value.isoformat()
    return "a function" if callable(value) else str(value)
