"""What the rulebook refuses when it loads, each with its place."""

from __future__ import annotations

import copy
from typing import Any

import pytest
import yaml

from advisor.errors import RulebookError
from advisor.judging import expressions, rulebook
from advisor.judging.rule import Comparison, Group
from advisor.judging.rulebook import load_rulebook

SOUND: dict[str, Any] = {
    "rule": "edge-is-high-enough",
    "about": "driver",
    "level": "must",
    "when": "driver.has_low_edge",
    "check": {"left": "driver.low_edge_hz", "op": ">=", "right": "limits.least * 2"},
    "limits": {"least": {"value": 50, "source": "common practice"}},
    "says": "The {{ driver }} plays from {{ left | hz }}.",
    "because": "It is asked to.",
    "to_customer": "It plays too low.",
    "levers": ["driver.low_edge_hz"],
    "sources": ["common practice"],
    "cases": [{"at": "midwoof left", "expect": "holds"}, {"at": "sub", "expect": "falls short"}],
}


@pytest.fixture
def load(tmp_path, monkeypatch):
    """Load a folder of rules that holds the given ones."""
    monkeypatch.setattr(rulebook, "rules_folder", lambda: tmp_path)

    def of(*rules: dict[str, Any], text: str | None = None):
        body = text if text is not None else yaml.safe_dump({"rules": list(rules)}, sort_keys=False, width=200)
        (tmp_path / "own.yaml").write_text(body, encoding="utf-8")
        return rulebook.load_rulebook()

    return of


def with_(path: str, value: Any) -> dict[str, Any]:
    rule = copy.deepcopy(SOUND)
    holder: Any = rule
    *steps, last = path.split(".")
    for step in steps:
        holder = holder[step]
    holder[last] = value
    return rule


def without(key: str) -> dict[str, Any]:
    return {name: value for name, value in SOUND.items() if name != key}


def refused(load, *rules: dict[str, Any]) -> list[str]:
    with pytest.raises(RulebookError) as caught:
        load(*rules)
    assert caught.value.exit_code == 2
    return [str(fault).splitlines()[0] for fault in caught.value.faults]


def line_of(rule: dict[str, Any], key: str) -> int:
    """The line a key of a lone rule stands in: `rules:` is the first, the rule begins in the second."""
    lines = yaml.safe_dump({"rules": [rule]}, sort_keys=False, width=200).splitlines()
    return next(number for number, line in enumerate(lines, 1) if line.lstrip(" -").startswith(f"{key}:"))


def test_a_sound_rule_loads(load):
    rule = load(SOUND)["edge-is-high-enough"]
    assert rule.check == Comparison("driver.low_edge_hz", ">=", "limits.least * 2")
    assert rule.limits["least"].value == 50
    assert not rule.exact
    assert rule.origin.place == "rules/own.yaml:2:3"


def test_tolerance_none_makes_a_rule_exact(load):
    assert load(with_("tolerance", "none"))["edge-is-high-enough"].exact


def test_groups_load_as_groups(load):
    less = {"left": "driver.low_edge_hz", "op": "<", "right": 10}
    rule = load(with_("check", {"all": [{"not": less}, {"any": [less, less]}]}))["edge-is-high-enough"]
    one = Comparison("driver.low_edge_hz", "<", "10")
    assert rule.check == Group("all", (Group("not", (one,)), Group("any", (one, one))))
    assert list(rule.comparisons()) == [one, one, one]


