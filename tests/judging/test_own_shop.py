"""A shop's own limits, levels and rules: they change verdicts, and the change is told."""

from __future__ import annotations

import pytest

from advisor.errors import RulebookError
from advisor.judging.review import Review
from tests.facts.jobs import changed, review, written

OWN_RULE = {
    "rule": "sub-is-ours",
    "about": "driver",
    "level": "tip",
    "when": "driver.carries_bass_behind",
    "check": {"left": "driver.low_edge_hz", "op": ">=", "right": "limits.least"},
    "limits": {"least": {"value": 30, "source": "the shop"}},
    "says": "The {{ driver }} plays from {{ left | hz }}; we begin at {{ right | hz }}.",
    "because": "We had boxes come back.",
    "to_customer": "We start the bass a little higher.",
    "levers": ["driver.low_edge_hz"],
    "sources": ["the shop"],
    "cases": [{"at": "midwoof left", "expect": "does not apply"}, {"at": "sub", "expect": "falls short"}],
}
WITH_CASES = {**OWN_RULE, "cases": [*OWN_RULE["cases"], {"at": "sub", "expect": "holds"}]}


def reviewed(folder, shop: dict, **change) -> Review:
    written(folder, {"advisor": 1, "shop": "ours", **shop}, "shop.yaml")
    return review(folder, changed(shop="shop.yaml", **change))


def found(result: Review, rule: str, at: str):
    return next(f for f in result.findings if f.rule.name == rule and f.subject.name == at)


def test_a_limit_of_the_shop_changes_the_verdict_and_says_so(tmp_path):
    name, limits = "main-fuse-sits-near-the-battery", {"run": 0.2}
    assert found(reviewed(tmp_path, {}), name, "supply").outcome == "holds"
    result = reviewed(tmp_path, {"limits": {name: limits}})
    finding = found(result, name, "supply")
    assert finding.outcome == "falls short"
    assert finding.says == "The main fuse sits 0.3 m from the battery; 0.2 m is the most."
    limit = finding.rule.limits["run"]
    assert (limit.value, limit.by_shop) == (0.2, "0.45 made 0.2 (shop.yaml:5:10)")
    assert limit.source.startswith("the shop's own; common practice")


def test_a_level_of_the_shop_changes_what_fails_and_says_so(tmp_path):
    name = "fan-has-a-switch-or-a-thermostat"
    result = reviewed(tmp_path, {"levels": {name: "must"}}, chain__front__fan="always on")
    finding = found(result, name, "front")
    assert (finding.outcome, finding.rule.level) == ("falls short", "must")
    assert finding.rule.level_by_shop == "trade-off made must"
    assert result.fails("must")
    assert not reviewed(tmp_path, {}, chain__front__fan="always on").fails("must")


def test_a_lowered_must_stays_in_sight(tmp_path):
    name = "main-fuse-sits-near-the-battery"
    result = reviewed(tmp_path, {"levels": {name: "tip"}}, supply__fuse_from_battery_m=1.2)
    finding = found(result, name, "supply")
    assert (finding.outcome, finding.rule.level_by_shop) == ("falls short", "must made tip")
    assert result.fails("tip")


def test_a_rule_of_the_shop_is_judged_like_any_other(tmp_path):
    result = reviewed(tmp_path, {"rules": [WITH_CASES]})
    finding = found(result, "sub-is-ours", "sub")
    assert finding.outcome == "falls short"
    assert finding.says == "The sub plays from 28 Hz; we begin at 30 Hz."
    assert finding.rule.origin.file.name == "shop.yaml"


def test_a_limit_of_the_shops_own_rule_can_be_changed_too(tmp_path):
    result = reviewed(tmp_path, {"rules": [WITH_CASES], "limits": {"sub-is-ours": {"least": 20}}})
    assert found(result, "sub-is-ours", "sub").outcome == "holds"


REFUSED = [
    ({"levels": {"main-fuse-sits-near-the-batery": "tip"}}, "there is no rule", "main-fuse-sits-near-the-battery"),
    ({"limits": {"main-fuse-sits-near-the-batery": {"run": 1}}}, "there is no limit 'run' of a rule", "battery"),
    ({"limits": {"main-fuse-sits-near-the-battery": {"runn": 1}}}, "there is no limit 'runn'", "did you mean 'run'?"),
    ({"rules": [OWN_RULE]}, "no case shows where the rule holds", ""),
    ({"rules": [{**WITH_CASES, "rule": "way-fits-its-hole"}]}, "the rule 'way-fits-its-hole' is also at rules/fit", ""),
    ({"rules": [{**WITH_CASES, "about": "drivr"}]}, "nothing is called 'drivr'", "did you mean 'driver'?"),
]


@pytest.mark.parametrize(("shop", "what", "way_out"), REFUSED)
def test_a_shop_cannot_change_what_is_not_there_or_add_what_cannot_be_trusted(tmp_path, shop, what, way_out):
    with pytest.raises(RulebookError) as caught:
        reviewed(tmp_path, shop)
    (fault,) = caught.value.faults
    assert what in fault.what
    assert way_out in fault.way_out
    assert fault.file == "shop.yaml"
    assert fault.line >= 4


def test_a_shop_cannot_drop_a_rule(tmp_path):
    shipped = {f.rule.name for f in reviewed(tmp_path, {}).findings}
    assert shipped <= {f.rule.name for f in reviewed(tmp_path, {"rules": [WITH_CASES]}).findings}
