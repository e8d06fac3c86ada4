"""Waivers: what they excuse, when they no longer do, and that one which meets nothing is told."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.errors import RulebookError
from advisor.judging.review import Review
from tests.facts.jobs import changed, review


def waiver(**other: Any) -> dict[str, Any]:
    sound = {"rule": "way-fits-its-depth", "at": "midwoof left", "reason": "ring spacer", "until": "2027-03-01"}
    return {**sound, "by": "workshop", **other}


def reviewed(folder, *waivers: dict[str, Any], depth_mm: float = 80) -> Review:
    """Review the base with another depth of the midwoofer, and nothing behind it that minds."""
    change = {"ways__midwoof__driver__depth_mm": depth_mm, "ways__midwoof__driver__vented_pole": False}
    change["vehicle__locations__door__window_mm"] = 120
    return review(folder, changed(**change, waive=list(waivers)))


def outcome(result: Review, rule: str, at: str) -> str:
    return next(f.outcome for f in result.findings if f.rule.name == rule and f.subject.name == at)


def test_a_waiver_excuses_one_finding_in_one_place(tmp_path):
    result = reviewed(tmp_path, waiver())
    assert outcome(result, "way-fits-its-depth", "midwoof left") == "waived"
    assert outcome(result, "way-fits-its-depth", "midwoof right") == "falls short"
    assert outcome(result, "waiver-has-not-run-out", "waiver 1") == "holds"
    assert outcome(result, "waiver-meets-a-finding", "waiver 1") == "holds"
    waived = result.of("waived")
    assert [finding.waiver.name for finding in waived] == ["waiver 1"]
    assert waived[0].says == "The midwoof left takes 80 mm behind the panel; door left has 72 mm of free depth."


def test_a_job_with_all_its_findings_waived_does_not_fail(tmp_path):
    result = reviewed(tmp_path, waiver(), waiver(at="midwoof right"))
    assert not result.of("falls short")
    assert not result.fails("cannot tell")


def test_a_waiver_holds_through_its_last_day(tmp_path):
    assert outcome(reviewed(tmp_path, waiver(until="2026-11-25")), "way-fits-its-depth", "midwoof left") == "waived"


def test_a_waiver_that_ran_out_excuses_nothing_and_is_a_finding(tmp_path):
    result = reviewed(tmp_path, waiver(until="2026-11-24"))
    assert outcome(result, "way-fits-its-depth", "midwoof left") == "falls short"
    ran_out = next(f for f in result.of("falls short") if f.rule.name == "waiver-has-not-run-out")
    assert ran_out.says == "The waiver of way-fits-its-depth at midwoof left ran out 1 days ago."
    assert result.fails("must")


def test_a_waiver_that_meets_no_finding_is_a_finding(tmp_path):
    result = reviewed(tmp_path, waiver(), depth_mm=66)
    assert outcome(result, "way-fits-its-depth", "midwoof left") == "holds"
    assert outcome(result, "waiver-meets-a-finding", "waiver 1") == "falls short"
    assert [result.fails(level) for level in ("must", "trade-off", "tip")] == [False, False, True]


def test_doubt_can_be_waived_too(tmp_path):
    data = changed(("ways.midwoof.driver.depth_mm",), waive=[waiver()])
    assert outcome(review(tmp_path, data), "way-fits-its-depth", "midwoof left") == "waived"


@pytest.mark.parametrize(
    ("change", "key", "what", "way_out"),
    [
        ({"rule": "way-fits-its-dept"}, "rule", "there is no rule 'way-fits-its-dept'", "mean 'way-fits-its-depth'?"),
        ({"at": "midwoof lft"}, "at", "nothing in this job is called 'midwoof lft'", "mean 'midwoof left'?"),
        ({"at": "midwoof"}, "", "", ""),  # the way, both sides: known, but no driver
    ],
)
def test_a_waiver_that_names_what_is_not_there_is_refused_where_it_stands(tmp_path, change, key, what, way_out):
    if not key:
        assert outcome(reviewed(tmp_path, waiver(**change)), "waiver-meets-a-finding", "waiver 1") == "falls short"
        return
    with pytest.raises(RulebookError) as caught:
        reviewed(tmp_path, waiver(**change))
    (fault,) = caught.value.faults
    assert (fault.what, fault.where) == (what, f"waive.1.{key}")
    assert way_out in fault.way_out
    lines = (tmp_path / "job.yaml").read_text().splitlines()
    assert lines[fault.line - 1][fault.column - 1 :].strip("'") == change[key]


def test_every_wrong_waiver_is_told_at_once(tmp_path):
    with pytest.raises(RulebookError) as caught:
        reviewed(tmp_path, waiver(rule="no-such-rule"), waiver(at="nowhere"))
    assert [fault.where for fault in caught.value.faults] == ["waive.1.rule", "waive.2.at"]
