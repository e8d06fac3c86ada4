"""Voltage as it really is: sag, restarts, smart charging, what each costs in watts, and what would hold it up."""

from __future__ import annotations

import pytest
import yaml

from advisor.facts.assumed import assumptions
from advisor.facts.reading import NotDefined
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

ISO_16750 = "WI-18, ISO 16750-2:2010 Table 1, 360docs.net/doc/2715450321"
PARASITIC = "WI-24, a maker's service procedure: 25 to 50 mA"
RAIL = "AM-25, derived from Ohm's law: V²/2R"
SOFT = {"chain__low__amplifier__power_supply": "unregulated", "chain__front__amplifier__power_supply": "unregulated"}


def test_voltages_of_the_standard_stand_in_where_nothing_was_measured(tmp_path):
    stops = engine(tmp_path, changed(vehicle__electrics__stop_start=True))
    assert printed("9", source=f"{ISO_16750}, code C") == value(stops, "supply.restart_v")
    assert printed("10.5", source=f"{ISO_16750}, code D") == value(stops, "job.needs_v")
    with pytest.raises(NotDefined, match="does not stop"):
        value(engine(tmp_path, changed()), "supply.restart_v")


def test_drain_of_a_parked_vehicle_is_that_of_the_procedures():
    low, high = (float(printed(mA, source=PARASITIC).text) / 1000 for mA in ("25", "50"))
    assert low <= assumptions()["standby_drain"].value <= high


def test_the_first_amplifier_to_give_up_decides(tmp_path):
    data = changed(chain__low__amplifier__cuts_out_below_v=11, chain__front__amplifier__cuts_out_below_v=8)
    assert value(engine(tmp_path, data), "job.needs_v") == 11


def test_smart_charging_lets_the_voltage_down(tmp_path):
    assert value(engine(tmp_path, changed()), "job.lowest_v") == 14
    assert value(engine(tmp_path, changed(vehicle__electrics__smart_charging=True)), "job.lowest_v") == 12.4
    measured = changed(vehicle__electrics__smart_charging=True, vehicle__electrics__lowest_running_v=12.7)
    assert value(engine(tmp_path, measured), "job.lowest_v") == 12.7
    above = changed(vehicle__electrics__lowest_running_v=15)
    assert value(engine(tmp_path, above), "job.lowest_v") == 14


def test_watts_at_the_lowest_voltage(tmp_path):
    down = {"vehicle__electrics__lowest_running_v": 12.0}
    regulated = engine(tmp_path, changed(**down))
    assert value(regulated, "job.lowest_w") == value(regulated, "job.full_w") == 400
    soft = engine(tmp_path, changed(**down, **SOFT))
    assert value(soft, "job.lowest_w") == pytest.approx(400 * (12 / 14.4) ** 2)
    none = changed(**down, vehicle__electrics__running_v=14.4, chain__low__amplifier__power_supply="none")
    made = engine(tmp_path, none)
    assert printed("25.92", source=RAIL) == value(made, "low.1.power_w")
    assert value(made, "low.1.lowest_power_w") == pytest.approx(12**2 / 8)


def test_a_peak_claim_counts_half(tmp_path):
    made = engine(tmp_path, changed(chain__low__amplifier__rated="peak"))
    assert value(made, "low.1.power_w") == value(made, "low.1.watts") / 2


def test_fuses_bear_watts_out(tmp_path):
    data = changed(chain__low__amplifier__rated="continuous", chain__low__amplifier__fuses_a=30)
    made = engine(tmp_path, data)
    assert value(made, "low.fuse_limited_w") == pytest.approx(30 * 14.4 * 0.82)
    assert value(made, "low.claimed_w") == 400


def test_sag_costs_watts_where_rails_are_soft(tmp_path):
    stiff, soft = engine(tmp_path, changed()), engine(tmp_path, changed(**SOFT))
    assert value(stiff, "supply.sag_costs_w") == 0
    peak = value(soft, "supply.peak_v")
    expected = 400 * ((14 / 14.4) ** 2 - (peak / 14.4) ** 2)
    assert value(soft, "supply.sag_costs_w") == pytest.approx(expected)
    assert value(soft, "supply.sag_v") == pytest.approx(12.4 - peak)


