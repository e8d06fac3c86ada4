import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import listening
from tests.printed import printed

WOODWORTH = "LO-09, Woodworth, from memory; computed there for c = 343 m/s"
PUBLISHED = "LO-09, published range of 650 to 700 us, an encyclopaedia"


@pytest.mark.parametrize(("angle_deg", "microseconds"), [(30.0, "261"), (45.0, "381"), (90.0, "656")])
def test_time_between_the_ears(angle_deg, microseconds):
    found = 1e6 * listening.ear_to_ear_s(angle_deg=angle_deg, sound_speed_m_s=343.0)
    assert printed(microseconds, source=WOODWORTH, share=0.01) == found


def test_the_most_between_the_ears_is_in_the_published_range():
    assert printed("675", source=PUBLISHED, within=25) == 1e6 * listening.ear_to_ear_s(angle_deg=90.0)


@given(st.floats(0.0, 89.0), st.floats(0.01, 1.0))
def test_more_aside_is_longer_apart(angle_deg, more_deg):
    assert listening.ear_to_ear_s(angle_deg=angle_deg + more_deg) > listening.ear_to_ear_s(angle_deg=angle_deg)


@given(st.floats(1e-5, 0.05), st.floats(-30.0, 30.0))
def test_where_and_how_deep_two_arrivals_cancel(apart_s, difference_db):
    at_hz = listening.first_cancellation_hz(apart_s=apart_s)
    hz = np.linspace(0.5, 1.5, 401) * at_hz
    other = 10 ** (difference_db / 20)
    together = np.abs(1 + other * np.exp(-2j * math.pi * hz * apart_s))
    assert hz[together.argmin()] == pytest.approx(at_hz, rel=0.003)
    by_power = math.sqrt(1 + other**2)
    if abs(difference_db) > 0.05:
        expected = 20 * math.log10(by_power / together.min())
        assert listening.cancellation_db(level_difference_db=difference_db) == pytest.approx(expected, abs=1e-6)


def test_equal_arrivals_cancel_as_deep_as_is_told():
    assert listening.cancellation_db(level_difference_db=0.0) == pytest.approx(listening.COMPLETE_DB)


@given(st.floats(0.1, 3.0), st.floats(-1.5, 1.5))
def test_elevation_leads_back_to_the_height(across_m, up_m):
    distance_m = math.hypot(across_m, up_m)
    found = listening.elevation_deg(height_m=1.5 + up_m, ear_height_m=1.5, distance_m=distance_m)
    assert math.radians(found) == pytest.approx(math.atan2(up_m, across_m), abs=1e-6)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: listening.ear_to_ear_s(angle_deg=91.0), "angle_deg must lie between"),
        (lambda: listening.ear_to_ear_s(angle_deg=10.0, head_radius_m=0.0), "head_radius_m must be"),
        (lambda: listening.first_cancellation_hz(apart_s=0.0), "apart_s must be"),
        (lambda: listening.cancellation_db(level_difference_db=float("nan")), "level_difference_db must be"),
        (lambda: listening.elevation_deg(height_m=0.0, ear_height_m=1.2, distance_m=1.0), "shorter than the two"),
        (lambda: listening.elevation_deg(height_m=0.0, ear_height_m=1.2, distance_m=0.0), "distance_m must be"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()
