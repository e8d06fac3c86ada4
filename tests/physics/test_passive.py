import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import filters, ladder, passive
from tests.printed import printed

PROBLEM = "textbook problem P5.64 on numerade.com, inputs seen, answer computed"
EQUATIONS = "colomar.com crossover equations, citing Dickason"
DICKASON = "Dickason 1991, from memory"
WORKED = "derived from the constants of colomar.com, citing Dickason"
HANDBOOK = "handbook, from memory"

buildable = [
    *[("butterworth", n) for n in (1, 2, 3, 4)],
    *[("linkwitz-riley", n) for n in (2, 4)],
    *[("bessel", n) for n in (1, 2, 3, 4)],
]


def values(parts):
    """Inductances and capacitances of a network, in the order of their names L, C, ... from the source on."""
    return [part.inductance_h or part.capacitance_f for part in parts]


@pytest.mark.parametrize(
    ("edge_hz", "load_ohm", "millihenry", "microfarad"),
    [(1200.0, 8.0, "1.061", "16.58"), (3000.0, 4.0, "0.2122", "13.26")],
)
def test_first_order(edge_hz, load_ohm, millihenry, microfarad):
    shape = {"family": "butterworth", "order": 1, "edge_hz": edge_hz, "load_ohm": load_ohm}
    (coil,) = passive.network(kind="low-pass", **shape)
    (capacitor,) = passive.network(kind="high-pass", **shape)
    assert printed(millihenry, source=PROBLEM, share=1e-3) == 1e3 * coil.inductance_h
    assert printed(microfarad, source=PROBLEM, share=1e-3) == 1e6 * capacitor.capacitance_f


@pytest.mark.parametrize(
    ("family", "order", "kind", "expected", "source"),
    [
        ("butterworth", 2, "high-pass", ["0.1125", "0.2251"], EQUATIONS + " (from memory)"),
        ("butterworth", 2, "low-pass", ["0.2251", "0.1125"], EQUATIONS + " (from memory)"),
        ("linkwitz-riley", 2, "high-pass", ["0.0796", "0.3183"], EQUATIONS),
        ("linkwitz-riley", 2, "low-pass", ["0.3183", "0.0796"], EQUATIONS),
        ("butterworth", 3, "high-pass", ["0.1061", "0.1194", "0.3183"], EQUATIONS),
        ("butterworth", 3, "low-pass", ["0.2387", "0.2122", "0.0796"], EQUATIONS),
        ("linkwitz-riley", 4, "high-pass", ["0.0844", "0.1000", "0.1688", "0.4501"], EQUATIONS),
        ("linkwitz-riley", 4, "low-pass", ["0.3000", "0.2533", "0.1500", "0.0563"], EQUATIONS),
        ("butterworth", 4, "high-pass", ["0.1040", "0.1009", "0.1470", "0.4159"], DICKASON),
        ("butterworth", 4, "low-pass", ["0.2437", "0.2509", "0.1723", "0.0609"], DICKASON),
    ],
)
def test_constants_of_two_way_networks(family, order, kind, expected, source):
    """At 1 Hz and 1 ohm the parts are the printed constants, which the books round loosely at the fourth order."""
    within = 1.5e-4 if order == 4 else None
    found = values(passive.network(family=family, order=order, edge_hz=1.0, kind=kind, load_ohm=1.0))
    assert [printed(text, source=source, within=within) for text in expected] == found


@pytest.mark.parametrize(
    ("family", "kind", "constants"),
    [
        ("linkwitz-riley", "high-pass", [0.0844, 0.1000, 0.1688, 0.4501]),
        ("linkwitz-riley", "low-pass", [0.3000, 0.2533, 0.1500, 0.0563]),
        ("butterworth", "high-pass", [0.1040, 0.1009, 0.1470, 0.4159]),
        ("butterworth", "low-pass", [0.2437, 0.2509, 0.1723, 0.0609]),
    ],
)
def test_printed_constants_solved_as_a_ladder(family, kind, constants):
    """With the constants as printed the response is within 0.006 dB from a twentieth to 20 times edge."""
    hz = np.geomspace(0.05, 20.0, 201)
    names = ["capacitance_f", "inductance_h"] if kind == "high-pass" else ["inductance_h", "capacitance_f"]
    parts = [
        ladder.Element(("series", "shunt")[n % 2], **{names[n % 2]: constant}) for n, constant in enumerate(constants)
    ]
    found = ladder.solve(hz, elements=parts, load_ohm=1.0).transfer
    ideal = filters.response(hz, family=family, order=4, edge_hz=1.0, kind=kind)
    assert np.abs(20 * np.log10(np.abs(found / ideal))).max() <= 0.006