def test_what_the_battery_gives_on_a_peak_goes_into_cable_and_amplifiers(tmp_path):
    made = engine(tmp_path, changed())
    current = value(made, "supply.peak_a")
    given = 12.4 * current
    inside = current**2 * 8e-3
    load = value(made, "job.full_current_a") * value(made, "job.supply_v")
    assert given == pytest.approx(inside + value(made, "supply.lost_on_the_way_w") + load, rel=1e-9)


def test_a_capacitor_is_empty_when_the_note_ends(tmp_path):
    made = engine(tmp_path, changed())
    at_end, mean = value(made, "supply.capacitor_buys_v"), value(made, "supply.capacitor_lifts_v")
    assert 0 < at_end < mean < value(made, "supply.sag_v")
    assert at_end < value(made, "supply.thicker_cable_buys_v")
    large = engine(tmp_path, changed(supply__capacitor_f=500))
    assert value(large, "supply.capacitor_buys_v") > value(large, "supply.thicker_cable_buys_v")


def test_the_next_thicker_cable_is_what_it_says_it_buys(tmp_path):
    made = engine(tmp_path, changed(supply__cable_mm2=25))
    assert value(made, "supply.next_thicker_mm2") == 35
    thicker = engine(tmp_path, changed(supply__cable_mm2=35))
    gain = value(thicker, "supply.peak_v") - value(made, "supply.peak_v")
    assert value(made, "supply.thicker_cable_buys_v") == pytest.approx(gain, rel=1e-9)
    with pytest.raises(NotDefined):
        value(engine(tmp_path, changed(supply__cable_mm2=95)), "supply.next_thicker_mm2")


def test_listed_parts_say_what_they_lose_inside(tmp_path):
    parts = {
        "CP-9": {"kind": "capacitor", "capacity_f": 2, "resistance_mohm": 4, "price": 1, "fit_h": 0},
        "BT-9": {"kind": "battery", "capacity_ah": 60, "resistance_mohm": 7, "price": 1, "fit_h": 0},
    }
    folder = tmp_path / "library" / "parts"
    folder.mkdir(parents=True)
    (folder / "own.yaml").write_text(yaml.safe_dump({"advisor": 1, "parts": parts}), encoding="utf-8")
    data = changed() | {"library": ["library"], "extras": {"CP-9": 2, "BT-9": 1}}
    made = engine(tmp_path, data)
    assert value(made, "supply.capacitor_f") == 4
    assert value(made, "supply.capacitor_mohm") == pytest.approx(2)
    assert value(made, "supply.second_battery_mohm") == pytest.approx(7)
    assert value(made, "supply.has_capacitor") is value(made, "supply.has_second_battery") is True
    usual = engine(tmp_path, changed())
    assert value(usual, "supply.capacitor_f") == 1
    assert value(usual, "supply.has_second_battery") is False


def test_hours_of_music_with_the_engine_off(tmp_path):
    made = engine(tmp_path, changed())
    current = value(made, "job.programme_current_a")
    by_law = 0.5 * 20 * (80 / (20 * current)) ** 1.2
    assert value(made, "supply.plays_parked_h") == pytest.approx(min(by_law, 0.5 * 80 / current))


def test_peaks_beyond_a_converter_come_from_the_battery(tmp_path):
    made = engine(tmp_path, changed(vehicle__electrics={"running_v": 14, "converter_a": 50, "own_draw_a": 30}))
    assert value(made, "supply.peaks_from_battery_a") == pytest.approx(value(made, "job.full_current_a") - 20)
    plenty = engine(tmp_path, changed(vehicle__electrics={"running_v": 14, "converter_a": 150, "own_draw_a": 30}))
    assert value(plenty, "supply.peaks_from_battery_a") == 0


def test_the_sensor_at_the_battery_is_spoken_of_where_charging_is_smart(tmp_path):
    data = changed(vehicle__electrics__smart_charging=True)
    (judged,) = [f for f in review(tmp_path, data).findings if f.rule.name == "watts-last-while-charging-is-let-down"]
    assert judged.outcome == "holds"
    assert "sensor" in judged.rule.cautions[0]
