"""Every case beside every rule, and what must be true of all rules."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from advisor.chain.kinds import KINDS
from advisor.facts.reading import Reading
from advisor.judging.cases import patched, run_case
from advisor.judging.expressions import condition_names, sentence_names
from advisor.judging.finding import OUTCOMES, Finding
from advisor.judging.formats import FILTERS, with_unit
from advisor.judging.judge import Judge
from advisor.judging.rule import Check, Comparison, Group, Rule
from advisor.judging.rulebook import load_rulebook
from advisor.judging.vocabulary import refusal
from tests.facts.jobs import TODAY, engine, review, subject

RULES = load_rulebook()
CASES = [
    pytest.param(rule, case, id=f"{rule.name}/case {number}")
    for rule in RULES.values()
    for number, case in enumerate(rule.cases, 1)
]
FALLING = [param for param in CASES if param.values[1]["expect"] == "falls short"]
EACH = [pytest.param(rule, id=rule.name) for rule in RULES.values()]


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_case(rule, case):
    assert run_case(rule, case, TODAY).wrong == ""


@pytest.fixture(scope="module")
def judged(tmp_path_factory):
    """Judge the rule of a case at its place, once, however many tests look at it."""
    folder = tmp_path_factory.mktemp("cases")
    kept: dict[str, tuple[Judge, Finding]] = {}

    def of(rule: Rule, case: dict) -> tuple[Judge, Finding]:
        key = f"{rule.name} {rule.cases.index(case)}"
        if key not in kept:
            judge = Judge(engine(folder, patched(case)), RULES)
            if rule.about == "waiver":  # what a waiver met is known after all else was judged
                judge = Judge(review(folder, patched(case)).engine, RULES)
            kept[key] = judge, judge.finding(rule, subject(judge.engine.chain, rule.about, case["at"]))
        return kept[key]

    return of


@pytest.mark.parametrize("rule", EACH)
def test_a_rule_is_named_by_a_plain_phrase(rule):
    assert re.fullmatch(r"[a-z]+(-[a-z]+){2,}", rule.name)


@pytest.mark.parametrize("rule", EACH)
def test_a_rule_has_sources_and_both_kinds_of_case(rule):
    assert rule.sources
    assert all(source.strip() for source in rule.sources)
    assert all(limit.source.strip() not in ("", "None") for limit in rule.limits.values())
    expected = {case["expect"] for case in rule.cases}
    assert {"holds", "falls short"} <= expected <= set(OUTCOMES)


def test_rule_names_stand_once_in_all_files():
    assert [name for name, rule in RULES.items() if name != rule.name] == []
    places = [rule.origin.place for rule in RULES.values()]
    assert len(set(places)) == len(RULES)


@pytest.mark.parametrize("rule", EACH)
def test_every_limit_is_read_by_the_rule(rule):
    texts = [side for comparison in rule.comparisons() for side in (comparison.left, comparison.right)]
    names = [name for text in [*texts, *([rule.when] if rule.when else [])] for name in condition_names(text)]
    names += [name for text in (rule.says, rule.because, rule.to_customer) for name in sentence_names(text)]
    assert {name[1] for name in names if name[0] == "limits"} == set(rule.limits)


@pytest.mark.parametrize("rule", EACH)
def test_levers_name_something_known(rule):
    roots = {kind: kind for kind in KINDS}
    assert rule.levers
    assert [why for lever in rule.levers if (why := refusal(tuple(lever.split(".")), roots))] == []


@pytest.mark.parametrize("rule", EACH)
def test_cautions_are_whole_sentences(rule):
    """A comma in a list that has no quotes cuts a caution in two."""
    for caution in rule.cautions:
        assert caution[0].isupper(), caution
        assert caution.endswith("."), caution


@pytest.mark.parametrize(("rule", "case"), FALLING)
def test_a_failing_case_is_told_in_whole_sentences(rule, case, judged):
    _, finding = judged(rule, case)
    for text in (finding.says, finding.because, finding.to_customer):
        assert len(text.split()) >= 3
        assert text.rstrip("'\"")[-1] in ".?!"
        assert "{{" not in text
        assert "}}" not in text
        assert "None" not in text
        assert "<" not in text.replace("<=", "")


def _always_true(check: Check) -> Check:
    """Put something always true on the right of every comparison."""
    if isinstance(check, Group):
        if check.kind == "not":  # made true by making what it denies false
            return Comparison("true", "==", "true")
        return Group(check.kind, tuple(_always_true(member) for member in check.members))
    right = {"in": f"[{check.left}]", "not in": "[]", "avoids": "[]", "!=": "'no such word'"}.get(check.op, check.left)
    return Comparison(check.left, check.op.rstrip("=") + "=" if check.op in ("<", ">") else check.op, right)


@pytest.mark.parametrize(("rule", "case"), FALLING)
def test_a_failing_case_fails_because_of_the_check(rule, case, judged):
    judge, finding = judged(rule, case)
    toothless = replace(rule, check=_always_true(rule.check), exact=True)
    assert finding.outcome == "falls short"
    assert judge.finding(toothless, finding.subject).outcome == "holds"


NUMBER = re.compile(r"(?<![\w.])−?\d+(?: \d{3})*(?:\.\d+)?")


def _numbers(text: str) -> set[str]:
    return set(NUMBER.findall(text))


def _written(reading_value: object, unit: str) -> set[str]:
    """Every way the filters of rules write a value."""
    if isinstance(reading_value, dict):
        return {token for item in (*reading_value, *reading_value.values()) for token in _written(item, unit)}
    if isinstance(reading_value, tuple | list):
        return {token for item in reading_value for token in _written(item, unit)}
    if isinstance(reading_value, bool) or not isinstance(reading_value, int | float):
        return _numbers(str(reading_value))
    texts = [with_unit(reading_value, unit)]
    texts += [write(reading_value) for name, write in FILTERS.items() if name != "listed"]
    return {token for text in texts for token in _numbers(text)}


def _accounted(finding: Finding) -> set[str]:
    """Numbers a sentence of the finding may hold: what was read, the limits, what a fact's words say."""
    readings: tuple[Reading, ...] = finding.readings
    tokens = {token for reading in readings for token in _written(reading.value, reading.unit)}
    tokens |= {token for reading in readings for token in _numbers(reading.says)}  # "6 dB under its passband"
    for limit in finding.rule.limits.values():
        tokens |= _written(limit.value, "")
    assert finding.measured is not None
    return tokens | _written(finding.measured.left, "") | _written(finding.measured.right, "")


@pytest.mark.parametrize(("rule", "case"), FALLING)
def test_every_number_told_was_read_or_is_a_limit(rule, case, judged):
    judge, finding = judged(rule, case)
    text = finding.says
    for name in sorted((one.name for one in judge.engine.chain.subjects), key=len, reverse=True):
        text = text.replace(name, "")
    assert _numbers(text) - _accounted(finding) == set()
