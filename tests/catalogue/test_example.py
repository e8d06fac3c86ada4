"""The example catalogue: every fault that was put in is found where it was put, and nowhere beside it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.catalogue.audit import Audit, audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.row import Row
from advisor.catalogue.store import Store

FOLDER = Path(__file__).parents[2] / "examples" / "catalogue"
LISTED = yaml.safe_load((FOLDER / "seeded.yaml").read_text(encoding="utf-8"))
TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def audited(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """An audit of all that is listed: packages that no fault was put into are left out, for the time they take."""
    catalogue = open_catalogue(FOLDER, "catalogue")
    with Store(tmp_path_factory.mktemp("store")) as store:
        yield audit_catalogue(catalogue, TODAY, store)


def rows(audit: Audit, listed: dict[str, str]) -> list[Row]:
    found = [
        audit.row(entry)
        for entry in audit.entries
        if entry.package == listed["package"] and entry.line.vehicle == listed["vehicle"]
    ]
    chosen = [row for row in found if listed.get("choice", "") in row.choice]
    assert chosen, f"no such line: {listed}"
    return chosen


def named(listed: dict[str, str]) -> str:
    return " ".join(listed[key] for key in ("package", "vehicle", "rule"))


@pytest.mark.parametrize("listed", LISTED["lines"], ids=named)
def test_a_fault_that_was_put_in_is_found(audited: Audit, listed: dict[str, str]) -> None:
    for row in rows(audited, listed):
        assert listed["rule"] in [one.rule for one in row.of(listed["outcome"])]


@pytest.mark.parametrize("listed", LISTED["spared"], ids=named)
def test_its_neighbour_has_no_such_fault(audited: Audit, listed: dict[str, str]) -> None:
    for row in rows(audited, listed):
        assert listed["rule"] not in [one.rule for one in row.of("falls short")]


@pytest.mark.parametrize("listed", LISTED["catalogue"], ids=lambda one: f"{one['rule']} {one['at']}")
def test_what_is_wrong_with_the_catalogue_itself_is_found(audited: Audit, listed: dict[str, str]) -> None:
    assert (listed["rule"], listed["at"]) in [(one.rule, one.at) for one in audited.remarks]


def test_it_is_as_large_as_it_says() -> None:
    catalogue = open_catalogue(FOLDER)
    assert len(catalogue.packages) == 24
    assert len(catalogue.library.vehicles) == 8
    assert len(catalogue.library.parts) == 120


def test_most_of_it_is_sound(audited: Audit) -> None:
    """Faults stand out: a package that nothing was put into can be sold in every vehicle it claims."""
    touched = {one["package"] for one in LISTED["lines"]}
    untouched = [entry for entry in audited.entries if entry.package not in touched]
    assert untouched
    assert {entry.package for entry in untouched if entry.verdict == "must be fixed"} == set()