@pytest.mark.parametrize(
    ("order", "kind", "expected"),
    [
        (2, "high-pass", [("11.25", 1e6), ("0.3601", 1e3)]),
        (2, "low-pass", [("0.3601", 1e3), ("11.25", 1e6)]),
        (3, "high-pass", [("10.61", 1e6), ("0.1910", 1e3), ("31.83", 1e6)]),
        (3, "low-pass", [("0.3820", 1e3), ("21.22", 1e6), ("0.1273", 1e3)]),
    ],
)
def test_worked_networks(order, kind, expected):
    found = values(passive.network(family="butterworth", order=order, edge_hz=2500.0, kind=kind, load_ohm=4.0))
    rows = [printed(text, source=WORKED, share=1e-3) for text, _ in expected]
    assert rows == [value * unit for value, (_, unit) in zip(found, expected, strict=True)]


@given(
    st.sampled_from(buildable),
    st.sampled_from(["low-pass", "high-pass"]),
    st.floats(30.0, 8000.0),
    st.floats(1.0, 16.0),
)
def test_a_solved_network_is_the_filter_it_was_made_for(shape, kind, edge_hz, load_ohm):
    hz = edge_hz * np.geomspace(0.02, 50.0, 61)
    family, order = shape
    parts = passive.network(family=family, order=order, edge_hz=edge_hz, kind=kind, load_ohm=load_ohm)
    expected = filters.response(hz, family=family, order=order, edge_hz=edge_hz, kind=kind)
    found = ladder.solve(hz, elements=parts, load_ohm=load_ohm).transfer
    np.testing.assert_allclose(found, expected, rtol=1e-8)


def test_voice_coil_compensation_makes_a_plain_resistance():
    part = passive.coil_compensation(coil_ohm=6.5, coil_h=1.87e-3)
    assert printed("44.26", source="Zobel's identity, textbook, from memory") == 1e6 * part.capacitance_f
    hz = np.geomspace(10.0, 20000.0, 61)
    seen = ladder.solve(hz, elements=[part], load_ohm=6.5 + 2j * np.pi * hz * 1.87e-3).input_ohm
    np.testing.assert_allclose(seen, 6.5, rtol=1e-12)


@pytest.mark.parametrize(
    ("load_ohm", "drop_db", "series", "parallel"),
    [(8.0, 6.0, "3.991", "8.038"), (8.0, 3.0, "2.336", "19.39"), (4.0, 3.0, "1.168", "9.696")],
)
def test_pads(load_ohm, drop_db, series, parallel):
    found = passive.pad_ohm(load_ohm=load_ohm, drop_db=drop_db)
    assert [printed(text, source=HANDBOOK, share=1e-3) for text in (series, parallel)] == list(found)


@given(st.floats(1.0, 32.0), st.floats(0.1, 40.0))
def test_a_pad_keeps_the_impedance_and_drops_the_level(load_ohm, drop_db):
    series, parallel = passive.pad_ohm(load_ohm=load_ohm, drop_db=drop_db)
    parts = [
        ladder.Element("series", resistance_ohm=series),
        ladder.Element("shunt", resistance_ohm=parallel),
    ]
    padded = ladder.solve(np.array([1000.0]), elements=parts, load_ohm=load_ohm)
    assert padded.input_ohm[0] == pytest.approx(load_ohm, rel=1e-9)
    assert 20 * math.log10(abs(padded.transfer[0])) == pytest.approx(-drop_db, rel=1e-9)


def test_refusals():
    with pytest.raises(ValueError, match="1 to 4 for a passive network"):
        passive.network(family="butterworth", order=5, edge_hz=100.0, kind="low-pass", load_ohm=4.0)
    with pytest.raises(ValueError, match="even order"):
        passive.network(family="linkwitz-riley", order=3, edge_hz=100.0, kind="low-pass", load_ohm=4.0)
    with pytest.raises(ValueError, match="kind"):
        passive.network(family="butterworth", order=2, edge_hz=100.0, kind="notch", load_ohm=4.0)
    with pytest.raises(ValueError, match="load_ohm"):
        passive.network(family="butterworth", order=2, edge_hz=100.0, kind="low-pass", load_ohm=0.0)
    with pytest.raises(ValueError, match="drop_db"):
        passive.pad_ohm(load_ohm=4.0, drop_db=0.0)
