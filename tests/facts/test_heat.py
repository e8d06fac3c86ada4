"""Heat of amplifiers through whole job files: balances, margins, time to cut-out, watts at the real voltage."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

RAIL = "AM-25, derived from Ohm's law: V²/2R"
TOUCH = "AM-23, IEC 62368-1 Table 38, metal touched briefly (from memory)"
CLASS_B = "AM-09, derived from the class B curve: 78.5 % at full power"

HOT = {"vehicle__locations__seat-base__air": "closed", "vehicle__cabin__hottest_c": 75}


def test_the_ceiling_of_a_stage_without_a_converter(tmp_path):
    data = changed(chain__low__amplifier__power_supply="none", vehicle__electrics__running_v=14.4)
    made = engine(tmp_path, data)
    assert printed("25.92", source=RAIL) == value(made, "low.1.power_w")
    assert value(made, "low.1.watts") == 250


def test_a_modest_claim_is_believed_under_the_ceiling(tmp_path):
    data = changed(chain__low__amplifier__power_supply="none", vehicle__electrics__running_v=14.4)
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {4: 18}
    assert value(engine(tmp_path, data), "low.1.power_w") == 18


@pytest.mark.parametrize(("volts", "share"), [(14.4, 1), (15, 1), (12, (12 / 14.4) ** 2)])
def test_rails_that_sag_take_the_power_with_them(tmp_path, volts, share):
    data = changed(chain__low__amplifier__power_supply="unregulated", vehicle__electrics__running_v=volts)
    assert value(engine(tmp_path, data), "low.1.power_w") == pytest.approx(250 * share)
    data["chain"]["low"]["amplifier"]["power_supply"] = "regulated"
    assert value(engine(tmp_path, data), "low.1.power_w") == 250


@pytest.mark.parametrize("topology", ["A/B", "D", "G/H"])
@pytest.mark.parametrize("name", ["front", "low"])
def test_what_goes_in_comes_out_as_sound_or_heat(tmp_path, topology, name):
    made = engine(tmp_path, changed(**{f"chain__{name}__amplifier__class": topology}))
    taken = value(made, f"{name}.current_a") * value(made, "job.supply_v")
    sound = value(made, "job.programme_share") * value(made, f"{name}.rated_w")
    assert taken == pytest.approx(sound + value(made, f"{name}.dissipation_w"), rel=1e-9)
    assert value(made, f"{name}.dissipation_w") > value(made, f"{name}.idle_w") / 4


def test_class_b_takes_most_of_its_power_for_heat(tmp_path):
    """With an ideal sheet the stage itself needs what the class B curve says."""
    made = engine(tmp_path, changed(chain__low__amplifier__class="A/B"))
    assert printed("78.5", source=CLASS_B) == 100 * 250 / value(made, "low.least_playing_w")


def test_heat_flows_as_a_current_through_the_mounting(tmp_path):
    made = engine(tmp_path, changed())
    rise = value(made, "low.sink_c") - value(made, "low.hottest_air_c")
    assert rise == pytest.approx(value(made, "low.dissipation_w") * 0.5 / 0.65)
    assert value(made, "low.thermal_margin_k") == pytest.approx(85 - value(made, "low.sink_c"))
    assert value(made, "low.mounting") == "under a shelf"


def test_the_place_goes_before_the_cabin(tmp_path):
    data = changed()
    data["vehicle"]["locations"]["seat-base"]["hottest_c"] = 50
    assert value(engine(tmp_path, data), "low.hottest_air_c") == 50


def test_more_air_is_cooler_and_a_fan_cooler_still(tmp_path):
    heats = {}
    for air in ("open", "vented", "closed"):
        made = engine(tmp_path, changed(**{"vehicle__locations__seat-base__air": air}))
        heats[air] = value(made, "low.sink_still_c")
        if air == "closed":
            with pytest.raises(NotDefined, match="only stirs"):
                value(made, "low.sink_with_fan_c")
        else:
            assert value(made, "low.hottest_air_c") < value(made, "low.sink_with_fan_c") < heats[air]
    assert heats["open"] < heats["vented"] < heats["closed"]


def test_a_fan_without_a_way_out_buys_nothing(tmp_path):
    closed = engine(tmp_path, changed(**{"vehicle__locations__seat-base__air": "closed"}))
    assert value(closed, "front.sink_c") == value(closed, "front.sink_still_c")
    assert value(closed, "front.is_blown") is False


def test_what_settles_below_its_cut_out_never_gets_there(tmp_path):
    with pytest.raises(NotDefined, match="settles below"):
        value(engine(tmp_path, changed()), "low.minutes_to_protection")


def test_minutes_follow_the_first_order_law(tmp_path):
    made = engine(tmp_path, changed(**HOT))
    heat, air, end = (value(made, f"low.{name}") for name in ("dissipation_w", "hottest_air_c", "sink_c"))
    constant = 1900 * (end - air) / heat
    expected = constant * math.log((end - air) / (end - 85)) / 60
    assert value(made, "low.minutes_to_protection") == pytest.approx(expected)


def test_a_place_hotter_than_the_cut_out_leaves_no_time(tmp_path):
    made = engine(tmp_path, changed(vehicle__cabin__hottest_c=90))
    assert value(made, "low.minutes_to_protection") == 0


def test_a_heavier_case_lasts_longer(tmp_path):
    minutes = [
        value(engine(tmp_path, changed(**HOT, chain__low__amplifier__heat_j_per_k=store)), "low.minutes_to_protection")
        for store in (500, 1900, 6000)
    ]
    assert minutes == sorted(minutes)
    assert minutes[1] / minutes[0] == pytest.approx(1900 / 500)


def test_touch_is_counted_at_25_degrees(tmp_path):
    made = engine(tmp_path, changed())
    hotter = engine(tmp_path, changed(vehicle__cabin__hottest_c=80))
    assert value(made, "low.touch_c") == pytest.approx(value(hotter, "low.touch_c"))
    assert printed("60", source=TOUCH) == value(made, "low.touch_limit_c")


@settings(max_examples=25, deadline=None)
@given(efficiency=st.floats(0.01, 1), idle_a=st.floats(0, 50), topology=st.sampled_from(["A/B", "D", "G/H"]))
def test_any_sheet_gives_a_verdict_and_never_a_broken_rule(tmp_path_factory, efficiency, idle_a, topology):
    folder = tmp_path_factory.mktemp("sheet")
    sheet = {"efficiency": efficiency, "idle_a": idle_a, "class": topology}
    made = engine(folder, changed(**{f"chain__low__amplifier__{key}": item for key, item in sheet.items()}))
    agrees = value(made, "low.playing_w") >= value(made, "low.least_playing_w")
    if agrees:
        assert value(made, "low.dissipation_w") >= 0
        assert value(made, "low.sink_c") >= value(made, "low.hottest_air_c")
    else:
        with pytest.raises(Missing, match="goes with its class and idle_a"):
            value(made, "low.sink_c")


def test_a_sheet_without_thermal_data_is_told_what_to_read(tmp_path):
    lacking = ("class", "idle_a", "sink_k_per_w", "cut_out_c", "heat_j_per_k")
    data = changed(tuple(f"chain.low.amplifier.{name}" for name in lacking))
    result = review(tmp_path, data)
    told = {f.rule.name: f.why_not for f in result.of("cannot tell") if f.subject.name == "low"}
    assert "class, idle_a, sink_k_per_w, cut_out_c and heat_j_per_k" in told["amplifier-plays-through-a-hot-hour"]
    assert "class, idle_a, sink_k_per_w and cut_out_c" in told["amplifier-stays-below-its-cut-out"]
    assert all("read it off the amplifier's label or sheet" in why for why in told.values())
    assert not result.of("broken")


def test_contradicting_figures_are_a_finding(tmp_path):
    data = changed(chain__low__amplifier__efficiency=0.99, chain__low__amplifier__idle_a=3)
    result = review(tmp_path, data)
    names = {finding.rule.name for finding in result.of("falls short")}
    assert "amplifier-sheet-agrees-with-itself" in names
    assert not result.of("broken")


def test_the_ceiling_of_a_radio(tmp_path):
    data = changed(vehicle__electrics__running_v=14.4)
    data["chain"]["screen"]["source"]["outputs"]["speaker"] = {"channels": 4, "watts": {4: 50}}
    made = engine(tmp_path, data)
    assert printed("25.92", source=RAIL) == value(made, "screen.rail_limited_w")
    assert value(made, "screen.claimed_w") == 50
