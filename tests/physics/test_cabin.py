import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import cabin
from tests.printed import printed

TEXTBOOK = "CB-01, textbook, from memory"


@pytest.mark.parametrize(("length_m", "expected"), [(2.5, "68.6"), (2.9, "59.2"), (3.5, "49.0")])
def test_first_mode(length_m, expected):
    assert printed(expected, source=TEXTBOOK) == cabin.first_axial_mode_hz(length_m=length_m)


def test_first_mode_of_110_inches():
    found = cabin.first_axial_mode_hz(length_m=110 * 0.0254, sound_speed_m_s=13500 * 0.0254)
    assert printed("61", source="CB-01, worked on diymobileaudio.com thread 120190") == found


def slope_db_per_octave(gain, hz):
    return gain(hz / 2) - gain(hz)


def test_a_sealed_cabin_rises_by_12_db_per_octave():
    """CB-02, S. Linkwitz. X-6: a formula on the web gives only 6 dB per octave."""

    def sealed(hz):
        return cabin.sealed_gain_db(hz, cabin_m3=3.0)

    def smooth(hz):
        return cabin.cabin_gain_db(hz, mode_hz=60.0, leak_hz=0.0)

    def wrong(hz):
        return 20 * math.log10(343.2 / (2 * math.pi * hz * 3.0 ** (1 / 3)))

    source = "CB-02, S. Linkwitz, text copied on hk.hiendlife.com thread 40348"
    assert printed("12", source=source) == slope_db_per_octave(sealed, 30.0)
    assert printed("12", source=source) == slope_db_per_octave(smooth, 5.0)
    assert printed("12", source=source) != slope_db_per_octave(wrong, 30.0)


def test_sealed_gain_is_compression_over_radiation():
    hz, volume, flow = 25.0, 3.0, 0.01
    omega = 2 * math.pi * hz
    inside = 1.204 * 343.2**2 * flow / (omega * volume)
    outside = 1.204 * omega * flow / (2 * math.pi)
    assert cabin.sealed_gain_db(hz, cabin_m3=volume) == pytest.approx(20 * math.log10(inside / outside), rel=1e-12)


@given(st.floats(40.0, 90.0), st.floats(2.0, 30.0))
def test_gain_is_bounded_and_ends_above_the_mode(mode_hz, leak_hz):
    hz = np.geomspace(0.01, 20000.0, 301)
    gain = cabin.cabin_gain_db(hz, mode_hz=mode_hz, leak_hz=leak_hz)
    most = 40 * math.log10(mode_hz / leak_hz)
    assert np.all(np.diff(gain) <= 1e-12)
    assert np.all(gain <= most + 1e-9)
    assert gain[0] == pytest.approx(most, abs=1e-3)
    assert gain[-1] == pytest.approx(0.0, abs=1e-3)


def test_refusals():
    with pytest.raises(ValueError, match="must be below mode_hz"):
        cabin.cabin_gain_db(20.0, mode_hz=60.0, leak_hz=60.0)
    with pytest.raises(ValueError, match="frequency_hz"):
        cabin.cabin_gain_db(0.0, mode_hz=60.0, leak_hz=10.0)
    with pytest.raises(ValueError, match="length_m"):
        cabin.first_axial_mode_hz(length_m=0.0)
