"""An audit for test reports: JUnit XML, a suite for each claim, a case for each rule of each line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from advisor.catalogue.audit import Audit
from advisor.catalogue.claims import RULE as HAS_EVERY_PLACE
from advisor.catalogue.matrix import Cell, Matrix
from advisor.catalogue.remarks import SAYS
from advisor.catalogue.row import Noted, Row
from advisor.telling.harmless import harmless

SKIPPED = {
    "-": "nothing here is what the rule is about",
    "does not apply": "does not apply",
    "cannot tell": "cannot be told",
    "too close to call": "too close to call",
    "waived": "waived",
}


def junit_pieces(audit: Audit, matrix: Matrix) -> Iterator[str]:
    """Yield an audit as JUnit XML, the worst claims first."""
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield f"<testsuites name={_attribute('audit of ' + audit.catalogue.name)}>\n"
    yield _catalogue(audit)
    for cell in matrix.worst_first():
        yield _suite(audit, cell)
    yield "</testsuites>\n"


def _suite(audit: Audit, cell: Cell) -> str:
    counted: Counter[str] = Counter()
    cases = [case for row in audit.rows(list(cell.entries)) for case in _cases(audit, row, counted)]
    return _whole(f"{cell.package} in {cell.vehicle}", cases, counted)


def _whole(name: str, cases: list[str], counted: Counter[str]) -> str:
    numbers = {
        "tests": len(cases),
        "failures": counted["failure"],
        "errors": counted["error"],
        "skipped": counted["skipped"],
    }
    told = " ".join(f'{key}="{number}"' for key, number in numbers.items())
    return f" <testsuite name={_attribute(name)} {told}>\n" + "".join(cases) + " </testsuite>\n"


def _cases(audit: Audit, row: Row, counted: Counter[str]) -> Iterator[str]:
    names = list(audit.rules)
    place = ".".join((row.package, row.vehicle, row.customer)) + (f" ({row.choice})" if row.choice else "")
    found: dict[str, list[Noted]] = {}
    for one in row.noted:
        found.setdefault(one.rule, []).append(one)
    yield _case(HAS_EVERY_PLACE, place, "falls short" if HAS_EVERY_PLACE in found else "holds", found, counted)
    outcomes = dict(row.outcomes(names)) if row.rules else {}
    for name in names:
        yield _case(name, place, outcomes.get(name, "-"), found, counted)


def _case(name: str, place: str, outcome: str, found: dict[str, list[Noted]], counted: Counter[str]) -> str:
    head = f"  <testcase classname={_attribute(place)} name={_attribute(name)}"
    if outcome == "holds":
        return f"{head}/>\n"
    said = [
        f"{one.at}: {one.says or one.reason} ({one.place})" for one in found.get(name, ()) if one.outcome == outcome
    ]
    kind = {"falls short": "failure", "broken": "error"}.get(outcome, "skipped")
    counted[kind] += 1
    message = said[0] if said else SKIPPED.get(outcome, outcome)
    if kind == "skipped":
        message = f"{SKIPPED[outcome]}: {message}" if said else message
        return f"{head}><skipped message={_attribute(message)}/></testcase>\n"
    level = next((one.level for one in found.get(name, ())), "must")
    text = escape(harmless_lines(said))
    return f"{head}><{kind} type={_attribute(level)} message={_attribute(message)}>{text}</{kind}></testcase>\n"


def _catalogue(audit: Audit) -> str:
    """Return what is told of the catalogue as a whole: each thing wanted of it is a case."""
    counted: Counter[str] = Counter()
    cases = []
    for rule in dict.fromkeys([*SAYS, *(remark.rule for remark in audit.remarks)]):
        found = [remark for remark in audit.remarks if remark.rule == rule]
        head = f"  <testcase classname={_attribute(audit.catalogue.name)} name={_attribute(rule)}"
        if not found:
            cases.append(f"{head}/>\n")
            continue
        counted["failure"] += 1
        said = escape(harmless_lines([f"{one.says} ({one.place})" for one in found]))
        message = _attribute(found[0].says)
        cases.append(
            f"{head}><failure type={_attribute(found[0].level)} message={message}>{said}</failure></testcase>\n"
        )
    return _whole("the catalogue itself", cases, counted)


def harmless_lines(lines: list[str]) -> str:
    """Return lines of which each holds nothing XML has no place for."""
    return "\n".join(harmless(line) for line in lines)


def _attribute(text: str) -> str:
    return quoteattr(harmless(text))