MISTAKES = [
    # what is written, the key whose line is blamed, what is said, what is proposed
    ("sayz", "x", "sayz", "unknown key 'sayz'", "did you mean 'says'?"),
    ("check.op", "=<", "op", "'=<' is no operator", "did you mean"),
    ("check.op", "is", "op", "'is' is no operator", "one of <=, >="),
    ("check.left", "driver.low_edge", "left", "'driver' has no 'low_edge'", "did you mean 'low_edge_hz'?"),
    ("check.left", "driver.part.fs", "left", "'driver.part' has no 'fs'", ""),
    ("check.left", "driver.part.fs_khz", "left", "'driver.part' has no 'fs_khz'", "did you mean 'fs_hz'?"),
    ("check.left", "drivr.low_edge_hz", "left", "'drivr' is not known here", "did you mean 'driver'?"),
    ("check.left", "channel.load_ohm", "left", "'channel' is not known here", "there is driver, limits"),
    ("check.right", "limits.leest", "right", "there is no limit 'leest'", "did you mean 'least'?"),
    ("when", "driver.has_low_egde", "when", "'driver' has no 'has_low_egde'", "did you mean 'has_low_edge'?"),
    ("says", "{{ driver.is_tweter }}", "says", "'driver' has no 'is_tweter'", "did you mean 'is_tweeter'?"),
    ("because", "{{ right | herz }}", "because", "uses the filter 'herz'", "there is a, c, days"),
    ("says", "{{ limits.most }}", "says", "there is no limit 'most'", ""),
    ("level", "should", "level", "'should' is no level", "one of must, trade-off, tip"),
    ("about", "drivr", "about", "nothing is called 'drivr'", "did you mean 'driver'?"),
    ("tolerance", "small", "tolerance", "'tolerance' can only be none", "leave it out"),
    ("limits.least", {"value": 50}, "least", "a limit has exactly 'value' and 'source'", ""),
    ("limits.least", {"value": "50 Hz", "source": "x"}, "value", "the value of a limit is a number", ""),
    ("limits.least", {"value": True, "source": "x"}, "value", "the value of a limit is a number", ""),
    ("limits", [50], "limits", "'limits' maps names to value and source", ""),
    ("check", 5, "check", "a check is left, op and right", ""),
    ("check", {"either": []}, "check", "a check is left, op and right", ""),
    ("check", {"left": "1", "op": "<="}, "check", "a check is left, op and right", ""),
    ("levers", "driver.part", "levers", "'levers' is a list of texts", ""),
    ("sources", "common practice", "sources", "'sources' is a list of texts", ""),
    ("cases", ["holds"], "cases", "'cases' is a list of mappings", ""),
    ("says", 12, "says", "'says' is not a text", "put it in quotes"),
]


@pytest.mark.parametrize(("path", "value", "blamed", "what", "way_out"), MISTAKES)
def test_a_mistake_is_refused_where_it_stands(load, path, value, blamed, what, way_out):
    rule = with_(path, value)
    told = [fault for fault in refused(load, rule) if what in fault]
    assert len(told) == 1
    assert way_out in told[0]
    place, line, column = told[0].split(" ")[0].rstrip(":").rsplit(":", 2)
    assert place == "rules/own.yaml"
    blamed_line = line_of(rule, blamed)
    assert int(line) in (blamed_line, blamed_line + 1)  # a mapping or list begins below its key
    assert int(column) >= 3


@pytest.mark.parametrize("key", ["rule", "about", "level", "check", "says", "because", "to_customer", "sources"])
def test_a_rule_that_lacks_a_key_is_refused(load, key):
    assert refused(load, without(key)) == [f"rules/own.yaml:2:3: rules.1: a rule needs '{key}'; see `advisor new rule`"]


@pytest.mark.parametrize("empty", [None, "", []])
def test_an_empty_list_of_sources_is_none(load, empty):
    assert "a rule needs 'sources'" in refused(load, with_("sources", empty))[0]


@pytest.mark.parametrize("shown", ["holds", "falls short"])
def test_a_rule_nobody_saw_at_work_is_refused(load, shown):
    missing = {"holds": "falls short", "falls short": "holds"}[shown]
    faults = refused(load, with_("cases", [{"at": "sub", "expect": shown}]))
    assert [f"no case shows where the rule {missing}" in fault for fault in faults] == [True]


FORBIDDEN = [
    ("driver.low_edge_hz()", "calls"),
    ("range(9)", "calls"),
    ("driver.low_edge_hz | hz", "filters"),
    ("driver.low_edge_hz | attr('subject_')", "filters"),
    ("2 ** 3", "pows"),
    ("driver.__class__", "'driver' has no '__class__'"),
    ("driver.engine_", "'driver' has no 'engine_'"),
    ("driver.part.__init__", "'driver.part' has no '__init__'"),
    ("driver.way.from_", "'driver.way' has no 'from_'"),
    ("driver['low_edge_hz']", "getitems"),
    ("driver.way.plays[0]", "getitems"),
    ("driver.low_edge_hz ~ 'x'", "concats"),
    ("driver.low_edge_hz // 2", "floordivs"),
    ("driver.low_edge_hz % 2", "mods"),
    ("driver.low_edge_hz is defined", "tests"),
    ("{'a': 1}", "dicts"),
    ("(1, 2)", "tuples"),
    ("(driver.low_edge_hz + 1).real", "attribute of what has no name"),
    ("1 }} {{ 2", "is not one condition"),
    ("1 }}{% set x = 1 %}{{ x", "is not one condition"),
    ("1 +", "is not a condition"),
]


