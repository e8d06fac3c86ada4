import math

import numpy as np
import pytest
import scipy.signal
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import filters
from tests.printed import printed

LINKWITZ = "Linkwitz 1976, from memory"
HANDBOOK = "filter handbook, from memory"
BESSEL = "gist.github.com/lattejed/baf233731363d5ec8a21a10d47d0c86a"
NORMALISED = "derived with scipy.signal.bessel"

HZ = np.geomspace(10.0, 40000.0, 301)
butterworth_orders = [("butterworth", n) for n in range(1, 9)]
linkwitz_riley_orders = [("linkwitz-riley", n) for n in (2, 4, 6, 8)]
bessel_orders = [("bessel", n) for n in range(1, 9)]


def level_db(value):
    return 20 * math.log10(abs(value))


def pair(family, order, edge_hz=1000.0):
    low = filters.response(HZ, family=family, order=order, edge_hz=edge_hz, kind="low-pass")
    high = filters.response(HZ, family=family, order=order, edge_hz=edge_hz, kind="high-pass")
    return low, high


@pytest.mark.parametrize("kind", ["low-pass", "high-pass"])
@pytest.mark.parametrize(("family", "order"), butterworth_orders + linkwitz_riley_orders)
def test_level_at_the_edge(family, order, kind):
    expected = {"butterworth": "-3.010", "linkwitz-riley": "-6.021"}[family]
    at_edge = filters.response(440.0, family=family, order=order, edge_hz=440.0, kind=kind)
    assert printed(expected, source=LINKWITZ, within=0.005) == level_db(at_edge)


@pytest.mark.parametrize(
    ("family", "order", "expected", "source"),
    [
        ("butterworth", 2, ["0.7071"], HANDBOOK),
        ("butterworth", 3, ["1.0"], HANDBOOK),
        ("butterworth", 4, ["0.5412", "1.3066"], HANDBOOK),
        ("butterworth", 6, ["0.5176", "0.7071", "1.9319"], HANDBOOK),
        ("butterworth", 8, ["0.5098", "0.6013", "0.9000", "2.5629"], HANDBOOK),
        ("bessel", 2, ["0.57735"], BESSEL),
        ("bessel", 3, ["0.69105"], BESSEL),
        ("bessel", 4, ["0.52193", "0.80554"], BESSEL),
        ("bessel", 6, ["0.51032", "0.61119", "1.02331"], BESSEL),
        ("bessel", 8, ["0.50599", "0.55961", "0.71085", "1.22567"], BESSEL),
    ],
)
def test_q_of_the_sections(family, order, expected, source):
    within = 1e-4 if family == "butterworth" else None
    rows = [printed(text, source=source, within=within) for text in expected]
    assert rows == list(filters.section_q(family, order))


