"""An audit for code scanners: SARIF 2.1.0 (OASIS), what falls short and what is waived, package by package."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from typing import Any
from urllib.parse import quote

import advisor
from advisor.catalogue.audit import Audit, Entry
from advisor.catalogue.baseline import identity_of, place_in
from advisor.catalogue.bench import rulebook_of
from advisor.catalogue.claims import RULE as HAS_EVERY_PLACE
from advisor.catalogue.remarks import SAYS
from advisor.catalogue.row import Noted, Row
from advisor.telling.audit.words import split_place

LEVELS = {"must": "error", "trade-off": "warning", "tip": "note"}
CLAIM = "A vehicle that a package claims has every place and seat the package counts on."


def sarif_pieces(audit: Audit) -> Iterator[str]:
    """Yield an audit as a SARIF log of one run."""
    rules = _rules(audit)
    numbers = {rule["id"]: number for number, rule in enumerate(rules)}
    driver = {"name": "advisor", "version": advisor.__version__, "rules": rules}
    head = {"version": "2.1.0", "runs": []}
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints"}
    yield json.dumps(head, indent=1).removesuffix("[]\n}") + "[{"
    yield json.dumps(run, indent=1, ensure_ascii=False).removeprefix("{").removesuffix("\n}") + ',\n "results": ['
    for number, result in enumerate(_results(audit, numbers)):
        yield f"{',' if number else ''}\n  {json.dumps(result, ensure_ascii=False, allow_nan=False)}"
    yield "\n ]\n}]}\n"


def _rules(audit: Audit) -> list[dict[str, Any]]:
    rulebook = rulebook_of(audit.catalogue)
    found = [_rule(name, rule.level, rule.because, "; ".join(rule.sources)) for name, rule in rulebook.items()]
    found.append(_rule(HAS_EVERY_PLACE, "must", CLAIM, ""))
    levels = {remark.rule: remark.level for remark in audit.remarks}
    return found + [_rule(name, levels.get(name, "tip"), says, "") for name, says in SAYS.items()]


def _rule(name: str, level: str, because: str, sources: str) -> dict[str, Any]:
    rule: dict[str, Any] = {
        "id": name,
        "shortDescription": {"text": name.replace("-", " ")},
        "defaultConfiguration": {"level": LEVELS[level]},
    }
    if "{" not in because:  # a reason with numbers in it is told with each finding
        rule["fullDescription"] = {"text": " ".join(because.split())}
    if sources:
        rule["help"] = {"text": f"Source: {sources}"}
    return rule


def _results(audit: Audit, numbers: dict[str, int]) -> Iterator[dict[str, Any]]:
    for remark in audit.remarks:
        known = remark.identity in audit.baseline.known
        where = (f"catalogue / {remark.at}", remark.place)
        yield _result(audit, numbers, (remark.rule, remark.level, remark.says), where, remark.identity, known=known)
    for _, entries in _by_package(audit.entries):
        yield from _of_package(audit, numbers, entries)


def _of_package(audit: Audit, numbers: dict[str, int], entries: list[Entry]) -> Iterator[dict[str, Any]]:
    """Yield a package's findings; one that is the same for several customers or choices is told once."""
    told: set[tuple[str, ...]] = set()
    for row in audit.rows(entries):
        for one in row.noted:
            same = (one.rule, one.at, row.vehicle, one.operand, one.says, one.outcome)
            if one.outcome not in ("falls short", "waived") or same in told:
                continue
            told.add(same)
            yield _finding(audit, numbers, row, one)


def _finding(audit: Audit, numbers: dict[str, int], row: Row, one: Noted) -> dict[str, Any]:
    own = identity_of(row, one)
    what = (one.rule, one.level, one.says or one.reason)
    result = _result(audit, numbers, what, (place_in(row, one.at), one.place), own, known=own in audit.baseline.known)
    result["properties"] = {"package": row.package, "vehicle": row.vehicle, "customer": row.customer}
    if row.settled:
        result["properties"]["choice"] = row.choice
    if one.margin is not None:
        result["properties"] |= {"margin": one.margin, "unit": one.unit}
    if one.outcome == "waived":
        result["suppressions"] = [{"kind": "inSource", "status": "accepted", "justification": one.reason}]
    return result


def _result(
    audit: Audit,
    numbers: dict[str, int],
    what: tuple[str, str, str],
    where: tuple[str, str],
    own: str,
    *,
    known: bool,
) -> dict[str, Any]:
    (rule, level, says), (logical, place) = what, where
    file, line, column = split_place(place)
    result: dict[str, Any] = {
        "ruleId": rule,
        "ruleIndex": numbers[rule],
        "level": LEVELS[level],
        "message": {"text": says},
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": quote(file)},
                    "region": {"startLine": line, "startColumn": column},
                },
                "logicalLocations": [{"fullyQualifiedName": logical}],
            }
        ],
        "partialFingerprints": {"ruleAndPlace/v1": hashlib.sha256(own.encode()).hexdigest()},
    }
    if audit.baseline.known:
        result["baselineState"] = "unchanged" if known else "new"
    return result


def _by_package(entries: Iterable[Entry]) -> Iterator[tuple[str, list[Entry]]]:
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.package, []).append(entry)
    yield from found.items()