@pytest.mark.parametrize(("text", "why"), FORBIDDEN)
@pytest.mark.parametrize("path", ["check.left", "when"])
def test_a_condition_says_only_what_a_condition_may(load, path, text, why):
    faults = refused(load, with_(path, text))
    assert len(faults) == 1
    assert why in faults[0]
    assert faults[0].startswith(f"rules/own.yaml:{line_of(with_(path, text), path.rpartition('.')[2])}:")


@pytest.mark.parametrize(
    "text",
    [
        "{% for x in [1] %}{{ x }}{% endfor %}",
        "{% set x = 1 %}",
        "{% include 'x' %}",
        "{% macro m() %}{% endmacro %}",
        "{{ driver.low_edge_hz() }}",
        "{{ driver.__class__ }}",
        "{{ driver['x'] }}",
        "{{ 2 ** 9 }}",
        "{{ left | upper }}",
        "{{ left",
    ],
)
def test_a_sentence_says_only_what_a_sentence_may(load, text):
    assert len(refused(load, with_("says", text))) == 1


def test_all_mistakes_of_all_rules_are_told_at_once(load):
    first = {**with_("level", "should"), "rule": "first-of-all"}
    second = {**with_("check.op", "=<"), "rule": "second-of-all"}
    faults = refused(load, first, second)
    assert ["'should'" in faults[0], "'=<'" in faults[1]] == [True, True]


def test_a_rule_written_twice_is_refused(load):
    assert "the rule 'edge-is-high-enough' is also at rules/own.yaml:2:3" in refused(load, SOUND, SOUND)[0]


@pytest.mark.parametrize("text", ["rules: {}", "rule: []", "rules: []\nmore: 1", "- 1"])
def test_a_file_of_rules_holds_a_list_of_rules(load, text):
    with pytest.raises(RulebookError, match="a file of rules holds 'rules:', a list, and nothing else"):
        load(text=text)


def test_broken_yaml_is_refused_with_its_place(load):
    with pytest.raises(RulebookError, match=r"rules/own\.yaml:3:"):
        load(text="rules:\n  - rule: a\n    rule: b\n")


def test_no_rules_at_all_is_a_broken_installation(tmp_path, monkeypatch):
    monkeypatch.setattr(rulebook, "rules_folder", lambda: tmp_path)
    with pytest.raises(RulebookError, match="no rules were found here"):
        rulebook.load_rulebook()


@pytest.mark.parametrize("kind", ["all", "any", "not"])
def test_a_group_of_nothing_is_refused(load, kind):
    refused(load, with_("check", {kind: []}))


def test_not_denies_one_check(load):
    one = copy.deepcopy(SOUND["check"])
    refused(load, with_("check", {"not": [one, one]}))


@pytest.mark.parametrize("source", [None, ""])
def test_a_limit_has_a_source_that_says_something(load, source):
    refused(load, with_("limits.least", {"value": 50, "source": source}))


@pytest.mark.parametrize(("path", "value"), [("sources", [""]), ("rule", "Not A Name!"), ("check.left", None)])
def test_what_is_there_but_empty_is_refused(load, path, value):
    refused(load, with_(path, value))


@pytest.mark.parametrize("expect", ["fallz", ["holds"]])
def test_a_case_expects_an_outcome_there_is(load, expect):
    refused(load, with_("cases", [*SOUND["cases"], {"at": "sub", "expect": expect}]))


@pytest.mark.parametrize("rule", list(load_rulebook().values()), ids=lambda rule: rule.name)
def test_what_is_read_without_the_parser_is_what_the_parser_reads(rule):
    """Conditions and sentences that hold nothing but names are taken apart by hand, for speed."""
    env = expressions.environment()
    sides = [side for check in rule.comparisons() for side in (check.left, check.right)]
    for text in [*sides, *([rule.when] if rule.when else [])]:
        (output,) = env.parse("{{ " + text + " }}").body
        assert expressions._condition(text) == output.nodes[0], text
    for text in (rule.says, rule.because, rule.to_customer):
        parsed = expressions._names(env.parse(text), expressions._TEXT_ALLOWED)
        assert sorted(expressions.sentence_names(text)) == sorted(parsed), text