@pytest.mark.parametrize(
    ("order", "expected"),
    [(2, [0.5]), (4, [0.7071, 0.7071]), (6, [0.5, 1.0, 1.0]), (8, [0.5412] * 2 + [1.3066] * 2)],
)
def test_linkwitz_riley_sections_are_butterworths_twice(order, expected):
    assert list(filters.section_q("linkwitz-riley", order)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize(
    ("family", "order", "expected", "source"),
    [
        ("butterworth", 3, ["1", "2", "2", "1"], HANDBOOK),
        ("butterworth", 4, ["1", "2.6131", "3.4142", "2.6131", "1"], HANDBOOK),
        ("linkwitz-riley", 2, ["1", "2", "1"], "handbook, from memory"),
        ("linkwitz-riley", 4, ["1", "2.8284", "4", "2.8284", "1"], "handbook, from memory"),
    ],
)
def test_polynomials(family, order, expected, source):
    rows = [printed(text, source=source, within=5e-5) for text in expected]
    assert rows == filters.polynomial(family, order).tolist()


@pytest.mark.parametrize(("order", "expected"), [(2, "-13.98"), (4, "-24.61")])
def test_an_octave_beyond_the_edge(order, expected):
    octave = filters.response(2000.0, family="linkwitz-riley", order=order, edge_hz=1000.0, kind="low-pass")
    assert printed(expected, source="derived from the polynomials") == level_db(octave)


@pytest.mark.parametrize(
    ("order", "bessel_edge", "expected"),
    [
        (2, "magnitude", "-3.010"),
        (4, "magnitude", "-3.010"),
        (2, "delay", "-1.597"),
        (4, "delay", "-0.630"),
        (2, "phase", "-4.771"),
        (4, "phase", "-7.578"),
    ],
)
def test_a_bessel_level_depends_on_what_the_edge_means(order, bessel_edge, expected):
    at_edge = filters.response(
        500.0, family="bessel", order=order, edge_hz=500.0, kind="low-pass", bessel_edge=bessel_edge
    )
    assert printed(expected, source=NORMALISED) == level_db(at_edge)


def test_the_edge_of_a_bessel_is_its_half_power_point_unless_said_otherwise():
    at_edge = filters.response(500.0, family="bessel", order=4, edge_hz=500.0, kind="low-pass")
    assert printed("-3.010", source=NORMALISED) == level_db(at_edge)


@given(st.sampled_from(butterworth_orders), st.floats(20.0, 20000.0), st.sampled_from(["low", "high"]))
def test_butterworth_against_scipy(shape, edge_hz, side):
    b, a = scipy.signal.butter(shape[1], 2 * np.pi * edge_hz, side, analog=True)
    _, expected = scipy.signal.freqs(b, a, worN=2 * np.pi * HZ)
    found = filters.response(HZ, family="butterworth", order=shape[1], edge_hz=edge_hz, kind=f"{side}-pass")
    np.testing.assert_allclose(found, expected, rtol=1e-7)


@given(st.sampled_from(linkwitz_riley_orders), st.floats(20.0, 20000.0), st.sampled_from(["low", "high"]))
def test_linkwitz_riley_against_scipy(shape, edge_hz, side):
    """Two Butterworths of half the order in a row."""
    sections = scipy.signal.butter(shape[1] // 2, 2 * np.pi * edge_hz, side, analog=True)
    _, half = scipy.signal.freqs(*sections, worN=2 * np.pi * HZ)
    found = filters.response(HZ, family="linkwitz-riley", order=shape[1], edge_hz=edge_hz, kind=f"{side}-pass")
    np.testing.assert_allclose(found, half**2, rtol=1e-7)


@given(
    st.integers(1, 8),
    st.floats(20.0, 20000.0),
    st.sampled_from(["low", "high"]),
    st.sampled_from([("magnitude", "mag"), ("phase", "phase"), ("delay", "delay")]),
)
def test_bessel_against_scipy(order, edge_hz, side, meaning):
    zeros, poles, gain = scipy.signal.bessel(
        order, 2 * np.pi * edge_hz, side, analog=True, output="zpk", norm=meaning[1]
    )
    _, expected = scipy.signal.freqs_zpk(zeros, poles, gain, worN=2 * np.pi * HZ)
    found = filters.response(
        HZ, family="bessel", order=order, edge_hz=edge_hz, kind=f"{side}-pass", bessel_edge=meaning[0]
    )
    # In scipy the delay of a high-pass is that of its low-pass mirrored, as here.
    np.testing.assert_allclose(found, expected, rtol=1e-7)


@pytest.mark.parametrize("order", [4, 8])
def test_linkwitz_riley_24_and_48_sum_to_an_all_pass(order):
    low, high = pair("linkwitz-riley", order)
    np.testing.assert_allclose(np.abs(low + high), 1.0, rtol=1e-12)
    np.testing.assert_allclose(np.angle(low / high), 0.0, atol=1e-9)


@pytest.mark.parametrize("order", [2, 6])
def test_linkwitz_riley_12_and_36_sum_to_an_all_pass_with_one_way_inverted(order):
    low, high = pair("linkwitz-riley", order)
    np.testing.assert_allclose(np.abs(low - high), 1.0, rtol=1e-12)
    at_edge = filters.response(1000.0, family="linkwitz-riley", order=order, edge_hz=1000.0, kind="low-pass")
    other = filters.response(1000.0, family="linkwitz-riley", order=order, edge_hz=1000.0, kind="high-pass")
    assert abs(at_edge + other) < 1e-12, "in equal polarity they cancel at the edge"


@pytest.mark.parametrize("order", [1, 3, 5, 7])
def test_odd_butterworths_sum_to_an_all_pass_in_either_polarity(order):
    low, high = pair("butterworth", order)
    np.testing.assert_allclose(np.abs(low + high), 1.0, rtol=1e-10)
    np.testing.assert_allclose(np.abs(low - high), 1.0, rtol=1e-10)


@pytest.mark.parametrize("order", range(1, 9))
def test_butterworths_sum_to_constant_power(order):
    low, high = pair("butterworth", order)
    np.testing.assert_allclose(np.abs(low) ** 2 + np.abs(high) ** 2, 1.0, rtol=1e-10)


def test_second_order_butterworths_have_a_3_db_hump_with_one_way_inverted():
    low, high = pair("butterworth", 2)
    assert 20 * np.log10(np.abs(low - high).max()) == pytest.approx(3.01, abs=0.01)


@pytest.mark.parametrize(("family", "order"), butterworth_orders + linkwitz_riley_orders + bessel_orders)
def test_slope_far_out(family, order):
    far = filters.response(np.array([64000.0, 128000.0]), family=family, order=order, edge_hz=1000.0, kind="low-pass")
    per_octave = 20 * np.log10(np.abs(far[0] / far[1]))
    assert per_octave == pytest.approx(filters.slope_db_per_octave(order), abs=0.03 * order)


@pytest.mark.parametrize(("family", "order"), butterworth_orders + linkwitz_riley_orders + bessel_orders)
def test_passbands_are_one_and_stopbands_end_in_silence(family, order):
    assert filters.response(0.0, family=family, order=order, edge_hz=1000.0, kind="low-pass") == pytest.approx(1)
    assert filters.response(0.0, family=family, order=order, edge_hz=1000.0, kind="high-pass") == 0
    high = filters.response(1e9, family=family, order=order, edge_hz=1000.0, kind="high-pass")
    assert abs(high) == pytest.approx(1.0, abs=1e-5)


@pytest.mark.parametrize("order", [0, 9, 2.0, -1])
def test_orders_run_from_one_to_eight(order):
    with pytest.raises(ValueError, match="whole number from 1 to 8"):
        filters.polynomial("butterworth", order)


def test_refusals():
    with pytest.raises(ValueError, match="even order"):
        filters.polynomial("linkwitz-riley", 3)
    with pytest.raises(ValueError, match="even order"):
        filters.section_q("linkwitz-riley", 5)
    with pytest.raises(ValueError, match="family"):
        filters.polynomial("elliptic", 2)
    with pytest.raises(ValueError, match="bessel_edge"):
        filters.polynomial("bessel", 2, "loudness")
    with pytest.raises(ValueError, match="kind"):
        filters.response(100.0, family="butterworth", order=2, edge_hz=100.0, kind="band-stop")
    with pytest.raises(ValueError, match="edge_hz"):
        filters.response(100.0, family="butterworth", order=2, edge_hz=0.0, kind="low-pass")
    with pytest.raises(ValueError, match="order"):
        filters.slope_db_per_octave(0)


def test_a_stored_polynomial_cannot_be_changed():
    with pytest.raises(ValueError, match="read-only"):
        filters.polynomial("butterworth", 4)[0] = 2.0
