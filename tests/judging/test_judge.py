"""Outcomes: what holds, falls short, is too close, cannot be told, does not apply, is waived or broken."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact
from advisor.judging.finding import Finding
from advisor.judging.judge import Judge
from advisor.judging.rule import Comparison, Group, Rule
from advisor.judging.rulebook import load_rulebook
from tests.facts.jobs import changed, engine, review, subject, work_out_by

RULES = load_rulebook()
EDGE = RULES["way-reaches-its-low-edge"]


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> Engine:
    return engine(tmp_path_factory.mktemp("sound"), changed())


def found(folder, rule: str, at: str, data) -> Finding:
    return next(f for f in review(folder, data).findings if f.rule.name == rule and f.subject.name == at)


def judged(engine: Engine, rule: Rule, at: str) -> Finding:
    return Judge(engine, {rule.name: rule}).finding(rule, subject(engine.chain, rule.about, at))


def of_driver(check, **other) -> Rule:
    """A rule on drivers that checks nothing but this."""
    texts = {"says": "A.", "because": "B.", "to_customer": "C."}
    return replace(EDGE, **({"name": "made-for-a-test", "when": None, "limits": {}, "check": check} | texts | other))


def test_the_margin_is_by_how_much_it_holds_or_falls_short(sound):
    rule = of_driver(Comparison("driver.low_edge_hz", ">=", "60"))
    holds = judged(sound, rule, "midwoof left")
    assert (holds.outcome, holds.measured.margin, holds.measured.unit) == ("holds", 15, "Hz")
    short = judged(sound, replace(rule, check=Comparison("driver.low_edge_hz", "<=", "60")), "midwoof left")
    assert (short.outcome, short.measured.margin) == ("falls short", -15)


@pytest.mark.parametrize(
    ("fs_hz", "said", "outcome"),
    [
        (50, "datasheet", "holds"),
        (71.5, "datasheet", "too close to call"),  # 8 % are 5.7 Hz
        (78, "datasheet", "too close to call"),
        (82, "datasheet", "falls short"),
        (71.5, "measured", "holds"),  # 2 % are 1.4 Hz
        (78, "measured", "falls short"),
        (66, "datasheet", "holds"),
        (66, "estimated", "too close to call"),  # 20 % are 13.2 Hz
        (86, "estimated", "too close to call"),
        (95, "estimated", "falls short"),
    ],
)
def test_how_near_is_too_near_goes_by_what_the_number_rests_on(tmp_path, fs_hz, said, outcome):
    driver = changed()["ways"]["midwoof"]["driver"] | {"fs_hz": fs_hz, "data": said}
    made = engine(tmp_path, changed(ways__midwoof__driver=driver))
    rule = of_driver(Comparison("driver.part.fs_hz", "<=", "75"))
    assert judged(made, rule, "midwoof left").outcome == outcome
    exact = "holds" if fs_hz <= 75 else "falls short"
    assert judged(made, replace(rule, exact=True), "midwoof left").outcome == exact


def test_what_the_job_decides_is_taken_at_its_word(sound):
    rule = of_driver(Comparison("driver.low_edge_hz", "<=", "74.9"))
    finding = judged(sound, rule, "midwoof left")
    assert (finding.outcome, finding.measured.within) == ("falls short", 0)


def test_cannot_tell_names_what_is_missing_and_where(tmp_path):
    data = changed(("ways.tweeter.driver.fs_hz",))
    finding = found(tmp_path, "tweeter-is-crossed-well-above-its-resonance", "tweeter left", data)
    assert finding.outcome == "cannot tell"
    line = next(
        number
        for number, text in enumerate((tmp_path / "job.yaml").read_text().splitlines(), 1)
        if "type: tweeter" in text
    )
    assert finding.why_not == f"ways.tweeter.driver.fs_hz is not given (job.yaml:{line}:7)"
    assert finding.says == ""


def test_a_missing_price_is_named_in_the_sum_it_is_missing_from(tmp_path):
    finding = found(tmp_path, "job-keeps-to-the-budget", "job", changed(("ways.sub.driver.price",)))
    assert finding.outcome == "cannot tell"
    assert "the price of ways.sub.driver" in finding.why_not


def test_does_not_apply_says_why(tmp_path):
    data = changed()
    by_when = found(tmp_path, "tweeter-is-crossed-well-above-its-resonance", "midwoof left", data)
    assert by_when.outcome == "does not apply"
    assert by_when.why_not == f"only where {by_when.rule.when}"
    undefined = found(tmp_path, "crossover-keeps-to-its-makers-limit", "midwoof left", data)
    assert undefined.outcome == "does not apply"
    assert undefined.why_not == "its maker names no lowest crossover frequency"


def test_findings_come_worst_first(tmp_path):
    small = {"size_in": 4, "depth_mm": 90, "cutout_mm": 99}
    data = changed(("ways.tweeter.driver.fs_hz",), ways__midwoof__driver=small)
    findings = review(tmp_path, data).findings
    order = ["broken", "falls short", "too close to call", "cannot tell", "waived", "holds", "does not apply"]
    places = [order.index(finding.outcome) for finding in findings]
    assert places == sorted(places)
    short = [finding.rule.level for finding in findings if finding.outcome == "falls short"]
    assert short == sorted(short, key=["must", "trade-off", "tip"].index)


# -- broken: a fault of ours is never a verdict ---------------------------------------------------------------


def _failing(driver):
    raise ZeroDivisionError("a slip of ours")


@pytest.mark.parametrize(
    ("compute", "why"),
    [
        (_failing, "ZeroDivisionError: a slip of ours"),
        (lambda driver: float("nan"), "gave nan"),
        (lambda driver: float("inf"), "gave inf"),
        (lambda driver: None, "gave nothing"),
        (lambda driver: driver.part.no_such_word, "no_such_word"),
    ],
)
def test_a_fact_that_fails_breaks_its_rules_and_passes_none(tmp_path, monkeypatch, compute, why):
    work_out_by(monkeypatch, "driver", "plays_down_to_hz", compute)
    result = review(tmp_path, changed())
    about_edges = [f for f in result.findings if f.rule.name == EDGE.name and f.subject.name.startswith("midwoof")]
    assert [finding.outcome for finding in about_edges] == ["broken", "broken"]
    assert why in about_edges[0].why_not
    assert result.fails("must")
    assert result.findings[0].outcome == "broken"


def test_a_name_that_leads_nowhere_is_a_slip_of_ours_not_a_gap_of_the_users(tmp_path, monkeypatch):
    work_out_by(monkeypatch, "driver", "plays_down_to_hz", lambda driver: driver.no_such_word)
    made = engine(tmp_path, changed())
    with pytest.raises(BrokenFact):
        made.ask(*made.find("midwoof left.plays_down_to_hz"))


TEXT_FAULTS = ["{{ left | hz }}", "{{ driver.part.min_ohm | hz }}", "{{ limits.nothing }}", "{{ driver.engine_ }}"]


@pytest.mark.parametrize("text", TEXT_FAULTS)
@pytest.mark.parametrize("key", ["says", "because", "to_customer"])
def test_a_rule_whose_text_cannot_be_written_is_broken_whatever_its_verdict(sound, text, key):
    rule = of_driver(Comparison("driver.mounting", "==", "'a pod'"), **{key: text})
    finding = judged(sound, rule, "midwoof left")
    assert finding.outcome == "broken"
    assert finding.why_not.startswith("its text: ")


@pytest.mark.parametrize(
    ("when", "check"),
    [
        ("driver.low_edge_hz", Comparison("1", "==", "1")),
        (None, Comparison("driver.part", "==", "1")),
        (None, Comparison("driver.mounting", "<=", "3")),
        (None, Comparison("driver.low_edge_hz / 0", "<=", "3")),
        (None, Comparison("driver.mounting * 3", "==", "1")),
        (None, Comparison("3", "in", "driver.low_edge_hz")),
        (None, Comparison("driver.low_edge_hz", "covers", "driver.treatments")),
    ],
)
def test_a_check_that_cannot_be_worked_out_is_broken(sound, when, check):
    finding = judged(sound, of_driver(check, when=when), "midwoof left")
    assert finding.outcome == "broken"
    assert finding.why_not


# -- all, any, not: three-valued ------------------------------------------------------------------------------

MEMBERS = {
    "holds": Comparison("driver.low_edge_hz", "==", "75"),
    "falls short": Comparison("driver.low_edge_hz", "==", "74"),
    "cannot tell": Comparison("driver.part.min_ohm", ">", "1"),  # not written in the base
}
WORD = {True: "holds", False: "falls short", None: "cannot tell"}
PAIRS = list(product(MEMBERS, repeat=2))
TRUTH = {word: truth for truth, word in WORD.items()}


def _kleene(kind: str, truths: tuple) -> bool | None:
    decided = kind == "any"
    if decided in truths:
        return decided
    return None if None in truths else not decided


@pytest.mark.parametrize("kind", ["all", "any"])
@pytest.mark.parametrize("members", PAIRS)
def test_groups_follow_three_valued_logic(sound, kind, members):
    rule = of_driver(Group(kind, tuple(MEMBERS[member] for member in members)))
    wanted = WORD[_kleene(kind, tuple(TRUTH[member] for member in members))]
    assert judged(sound, rule, "midwoof left").outcome == wanted


@pytest.mark.parametrize(
    ("member", "outcome"), [("holds", "falls short"), ("falls short", "holds"), ("cannot tell", "cannot tell")]
)
def test_not_turns_a_verdict_round_and_leaves_doubt_as_it_is(sound, member, outcome):
    assert judged(sound, of_driver(Group("not", (MEMBERS[member],))), "midwoof left").outcome == outcome


@pytest.mark.parametrize("members", PAIRS)
def test_not_all_is_any_not(sound, members):
    inner = tuple(MEMBERS[member] for member in members)
    left = of_driver(Group("not", (Group("all", inner),)))
    right = of_driver(Group("any", tuple(Group("not", (one,)) for one in inner)))
    assert judged(sound, left, "midwoof left").outcome == judged(sound, right, "midwoof left").outcome


def test_not_turns_the_margin_too(sound):
    denied = of_driver(Group("not", (Comparison("driver.low_edge_hz", "<", "100"),)))
    finding = judged(sound, denied, "midwoof left")
    assert finding.outcome == "falls short"
    assert finding.measured.margin < 0


@pytest.mark.parametrize("kind", ["all", "any", "not"])
def test_a_broken_member_breaks_the_group(sound, kind):
    broken = Comparison("driver.low_edge_hz / 0", "<", "1")
    members = (broken,) if kind == "not" else (MEMBERS["holds"], broken, MEMBERS["falls short"])
    assert judged(sound, of_driver(Group(kind, members)), "midwoof left").outcome == "broken"


# -- what counts as failed ------------------------------------------------------------------------------------

FAILS = [
    ({}, {"must": False, "trade-off": False, "tip": False, "cannot tell": False}),
    ({"ways__midwoof__driver__depth_mm": 80}, {"must": True, "trade-off": True, "tip": True, "cannot tell": True}),
    ({"chain__front__fan": "always on"}, {"must": False, "trade-off": True, "tip": True, "cannot tell": True}),
    (
        {"vehicle__locations__dash__airbag": "near"},
        {"must": False, "trade-off": False, "tip": True, "cannot tell": True},
    ),
    (
        {"vehicle__locations__dash__airbag": None},
        {"must": False, "trade-off": False, "tip": False, "cannot tell": True},
    ),
]


@pytest.mark.parametrize(("change", "fails"), FAILS)
def test_a_review_fails_at_the_level_asked_for_and_above(tmp_path, change, fails):
    result = review(tmp_path, changed(**change))
    assert {level: result.fails(level) for level in fails} == fails


def test_a_verdict_too_close_to_call_is_doubt(tmp_path):
    result = review(tmp_path, changed(supply__run_m=6.6))
    assert result.of("too close to call")
    assert not result.of("falls short")
    assert (result.fails("tip"), result.fails("cannot tell")) == (False, True)


def test_a_number_right_at_its_limit_holds(tmp_path):
    bank = {"channels": 1, "watts": {4: 250}, "min_ohm": 3.6, "filters": ["low-pass", "high-pass"]}
    data = changed(ways__sub__driver__impedance_ohm=3.6)
    data["chain"]["low"]["amplifier"]["banks"] = [bank]
    assert found(tmp_path, "load-is-not-under-the-amplifiers-minimum", "low.1", data).outcome == "holds"
