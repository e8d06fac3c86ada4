"""Passive networks through whole job files: parts, what they pass on, what they ask of the channel."""

from __future__ import annotations

import re

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value
from tests.printed import printed

FIRST_ORDER = "textbook problem P5.64 on numerade.com, inputs seen, answer computed"
WORKED = "derived from constants of colomar.com citing Dickason"
COMPENSATION = "Zobel identity, textbook (from memory)"

# a coil with next to no cone behind it is the resistor the books reckon with
FLAT = {"fs_hz": 1, "qts": 1e-6, "qes": 1, "qms": 1e-6, "power_w": 50}


def resistor(ohm, **more):
    return {**FLAT, "impedance_ohm": ohm, "re_ohm": ohm, **more}


def pair(tmp_path, low_edge, high_edge=None, ohm=4, **more):
    return engine(
        tmp_path,
        changed(
            ways__tweeter__driver=resistor(ohm, type="tweeter", size_mm=25),
            ways__tweeter__plays=[low_edge, "open"],
            ways__midwoof__driver=resistor(ohm, type="midwoof", size_mm=165, **more),
            ways__midwoof__plays=["75 LR24", high_edge or low_edge],
        ),
    )


def computed(made, way):
    """Return the values before rounding, in the order of the parts."""
    listed = [part for part in value(made, "split left.parts") if part.startswith(f"{way} left")]
    return [tuple(float(n) for n in re.findall(r"([\d.]+) (?:mH|µF|Ω)[,)]", part)) for part in listed]


@pytest.mark.parametrize(
    ("hz", "ohm", "millihenry", "microfarad"), [(1200, 8, "1.061", "16.58"), (3000, 4, "0.2122", "13.26")]
)
def test_first_order(tmp_path, hz, ohm, millihenry, microfarad):
    made = pair(tmp_path, f"{hz} BW6", ohm=ohm)
    assert printed(millihenry, source=FIRST_ORDER, share=1e-3) == computed(made, "midwoof")[0][0]
    assert printed(microfarad, source=FIRST_ORDER, share=1e-3) == computed(made, "tweeter")[0][0]


@pytest.mark.parametrize(
    ("edge", "low", "high"),
    [
        ("2500 BW12", ["0.3601", "11.25"], ["11.25", "0.3601"]),
        ("2500 BW18", ["0.3820", "21.22", "0.1273"], ["10.61", "0.1910", "31.83"]),
    ],
)
def test_worked_values(tmp_path, edge, low, high):
    made = pair(tmp_path, edge)
    for way, expected in (("midwoof", low), ("tweeter", high)):
        for text, found in zip(expected, computed(made, way), strict=True):
            assert printed(text, source=WORKED, share=1e-3) == found[0]


def test_compensation_of_a_coil(tmp_path):
    made = pair(tmp_path, "2500 BW12", ohm=6.5, le_mh=1.87)
    ohm, microfarad = (
        float(n) for n in re.findall(r"\(([\d.]+) Ω, ([\d.]+) µF\)", str(value(made, "split left.parts")))[0]
    )
    assert printed("6.5", source=COMPENSATION) == ohm
    assert printed("44.26", source=COMPENSATION) == microfarad


def test_parts_are_listed_from_the_amplifier_on_with_values_that_are_sold(tmp_path):
    parts = value(pair(tmp_path, "2500 BW12"), "split left.parts")
    assert [part.split(" (")[0] for part in parts] == [
        "midwoof left: coil in series, 0.36 mH",
        "midwoof left: capacitor across, 12 µF",
        "tweeter left: capacitor in series, 12 µF",
        "tweeter left: coil across, 0.36 mH",
    ]


@pytest.mark.parametrize(("edge", "level"), [("2500 LR12", "-6.02"), ("2500 BW12", "-3.01"), ("2500 BW6", "-3.01")])
def test_on_a_resistor_the_edge_is_where_the_filter_has_it(tmp_path, edge, level):
    """To the step between values that are sold (a tenth) and the wire of the coils."""
    source = "Linkwitz, JAES 24(1) 1976 (from memory)"
    assert printed(level, source=source, within=0.9) == value(pair(tmp_path, edge), "split left.response_at_edge_db")


def test_a_real_driver_moves_what_a_resistor_keeps(tmp_path):
    plain = value(pair(tmp_path, "2400 LR12"), "split left.edge_strays_db")
    (tmp_path / "real").mkdir()
    near = changed(ways__tweeter__plays=["1150 LR12", "open"], ways__midwoof__plays=["75 LR24", "1150 LR12"])
    assert value(engine(tmp_path / "real", near), "split left.edge_strays_db") > plain + 2


def test_the_wire_of_a_larger_coil_loses_more(tmp_path):
    losses = []
    for edge in ("3000 BW12", "300 BW12"):
        folder = tmp_path / edge.replace(" ", "")
        folder.mkdir()
        losses.append(value(pair(folder, edge), "split left.insertion_loss_db"))
    assert 0 < losses[0] < losses[1]


def test_the_channel_sees_no_less_than_both_branches_together(tmp_path):
    made = engine(tmp_path, changed())
    assert 3.3 * 3.4 / (3.3 + 3.4) < value(made, "split left.lowest_load_ohm") < 3.6


def test_an_edge_without_a_filter_is_asked_for(tmp_path):
    made = engine(tmp_path, changed(ways__tweeter__plays=[2400, "open"]))
    with pytest.raises(Missing, match="filter of its low edge"):
        value(made, "split left.parts")


def test_the_sheet_of_a_ready_made_network_has_no_parts(tmp_path):
    ready = {"title": "Two-way", "edges_hz": [2400], "slopes_db_per_octave": [12], "price": 60, "fit_h": 1}
    made = engine(tmp_path, changed(chain__split__network=ready))
    with pytest.raises(Missing, match="what stands before its output"):
        value(made, "split left.insertion_loss_db")


def test_nobody_builds_a_sixth_order_of_coils(tmp_path):
    made = engine(tmp_path, changed(ways__tweeter__plays=["2400 LR36", "open"]))
    with pytest.raises(NotDefined):
        value(made, "split left.parts")
