"""What the trade knows by heart, held against whole jobs."""

from __future__ import annotations

import pytest

from advisor.judging.finding import Finding
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

TRADE = "common practice"


def told(folder, data, rule: str, at: str) -> Finding:
    found = review(folder, data).findings
    return next(f for f in found if f.rule.name == rule and f.subject.name == at)


def of_size(inches: float) -> dict:
    return {"size_in": inches, "impedance_ohm": 4}


def test_a_4_inch_driver_is_6_db_down_at_130_to_150_hz(tmp_path):
    data = changed(ways__midwoof__driver=of_size(4))
    assert printed("140", source=f"{TRADE}: 4 inches, 130-150 Hz", within=10) == value(
        engine(tmp_path, data), "midwoof left.plays_down_to_hz"
    )


def test_a_3_inch_driver_does_not_play_below_about_300_hz(tmp_path):
    data = changed(ways__midwoof__driver=of_size(3), ways__midwoof__plays=["200 LR24", "2400 LR12"])
    low_end = value(engine(tmp_path, data), "midwoof left.plays_down_to_hz")
    assert printed("300", source=f"{TRADE}: 3 inches, not below about 300 Hz", within=15) == low_end
    assert told(tmp_path, data, "way-reaches-its-low-edge", "midwoof left").outcome == "falls short"


def test_a_6_5_inch_driver_in_a_sealed_door_takes_over_from_60_hz(tmp_path):
    plays = {"ways__midwoof__plays": ["60 LR24", "2400 LR12"], "ways__sub__plays": ["28 BW24", "60 LR24"]}
    data = changed(ways__midwoof__driver=of_size(6.5), **plays)
    made = engine(tmp_path, data)
    assert value(made, "midwoof left.mounting") == "sealed door"
    low_end = value(made, "midwoof left.plays_down_to_hz")
    assert printed("60", source=f"{TRADE}: 6.5 inches in a sealed door build, from 60 Hz") == low_end
    takes_over = told(tmp_path, data, "front-takes-over-where-the-sub-leaves", "sub")
    assert takes_over.outcome in ("holds", "too close to call")
    smaller = changed(ways__midwoof__driver=of_size(4), **plays)
    assert told(tmp_path, smaller, "way-reaches-its-low-edge", "midwoof left").outcome == "falls short"
    assert value(engine(tmp_path, smaller), "job.front_plays_down_to_hz") > 1.15 * 60
    higher = changed(**plays | {"ways__midwoof__plays": ["140 LR24", "2400 LR12"]})
    assert told(tmp_path, higher, "front-takes-over-where-the-sub-leaves", "sub").outcome == "falls short"


@pytest.mark.parametrize("edge", ["150 LR24", "150 BW12", "150 BW24"])
def test_bass_from_behind_is_told_around_150_hz(tmp_path, edge):
    data = changed(ways__sub__plays=["28 BW24", edge])
    found = told(tmp_path, data, "bass-that-tells-where-it-comes-from-stays-in-front", "sub")
    assert found.outcome == "falls short"


@pytest.mark.parametrize("edge", ["60 LR24", "65 LR24", "70 LR24"])
def test_bass_from_behind_is_not_told_below_60_to_70_hz(tmp_path, edge):
    data = changed(ways__sub__plays=["28 BW24", edge])
    found = told(tmp_path, data, "bass-that-tells-where-it-comes-from-stays-in-front", "sub")
    assert found.outcome == "holds"


def test_the_edge_at_150_hz_leaves_what_its_filter_is_down_at_its_edge(tmp_path):
    made = engine(tmp_path, changed(ways__sub__plays=["28 BW24", "150 LR24"]))
    assert printed("-6.02", source="derived from 20 log10(1/2): a Linkwitz-Riley filter at its edge") == value(
        made, "sub.leak_db"
    )


def test_a_pair_of_fabricated_doors_takes_a_little_over_four_working_days(tmp_path):
    with_doors = engine(tmp_path, changed(ways__midwoof__work=["fabricated-door-build"]))
    without = engine(tmp_path, changed(ways__midwoof__work=[]))
    hours = value(with_doors, "job.work_h") - value(without, "job.work_h")
    days = value(with_doors, "job.labour_days") - value(without, "job.labour_days")
    assert printed("34", source=f"{TRADE}: a fabricated door build, the pair") == hours
    assert printed("4.25", source="derived from 34 h in days of 8 h") == days
    assert 4 < days < 4.5
