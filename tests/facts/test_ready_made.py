"""Ready-made networks: solved from the parts a meter finds, held against what the job asks, refused where a slip."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.errors import InputError
from advisor.facts.reading import Missing, NotDefined
from advisor.reading.reader import read_job
from tests.facts.jobs import changed, engine, value, written
from tests.facts.test_network_facts import resistor
from tests.facts.test_pads import LEGS
from tests.printed import printed

WORKED = "derived from constants of colomar.com citing Dickason"
HALF = "Linkwitz, JAES 24(1) 1976 (from memory)"
IDEAL = {"low": [{"series_mh": 0.3601}, {"shunt_uf": 11.25}], "high": [{"series_uf": 11.25}, {"shunt_mh": 0.3601}]}


def bought(tmp_path, legs=None, ohm=4, edge="2500 BW12", **network):
    sheet = {"edges_hz": [2500], "slopes_db_per_octave": [12], **({"legs": legs} if legs else {}), **network}
    return engine(
        tmp_path,
        changed(
            chain__split__network=sheet,
            ways__tweeter__driver=resistor(ohm, type="tweeter", size_mm=25),
            ways__tweeter__plays=[edge, "open"],
            ways__midwoof__driver=resistor(ohm, type="midwoof", size_mm=165),
            ways__midwoof__plays=["75 LR24", edge],
        ),
    )


def test_the_parts_of_the_books_give_the_filter_of_the_books(tmp_path):
    made = bought(tmp_path, IDEAL)
    assert printed("-3.010", source=f"{HALF}; parts: {WORKED}", within=0.005) == value(
        made, "split left.response_at_edge_db"
    )
    assert value(made, "split left.edge_strays_db") < 0.01
    assert value(made, "split left.wire_loss_db") < 0.01


def test_what_is_listed_is_what_is_told(tmp_path):
    assert value(bought(tmp_path, LEGS), "split left.parts") == (
        "midwoof left: coil in series, 0.36 mH (wire 0.2 Ω)",
        "midwoof left: capacitor across, 12 µF",
        "tweeter left: capacitor in series, 12 µF",
        "tweeter left: coil across, 0.36 mH",
        "tweeter left: resistor in series, 1.168 Ω",
        "tweeter left: resistor across, 9.696 Ω",
    )


def test_it_is_solved_against_the_real_driver(tmp_path):
    job = changed(chain__split__network={"edges_hz": [2400], "legs": IDEAL})
    made = engine(tmp_path, job)
    hz = np.array([1100.0])
    s = 2j * math.pi * hz
    load = value(made, "tweeter left.impedance")(hz)
    below = 1 / (1 / load + 1 / (s * 0.3601e-3))
    by_hand = below / (below + 1 / (s * 11.25e-6))
    passed = value(made, "tweeter left.network_passes")(hz)
    assert abs(passed - by_hand) < 1e-9


def test_values_of_one_part_are_in_a_row(tmp_path):
    legs = {**LEGS, "low": [{"series_mh": 0.36}, {"shunt_ohm": 3.9, "shunt_uf": 10}]}
    assert "midwoof left: 3.9 Ω and 10 µF in a row, across the driver" in value(
        bought(tmp_path, legs), "split left.parts"
    )


def test_without_values_what_is_missing_is_named(tmp_path):
    made = bought(tmp_path, title="A two-way")
    for fact in ("insertion_loss_db", "edge_strays_db", "lowest_load_ohm", "parts"):
        with pytest.raises(Missing, match=r"A two-way: what stands before its output (low|high)"):
            value(made, f"split left.{fact}")


def test_one_leg_that_was_not_measured_is_named(tmp_path):
    made = bought(tmp_path, {"high": IDEAL["high"]})
    assert value(made, "tweeter left.pad_db") == 0
    with pytest.raises(Missing, match="before its output low"):
        value(made, "split left.lowest_load_ohm")


def test_its_sheet_is_held_against_the_edge_that_is_asked(tmp_path):
    made = bought(tmp_path, edge="3500 BW12")
    assert value(made, "split left.sheet_edge_hz") == 2500
    assert value(made, "split left.asked_edge_hz") == 3500
    assert value(made, "split left.edge_apart_octaves") == pytest.approx(math.log2(1.4))


def test_one_made_for_the_job_has_no_sheet_to_differ_from(tmp_path):
    with pytest.raises(NotDefined, match="made for the edges"):
        value(engine(tmp_path, changed()), "split left.edge_apart_octaves")


def test_a_sheet_with_too_few_edges_is_named(tmp_path):
    network = {"outputs": ["low", "mid", "high"], "edges_hz": [300]}
    with pytest.raises(Missing, match="all of edges_hz"):
        value(bought(tmp_path, **network), "split left.edge_apart_octaves")


def test_every_part_bears_what_ohm_says(tmp_path):
    """40 W into 4 Ω are 12.65 V: on a pad before a resistor all that a tone does is known by hand."""
    legs = {"low": [], "high": [{"series_ohm": 2.0}, {"shunt_ohm": 4.0}]}
    made = engine(
        tmp_path,
        changed(
            chain__split__network={"legs": legs},
            chain__front__amplifier__banks=[{"channels": 4, "watts": {4: 40}, "min_ohm": 2}],
            ways__tweeter__driver=resistor(4, type="tweeter", size_mm=25),
            ways__midwoof__driver=resistor(4, type="midwoof", size_mm=165),
        ),
    )
    volts = math.sqrt(40 * 4)
    series_w = 2.0 * (volts / 4) ** 2
    assert value(made, "split left.resistor_sine_w") == pytest.approx(series_w, rel=1e-3)
    assert value(made, "split left.resistor_w") == pytest.approx(
        series_w * value(made, "job.programme_share"), rel=1e-3
    )
    assert "resistor in series" in value(made, "split left.hottest_resistor")
    with pytest.raises(NotDefined, match="no capacitor"):
        value(made, "split left.capacitor_v")


def test_a_capacitor_before_an_open_band_gets_what_the_channel_gives(tmp_path):
    legs = {"low": [], "high": [{"series_uf": 1.0}]}
    made = bought(tmp_path, legs)
    peak = math.sqrt(2) * value(made, "front.1.full_output_v")
    assert value(made, "split left.capacitor_v") == pytest.approx(peak, rel=1e-2)  # at 20 Hz it takes all of it


@pytest.mark.parametrize(
    ("legs", "what"),
    [
        ({"hihg": [{"series_uf": 4.7}]}, "has a leg 'hihg' but no such output; its outputs are low, high"),
        ({"high": [{"series_uf": 4.7, "shunt_mh": 0.3}]}, "is in series and across at once"),
        ({"high": [{}]}, "holds no part"),
        ({"high": [{"series_pf": 4.7}]}, "unknown key 'series_pf'"),
        ({"high": {"series_uf": 4.7}}, "is not a list"),
    ],
)
def test_a_slip_in_the_list_of_parts_is_told(tmp_path, legs, what):
    with pytest.raises(InputError) as caught:
        read_job(written(tmp_path, changed(chain__split__network={"legs": legs})), "job.yaml")
    assert len(caught.value.faults) == 1
    assert what in caught.value.faults[0].what
