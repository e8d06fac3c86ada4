"""The way of the signal: conversions, levels of ways against each other, who wakes whom and over what lead."""

from __future__ import annotations

import math

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, value


def processor(*kinds: str, over: str, after: str) -> dict:
    signals = {"line": {"channels": 8, "max_v": 4}, "optical": {"channels": 2, "sample_rate_hz": 48000}}
    part = {"inputs": {k: signals[k] for k in kinds}, "outputs": {k: signals[k] for k in ("line", "optical")}}
    return {"processor": {**part, "price": 0, "fit_h": 0}, "from": after, "over": over}


def chained(**devices) -> dict:
    data = changed()
    data["chain"]["brain"] |= {"from": list(devices)[-1], "over": data["chain"]["brain"]["over"]}
    data["chain"] |= devices
    return data


def test_light_into_one_processor_is_no_turn(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "low.conversions") == 0
    assert value(made, "low.turned_by") == ()


def test_volts_into_one_processor_are_one(tmp_path):
    made = engine(tmp_path, changed(chain__brain__over="line"))
    assert (value(made, "low.conversions"), value(made, "low.turned_by")) == (1, ("brain",))


@pytest.mark.parametrize(
    ("into_first", "into_second", "times"),
    [("line", "line", 2), ("line", "optical", 1), ("optical", "line", 1), ("optical", "optical", 0)],
)
def test_two_processors_in_a_row(tmp_path, into_first, into_second, times):
    data = chained(first=processor("line", "optical", over=into_first, after="screen"))
    data["chain"]["brain"]["over"] = into_second
    assert value(engine(tmp_path, data), "low.conversions") == times


def test_a_level_converter_makes_no_numbers_and_an_extraction_to_light_does(tmp_path):
    to_line = {"inputs": {"line": {"channels": 4}}, "outputs": {"line": {"channels": 4, "max_v": 5}}}
    to_light = {"inputs": {"line": {"channels": 4}}, "outputs": {"optical": {"channels": 2, "sample_rate_hz": 48000}}}
    for part, over, turned in ((to_line, "line", ("brain",)), (to_light, "optical", ("tap",))):
        data = chained(tap={"interface": {**part, "price": 0, "fit_h": 0}, "from": "screen", "over": "line"})
        data["chain"]["brain"]["over"] = over
        assert value(engine(tmp_path, data), "low.turned_by") == turned


def test_spread_follows_watts_and_names_both_ends(tmp_path):
    data = changed()
    before = value(engine(tmp_path, data), "job.level_spread_db")
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {4: 2500}
    made = engine(tmp_path, data)
    assert value(made, "job.loudest_way") == "sub"
    assert value(made, "job.level_spread_db") > before
    top = value(made, "sub.at_full_output_db")
    low = value(made, f"{value(made, 'job.quietest_way')}.at_full_output_db")
    assert value(made, "job.level_spread_db") == pytest.approx(top - low)


def test_level_at_full_output_is_sensitivity_and_voltage(tmp_path):
    made = engine(tmp_path, changed())
    volts = value(made, "low.1.full_output_v")
    expected = value(made, "sub.sensitivity_2v83_db") + 20 * math.log10(volts / 2.83)
    assert value(made, "sub.at_full_output_db") == pytest.approx(expected)


def test_a_switching_lead_and_what_hangs_on_it(tmp_path):
    data = changed(chain__brain__processor__remote_out_ma=60, chain__low__amplifier__remote_ma=7)
    made = engine(tmp_path, data)
    assert value(made, "job.remote_of") == "brain"
    assert value(made, "job.remote_wakes") == ("front", "low")
    assert value(made, "job.remote_load_ma") == 7 + 10  # the other's draw by rule of thumb
    data["chain"]["front"]["fan"] = "switched"
    assert value(engine(tmp_path, data), "job.remote_load_ma") == 7 + 10 + 150
    data["chain"]["brain"]["relay"] = True
    assert value(engine(tmp_path, data), "job.remote_load_ma") == 150
    data["chain"]["front"]["woken_by"] = "ignition"
    assert value(engine(tmp_path, data), "job.remote_wakes") == ("low",)
    with pytest.raises(NotDefined, match="no sheet says"):
        value(engine(tmp_path, changed()), "job.remote_of")


def test_of_several_leads_the_tightest_is_told(tmp_path):
    data = changed(chain__brain__processor__remote_out_ma=100, chain__brain__processor__remote_ma=20)
    data["chain"]["screen"]["source"]["remote_out_ma"] = 15
    made = engine(tmp_path, data)
    assert (value(made, "job.remote_of"), value(made, "job.remote_load_ma")) == ("screen", 20)
    found = [f.rule.name for f in review(tmp_path, data).of("falls short", "must")]
    assert "switching-lead-carries-what-it-wakes" in found


@pytest.mark.parametrize(("by", "thumps"), [("brain", False), ("signal", False), ("screen", True), ("ignition", True)])
def test_who_wakes_an_amplifier(tmp_path, by, thumps):
    found = review(tmp_path, changed(chain__low__woken_by=by)).of("falls short")
    assert ("amplifier-wakes-after-what-feeds-it" in [f.rule.name for f in found]) == thumps


def test_a_device_that_is_not_there_wakes_nobody(tmp_path):
    with pytest.raises(Missing, match=r"'brian'.*screen, brain, ignition, signal"):
        value(engine(tmp_path, changed(chain__low__woken_by="brian")), "low.woken_by")
