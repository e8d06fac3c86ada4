import math

import numpy as np
import pytest
import scipy.integrate
import scipy.special
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import directivity, edges
from tests.printed import printed

EARGLE = "PD-01, Eargle, Electroacoustical Reference Data, formula seen, answer computed"
TABLES = "PD-02, Bessel tables, from memory"
RADIUS, SPEED = 0.1, 343.2


def frequency_of(x, angle_deg=90.0):
    """Frequency at which k a sin(angle) is x."""
    return x * SPEED / (2 * math.pi * RADIUS * math.sin(math.radians(angle_deg)))


@pytest.mark.parametrize("angle_deg", [20.0, 90.0])
@pytest.mark.parametrize(
    ("x", "expected"),
    [
        (0.5, "0.9691"),
        (1.0, "0.8801"),
        (1.5, "0.7439"),
        (2.0, "0.5767"),
        (2.5, "0.3977"),
        (3.0, "0.2260"),
        (3.5, "0.0785"),
    ],
)
def test_off_axis_amplitude(x, expected, angle_deg):
    found = directivity.piston(frequency_of(x, angle_deg), radius_m=RADIUS, angle_deg=angle_deg)
    assert printed(expected, source=EARGLE, within=1e-4) == found


@pytest.mark.parametrize(
    ("drop_db", "expected"),
    [(10 * math.log10(2), "1.6163"), (20 * math.log10(2), "2.2151"), (6.0, "2.2118")],
)
def test_where_the_main_lobe_has_fallen(drop_db, expected):
    assert printed(expected, source=TABLES, within=1e-4) == directivity.main_lobe_argument(drop_db=drop_db)


@pytest.mark.parametrize("null", ["3.8317", "7.0156", "10.1735"])
def test_nulls(null):
    inside, outside = (
        directivity.piston(frequency_of(float(null) + step), radius_m=RADIUS, angle_deg=90.0) for step in (-6e-5, 6e-5)
    )
    assert inside * outside < 0, f"the amplitude changes sign at {printed(null, source=TABLES).text}"


def test_first_side_lobe():
    x = np.linspace(4.0, 7.0, 30001)
    level = directivity.piston_db(frequency_of(x), radius_m=RADIUS, angle_deg=90.0)
    assert printed("-17.57", source=TABLES) == level.max()
    assert printed("5.136", source=TABLES) == x[level.argmax()]


@given(st.floats(0.01, 0.2), st.floats(5.0, 90.0), st.floats(0.5, 20.0))
def test_beaming_is_the_upper_edge_of_the_off_axis_response(radius_m, angle_deg, drop_db):
    def off_axis(hz):
        return directivity.piston(hz, radius_m=radius_m, angle_deg=angle_deg)

    found = directivity.beams_above_hz(radius_m=radius_m, angle_deg=angle_deg, drop_db=drop_db)
    edge = edges.upper_edge_hz(off_axis, drop_db=drop_db, low_hz=10.0, high_hz=1e6)
    assert found == pytest.approx(edge, rel=1e-8)


@pytest.mark.parametrize("ka", [0.01, 0.049, 0.051, 0.3, 1.0, 3.0, 10.0])
def test_directivity_index_is_the_mean_over_the_half_sphere(ka):
    def intensity(angle):
        x = ka * math.sin(angle)
        return (2 * scipy.special.j1(x) / x if x else 1.0) ** 2 * math.sin(angle)

    # All round, a source of equal power would spread over 4 pi; the baffled piston has 2 pi to fill.
    mean, _ = scipy.integrate.quad(intensity, 0.0, math.pi / 2, epsabs=1e-13)
    found = directivity.directivity_index_db(frequency_of(ka), radius_m=RADIUS)
    assert found == pytest.approx(10 * math.log10(2 / mean), abs=1e-8)


def test_on_the_axis_nothing_is_lost():
    assert directivity.piston(20000.0, radius_m=RADIUS, angle_deg=0.0) == 1.0
    assert directivity.piston(0.0, radius_m=RADIUS, angle_deg=90.0) == 1.0
    with pytest.raises(ValueError, match="angle_deg"):
        directivity.beams_above_hz(radius_m=RADIUS, angle_deg=0.0)


def test_radius_of_an_area():
    assert directivity.effective_radius_m(cone_area_m2=math.pi * 0.065**2) == pytest.approx(0.065, rel=1e-12)


def test_refusals():
    with pytest.raises(ValueError, match="angle_deg"):
        directivity.piston(100.0, radius_m=RADIUS, angle_deg=100.0)
    with pytest.raises(ValueError, match="radius_m"):
        directivity.piston_db(100.0, radius_m=0.0, angle_deg=30.0)
    with pytest.raises(ValueError, match="drop_db"):
        directivity.main_lobe_argument(drop_db=0.0)


@pytest.mark.parametrize("drop_db", [0.01, 0.5, 3.0103, 6.0, 12.0, 40.0])
def test_main_lobe_found_by_series_is_that_of_the_bessel_function(drop_db):
    x = directivity.main_lobe_argument(drop_db=drop_db)
    assert -20 * math.log10(2 * scipy.special.j1(x) / x) == pytest.approx(drop_db, rel=1e-9)


def test_piston_agrees_with_the_bessel_function_far_past_its_main_lobe():
    x = np.linspace(0.001, 90.0, 500)
    found = directivity.piston(frequency_of(x), radius_m=RADIUS, angle_deg=90.0, sound_speed_m_s=SPEED)
    assert found == pytest.approx(2 * scipy.special.j1(x) / x, abs=1e-12)  # cancels near the axis


def test_directivity_index_agrees_with_the_bessel_function_of_the_library():
    ka = np.geomspace(0.06, 60.0, 200)
    expected = 10 * np.log10(ka**2 / (1 - scipy.special.j1(2 * ka) / ka))
    hz = ka * SPEED / (2 * math.pi * RADIUS)
    assert directivity.directivity_index_db(hz, radius_m=RADIUS) == pytest.approx(expected, abs=1e-9)
