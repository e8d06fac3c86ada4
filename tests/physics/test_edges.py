import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import edges, filters


def closed_form(q):
    """Half-power edge of a second-order high-pass over its resonance (Small 1972, Part I, from memory)."""
    a = 1 / q**2 - 2
    return math.sqrt((a + math.sqrt(a * a + 4)) / 2)


@given(st.floats(5.0, 5000.0), st.floats(0.3, 3.0))
def test_lower_edge_against_the_closed_form(resonance_hz, q):
    def response(hz):
        s = 1j * hz / resonance_hz
        return s**2 / (s**2 + s / q + 1)

    found = edges.lower_edge_hz(response, drop_db=10 * math.log10(2), low_hz=1.0)
    assert found == pytest.approx(resonance_hz * closed_form(q), rel=2e-9)


@given(st.floats(5.0, 10000.0), st.integers(1, 8), st.floats(1.0, 30.0))
def test_both_edges_of_a_butterworth_against_the_closed_form(edge_hz, order, drop_db):
    ratio = (10 ** (drop_db / 10) - 1) ** (1 / (2 * order))

    def low(hz):
        return filters.response(hz, family="butterworth", order=order, edge_hz=edge_hz, kind="low-pass")

    def high(hz):
        return filters.response(hz, family="butterworth", order=order, edge_hz=edge_hz, kind="high-pass")

    bounds = {"low_hz": 0.01, "high_hz": 1e6}
    assert edges.upper_edge_hz(low, drop_db=drop_db, **bounds) == pytest.approx(edge_hz * ratio, rel=2e-9)
    assert edges.lower_edge_hz(high, drop_db=drop_db, **bounds) == pytest.approx(edge_hz / ratio, rel=2e-9)


def two_bands(hz):
    """Pass above 400 Hz, a hole at 200 to 400 Hz, pass again at 100 to 200 Hz."""
    return np.where((hz >= 400.0) | ((hz >= 100.0) & (hz < 200.0)), 1.0, 0.01)


def test_a_hole_ends_the_band():
    assert edges.lower_edge_hz(two_bands, drop_db=6.0) == pytest.approx(400.0, rel=1e-9)
    assert edges.upper_edge_hz(two_bands, drop_db=6.0) == pytest.approx(200.0, rel=1e-9)


def test_a_band_pass_is_climbed_into():
    def band(hz):
        return np.where((hz > 100.0) & (hz < 1000.0), 1.0, 0.0)

    assert edges.lower_edge_hz(band, drop_db=3.0) == pytest.approx(100.0, rel=1e-9)
    assert edges.upper_edge_hz(band, drop_db=3.0) == pytest.approx(1000.0, rel=1e-9)


@pytest.mark.parametrize("level", [1.0, 0.001])
def test_no_edge_where_the_level_is_never_crossed(level):
    with pytest.raises(ValueError, match="does not fall through -6 dB between 2 and 20000 Hz"):
        edges.lower_edge_hz(lambda hz: np.full_like(hz, level), drop_db=6.0)


def test_refuses_an_empty_search_and_a_rise():
    with pytest.raises(ValueError, match="low_hz < high_hz"):
        edges.lower_edge_hz(two_bands, drop_db=6.0, low_hz=100.0, high_hz=100.0)
    with pytest.raises(ValueError, match="drop_db"):
        edges.lower_edge_hz(two_bands, drop_db=0.0)
