"""Which verdicts are looked into: leaving out those far from their limit changes none."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.judging import tolerance
from advisor.judging.judge import Judge
from advisor.judging.review import review_job
from advisor.judging.rule import Comparison, Group
from tests.facts.jobs import BASE, EXAMPLES, TODAY, changed, engine
from tests.judging.test_judge import judged, of_driver


@pytest.mark.parametrize("job", [*EXAMPLES, BASE], ids=lambda path: path.stem)
def test_looking_into_every_verdict_would_change_none(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    quick = review_job(job, today=TODAY)
    monkeypatch.setattr(tolerance, "LOOKED_INTO", 20.0)
    monkeypatch.setattr(tolerance, "CLEAR", float("inf"))
    whole = review_job(job, today=TODAY)
    told = [(f.rule.name, f.subject.name, f.outcome) for f in whole.findings]
    assert [(f.rule.name, f.subject.name, f.outcome) for f in quick.findings] == told
    looked = [sum(bool(f.measured and f.measured.doubt) for f in review.findings) for review in (quick, whole)]
    assert looked[0] < looked[1]


def test_what_a_near_verdict_read_is_what_it_rests_on(tmp_path: Path) -> None:
    """An input turned may lead a fact down another branch; what is read there counts, or an edit would be missed."""
    made = engine(tmp_path, changed())
    rule = of_driver(Comparison("driver.plays_down_to_hz", "<=", "49"))
    judge = Judge(made, {rule.name: rule})
    finding = judge.finding(rule, next(s for s in made.chain.of_kind("driver") if s.name == "midwoof left"))
    assert finding.measured is not None and finding.measured.doubt is not None
    rests_on = judge.rests_on(rule, finding.subject)
    assert {cause.input.reading.key for cause in finding.measured.doubt.causes} <= rests_on


@pytest.mark.parametrize("nested", [False, True])
def test_a_clear_member_decides_without_a_look_at_the_others(tmp_path: Path, nested: bool) -> None:
    made = engine(tmp_path, changed())
    near = Comparison("driver.part.fs_hz", "<=", "60")
    clear = {"any": Comparison("driver.low_edge_hz", "==", "75"), "all": Comparison("driver.low_edge_hz", "==", "74")}
    for kind, outcome in (("any", "holds"), ("all", "falls short")):
        group = Group(kind, (near, clear[kind]))
        check = Group("not", (Group("not", (group,)),)) if nested else group
        finding = judged(made, of_driver(check), "midwoof left")
        assert finding.outcome == outcome
        assert finding.measured is not None and finding.measured.doubt is None
    alone = judged(made, of_driver(Group("any", (near, clear["all"]))), "midwoof left")
    assert alone.outcome == "too close to call"
    assert alone.measured is not None and alone.measured.doubt is not None
