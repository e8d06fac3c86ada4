"""Runs the cases of a rule: a sound base job, a small change, and what the rule must then say."""

from __future__ import annotations

import copy
import math
import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from advisor.judging.finding import Finding
from advisor.judging.review import review_job
from advisor.judging.rule import Rule
from advisor.reading.source import read_source
from advisor.shipped import rules_folder

KEYS = ("base", "at", "set", "unset", "expect", "left", "right")
BASE = "base"


@dataclass(frozen=True)
class CaseResult:
    """What a case gave, and what is wrong with that; nothing where it is as expected."""

    finding: Finding | None
    wrong: str


def run_case(rule: Rule, case: dict[str, Any], today: date) -> CaseResult:
    """Patch the case's base job, review it, and compare the rule's finding at the case's place.

    Raises InputError where the patched job cannot be read.
    """
    unknown = set(case) - set(KEYS)
    if unknown or "at" not in case or "expect" not in case:
        return CaseResult(None, f"a case has 'at' and 'expect'; unknown: {', '.join(sorted(unknown)) or 'nothing'}")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "case.yaml")
        path.write_text(yaml.safe_dump(patched(case), allow_unicode=True, sort_keys=False), encoding="utf-8")
        review = review_job(path, "case.yaml", today)
    found = [f for f in review.findings if f.rule.name == rule.name and f.subject.name == case["at"]]
    if not found:
        return CaseResult(None, f"nothing called '{case['at']}' was judged")
    return CaseResult(found[0], _difference(found[0], case))


def patched(case: dict[str, Any]) -> dict[str, Any]:
    """Return the base job of a case with its changes made. Raises KeyError where a place to change is not there."""
    base = rules_folder() / "bases" / f"{case.get('base', BASE)}.yaml"
    data: dict[str, Any] = copy.deepcopy(read_source(base).data)
    for path, value in (case.get("set") or {}).items():
        holder, last = _holder(data, path)
        holder[last] = value
    for path in case.get("unset") or ():
        holder, last = _holder(data, path)
        del holder[last]
    return data


def _holder(data: Any, path: str) -> tuple[Any, Any]:
    *steps, last = path.split(".")
    for step in steps:
        data = data[int(step) if isinstance(data, list) else step]
    return data, int(last) if isinstance(data, list) else last


def _difference(finding: Finding, case: dict[str, Any]) -> str:
    if finding.outcome != case["expect"]:
        return f"expected '{case['expect']}', got '{finding.outcome}' {finding.why_not or finding.measured}"
    for side in ("left", "right"):
        if side in case:
            actual = getattr(finding.measured, side, None)
            if not isinstance(actual, int | float) or not math.isclose(actual, case[side], rel_tol=0.02, abs_tol=0.005):
                return f"expected {side} {case[side]}, got {actual}"
    return ""
