"""From the distribution to the amplifiers: branches, their fuses, joints and both legs, through whole job files."""

from __future__ import annotations

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

CLASS_5 = "WI-04, IEC 60228 class 5, three tables agreeing"
WARM = "WI-05, uecables.com: Kt at 50 °C is .893, by .004 per kelvin; the exact form lies within .6 %"
ENGINE_SPACE = "WI-12, 33 CFR 183.425 Table 5 / ABYC E-11, jamestowndistributors.com, rounded two ways"
INSULATION = "WI-13, factors at 50 °C"
FUSE = "WI-16, a fuse maker's note quoted by teacherscollegesj.org: a load of 7.5 A wants a fuse of 10 A"


def branched(**low) -> dict:
    return changed(supply__branches={"low": {"run_m": 0.5, "fuse_a": 40, **low}})


def test_resistance_of_a_branch_there_and_back(tmp_path):
    made = engine(tmp_path, branched(cable_mm2=10, run_m=1.0))
    warm_mohm = 1000 * value(made, "low.branch_drop_v") / value(made, "low.peak_current_a")
    cold = float(printed("1.91", source=CLASS_5).text)
    assert 2 * cold / warm_mohm == printed("0.893", source=WARM, share=0.006)


@pytest.mark.parametrize(("gauge", "carries"), [(12, "38"), (8, "68"), (4, "136"), (-3, "378")])
def test_what_a_branch_carries_under_the_trim(tmp_path, gauge, carries):
    made = engine(tmp_path, branched(cable_awg=gauge))
    assert printed(carries, source=ENGINE_SPACE, within=1) == value(made, "low.branch_carries_a")


@pytest.mark.parametrize(("insulation", "factor"), [(75, ".75"), (90, ".82")])
def test_cheaper_insulation_carries_less(tmp_path, insulation, factor):
    free = value(engine(tmp_path, changed(vehicle__electrics__engine_space_c=30)), "supply.ampacity_a")
    hot = value(engine(tmp_path, changed()), "supply.ampacity_a")
    assert printed(".85", source=ENGINE_SPACE) == hot / free
    cheap = value(engine(tmp_path, branched(cable_mm2=25, insulation_c=insulation)), "low.branch_carries_a")
    at_30 = free * ((insulation - 30) / 75) ** 0.5
    assert printed(factor, source=INSULATION) == cheap / at_30


def test_the_fuse_for_an_amplifier(tmp_path):
    data = branched(cable_mm2=10)
    data["chain"]["low"]["amplifier"]["efficiency"] = 1.0
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {4: 105}
    made = engine(tmp_path, data)
    assert value(made, "low.peak_current_a") == pytest.approx(7.5)
    assert printed("10", source=FUSE) == value(made, "low.branch_fuse_for_load_a")


def test_a_branch_without_a_fuse_hangs_on_the_main_one(tmp_path):
    made = engine(tmp_path, changed(supply__branches={"low": {"cable_mm2": 4, "run_m": 1}}))
    assert value(made, "low.has_branch_fuse") is False
    assert value(made, "low.branch_protected_by_a") == 80
    assert value(made, "low.branch_carries_a") < 80
    assert value(made, "low.branch_largest_fuse_a") <= value(made, "low.branch_carries_a")


def test_the_thinnest_branch_does_and_the_next_thinner_does_not(tmp_path):
    smallest = value(engine(tmp_path, branched(cable_mm2=25, run_m=1.5)), "low.branch_smallest_mm2")
    sections = (1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95)
    enough = {}
    for mm2 in (smallest, sections[sections.index(smallest) - 1]):
        made = engine(tmp_path, branched(cable_mm2=mm2, run_m=1.5))
        room = value(made, "low.branch_carries_a") >= value(made, "low.branch_fuse_for_load_a")
        enough[mm2] = room and value(made, "low.lost_percent") <= 3
    assert list(enough.values()) == [True, False]


def test_losses_add_up(tmp_path):
    made = engine(tmp_path, branched(cable_mm2=10))
    assert value(made, "low.lost_v") == pytest.approx(value(made, "supply.drop_v") + value(made, "low.branch_drop_v"))
    assert value(made, "low.lost_percent") > value(made, "low.branch_percent")


def test_one_amplifier_alone_has_no_branch(tmp_path):
    data = changed()
    del data["ways"]["tweeter"]["from"], data["ways"]["midwoof"]["from"]
    made = engine(tmp_path, data)
    assert value(made, "low.shares_supply") is False
    assert value(made, "low.lost_v") == value(made, "supply.drop_v")
    with pytest.raises(NotDefined, match="to itself"):
        value(made, "low.branch_mm2")


def test_a_branch_to_nowhere_is_told(tmp_path):
    data = changed()
    data["supply"]["branches"]["lwo"] = {"cable_mm2": 10, "run_m": 1, "fuse_a": 40}
    (told,) = [f for f in review(tmp_path, data).of("falls short") if f.rule.name == "branch-leads-to-an-amplifier"]
    assert "lwo" in told.says


def test_joints_and_the_way_back(tmp_path):
    cable = engine(tmp_path, changed(supply__joints=6))
    assert value(cable, "supply.copper_m") == 8
    assert value(cable, "supply.joints_mohm") == pytest.approx(6 * 0.15)
    body = engine(tmp_path, changed(supply__joints=6, supply__ground="body", supply__ground_m=0.4))
    assert value(body, "supply.copper_m") == pytest.approx(4.4)
    assert value(body, "supply.joints_mohm") == pytest.approx(6 * 0.15 + 1)
    for made in (cable, body):
        copper = 0.780 * value(made, "supply.copper_m")
        assert value(made, "supply.loop_mohm") == pytest.approx(copper)
        expected = copper * 284.5 / 254.5 + value(made, "supply.joints_mohm")
        assert value(made, "supply.warm_mohm") == pytest.approx(expected)
        assert value(made, "supply.drop_v") == pytest.approx(expected / 1000 * value(made, "job.full_current_a"))


def test_a_hotter_engine_space_takes_ampacity(tmp_path):
    hot = [
        value(engine(tmp_path, changed(vehicle__electrics__engine_space_c=c)), "supply.ampacity_a")
        for c in (40, 60, 80, 100)
    ]
    assert hot == sorted(hot, reverse=True)
    cooked = engine(tmp_path, changed(vehicle__electrics__engine_space_c=110))
    assert value(cooked, "supply.ampacity_a") == 0
    with pytest.raises(NotDefined, match="as hot as its insulation"):
        value(cooked, "supply.largest_fuse_a")
    assert not review(tmp_path, changed(vehicle__electrics__engine_space_c=110)).of("broken")


def test_the_drop_that_sizes_cable_is_the_one_the_rule_ships_with(tmp_path):
    made = review(tmp_path, changed())
    limit = made.rules["supply-cable-drops-little"].limits["percent"].value
    allowed = next(r for r in made.engine.ask(*made.engine.find("supply.smallest_cable_mm2")).assumptions()
                   if r.name == "supply drop allowed")  # fmt: skip
    assert allowed.value == limit


def test_without_a_supply_all_that_is_to_plan_is_asked_at_once(tmp_path):
    data = changed(("supply",))
    del data["vehicle"]["electrics"]["alternator_a"], data["vehicle"]["electrics"]["battery_ah"]
    with pytest.raises(Missing) as told:
        value(engine(tmp_path, data), "low.lost_v")
    said = str(told.value)
    for word in ("cable_mm2", "run_m", "fuse_a", "fuse_from_battery_m", "alternator_a", "converter_a", "battery_ah"):
        assert word in said
