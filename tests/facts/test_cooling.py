"""What a fan, a vent or another place buys an amplifier, and how a fan is heard."""

from __future__ import annotations

import math

import pytest
import yaml

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

AIRFLOW = "AM-21, 3160 rule, parkermotion.com FAQ 821: 100 W and 35 K want 5.00 CFM"
CFM_PER_M3_H = 1 / (0.3048**3 * 60)
HOT = {"vehicle__locations__seat-base__air": "closed", "vehicle__cabin__hottest_c": 82}


def with_fans(folder, *fans: dict, **places) -> dict:
    parts = {f"FN-{i}": {"kind": "fan", "price": 1, "fit_h": 0, **fan} for i, fan in enumerate(fans)}
    (folder / "library" / "parts").mkdir(parents=True, exist_ok=True)
    (folder / "library" / "parts" / "own.yaml").write_text(yaml.safe_dump({"advisor": 1, "parts": parts}))
    return changed(**places) | {"library": ["library"], "extras": dict.fromkeys(parts, 1)}


def test_a_fans_own_sheet_goes_before_the_rule_of_thumb(tmp_path):
    assert value(engine(tmp_path, changed()), "front.fan_flow_m3_h") == 15
    data = with_fans(tmp_path, {"flow_m3_h": 48}, {"flow_m3_h": 40})
    made = engine(tmp_path, data)
    assert value(made, "front.fan_flow_m3_h") == pytest.approx(40 / 2)
    strong = engine(tmp_path, with_fans(tmp_path, {"flow_m3_h": 120}))
    assert value(strong, "front.sink_c") < value(made, "front.sink_c")
    assert value(engine(tmp_path, with_fans(tmp_path, {"draws_a": 0.1})), "front.fan_flow_m3_h") == 15


def test_a_fan_at_the_ear(tmp_path):
    data = with_fans(tmp_path, {"noise_db": 27}, {"noise_db": 20})
    data["vehicle"]["locations"]["seat-base"]["distance_m"] = {"driver": 0.5}
    assert value(engine(tmp_path, data), "front.fan_noise_db") == pytest.approx(27 + 20 * math.log10(2))
    with pytest.raises(Missing, match="noise_db"):
        value(engine(tmp_path, changed()), "front.fan_noise_db")


def test_air_that_carries_the_heat_away(tmp_path):
    made = engine(tmp_path, changed(vehicle__cabin__hottest_c=20))
    per_watt = value(made, "low.air_wanted_m3_h") / value(made, "low.dissipation_w")
    assert printed("5.00", source=AIRFLOW, share=0.01) == per_watt * 100 * (10 / 35) * CFM_PER_M3_H


def test_a_vent_is_worth_what_the_place_would_be_with_it(tmp_path):
    closed = engine(tmp_path, changed(**HOT))
    vented = engine(tmp_path, changed(**(HOT | {"vehicle__locations__seat-base__air": "vented"})))
    assert value(closed, "low.sink_with_vent_c") == pytest.approx(value(vented, "low.sink_still_c"))
    assert value(closed, "low.vent_would_help") is True
    opened = engine(tmp_path, changed(**(HOT | {"vehicle__locations__seat-base__air": "open"})))
    with pytest.raises(NotDefined, match="open"):
        value(opened, "low.sink_with_vent_c")


def place(**more) -> dict:
    return {"space_mm": [400, 300, 150], "air": "open", "airbag": "none", **more}


def test_the_best_other_place_is_cool_has_room_is_free_and_costs_nothing(tmp_path):
    data = changed(**HOT)
    data["customer"]["keep"] = ["load floor"]
    data["vehicle"]["locations"] |= {
        "shelf": place(hottest_c=55),
        "tray": place(hottest_c=45, disturbs=["load floor"]),
        "slot": place(hottest_c=40, space_mm=[180, 150, 60]),
        "under": place(hottest_c=50, air="closed"),
    }
    made = engine(tmp_path, data)
    assert value(made, "low.best_place") == "shelf"
    moved = {**data, "chain": {**data["chain"], "low": {**data["chain"]["low"], "at": "shelf"}}}
    there = value(engine(tmp_path, moved), "low.sink_still_c")
    assert value(made, "low.sink_in_best_place_c") == pytest.approx(there)
    assert value(engine(tmp_path, moved), "front.best_place") == "under"  # the shelf is taken


def test_the_finding_says_what_would_bring_it_down(tmp_path):
    data = changed(**(HOT | {"vehicle__cabin__hottest_c": 88}))
    data["vehicle"]["locations"]["shelf"] = place(hottest_c=50)
    (told,) = [f for f in review(tmp_path, data).of("falls short", "must")
               if f.rule.name == "amplifier-stays-below-its-cut-out" and f.subject.name == "low"]  # fmt: skip
    assert "A vent for the place" in told.because
    assert "Moved to shelf it settles at" in told.because
    del data["vehicle"]["locations"]["shelf"]
    data["vehicle"]["locations"]["seat-base"]["air"] = "open"
    data["chain"]["low"]["fan"] = "thermostatic"
    data["vehicle"]["cabin"]["hottest_c"] = 95
    (hot,) = [f for f in review(tmp_path, data).of("falls short", "must")
              if f.rule.name == "amplifier-stays-below-its-cut-out" and f.subject.name == "low"]  # fmt: skip
    assert "No fan, vent or other place" in hot.because


def test_nowhere_to_go_is_said(tmp_path):
    with pytest.raises(NotDefined, match="no other place"):
        value(engine(tmp_path, changed()), "low.best_place")
    with pytest.raises(Missing, match="outer_mm"):
        value(engine(tmp_path, changed(("chain.low.amplifier.outer_mm",))), "low.best_place")
