import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import driver, levels, loudness
from advisor.physics.driver import Driver
from tests.printed import printed


def test_level_of_a_large_cone_at_its_limit():
    """A page on the web prints 83.3 dB for this cone, with the wrong power of frequency."""
    found = loudness.excursion_limited_db(50.0, displacement_m3=0.049 * 0.015)
    assert printed("113.7", source="derived: 113.6 to 113.8 by the true formula", within=0.2) == found
    assert found > 83.3 + 25.0


def test_travel_limit_falls_by_12_db_per_octave():
    high, low = loudness.excursion_limited_db(np.array([80.0, 40.0]), displacement_m3=2e-4)
    assert printed("12.04", source="derived: displacement needed goes with the square of frequency") == high - low


@given(st.floats(10.0, 500.0), st.floats(40.0, 130.0), st.floats(0.3, 5.0))
def test_displacement_round_trip(hz, level_db, distance_m):
    needed = loudness.displacement_needed_m3(hz, level_db=level_db, distance_m=distance_m)
    found = loudness.excursion_limited_db(hz, displacement_m3=needed, distance_m=distance_m)
    assert found == pytest.approx(level_db, abs=1e-9)


def test_travel_limit_is_the_level_of_the_driver_driven_that_far():
    sub = Driver(
        resonance_hz=28.0,
        electrical_q=0.45,
        mechanical_q=5.0,
        compliance_volume_m3=0.060,
        cone_area_m2=0.0330,
        coil_ohm=3.2,
    )
    moved = driver.closed(30.0, driver=sub, box_m3=0.025, voltage_v=17.0)
    limit = loudness.excursion_limited_db(30.0, displacement_m3=0.0330 * moved.peak_excursion_m[0])
    assert 20 * math.log10(abs(moved.pressure_1m_pa[0]) / 20e-6) == pytest.approx(limit, abs=1e-9)


def test_heat_limit():
    source = "derived from the definition of sensitivity"
    assert printed("108.0", source=source) == loudness.thermally_limited_db(sensitivity_1w_db=88.0, power_w=100.0)
    hot = loudness.thermally_limited_db(sensitivity_1w_db=88.0, power_w=100.0, compression_db=3.0)
    assert printed("105.0", source=source) == hot


def test_a_coil_loses_by_its_heat():
    source = "derived: 20 log10(1 + 0.5 (10^(3/20) - 1))"
    assert printed("1.63", source=source) == loudness.hot_coil_loss_db(power_share=0.5, at_rated_db=3.0)
    assert loudness.hot_coil_loss_db(power_share=1.0, at_rated_db=3.0) == pytest.approx(3.0)
    assert loudness.hot_coil_loss_db(power_share=0.0, at_rated_db=3.0) == 0.0
    with pytest.raises(ValueError, match="power_share"):
        loudness.hot_coil_loss_db(power_share=-1.0, at_rated_db=3.0)


@pytest.mark.parametrize(("phase_deg", "expected"), [(0.0, "6.02"), (90.0, "3.01"), (120.0, "0.00")])
def test_two_equal_sources(phase_deg, expected):
    found = loudness.coherent_sum_db(levels_db=np.array([80.0, 80.0]), phases_deg=np.array([0.0, phase_deg]))
    assert printed(expected, source="derived from superposition") == found - 80.0


def test_opposite_phase_cancels():
    found = loudness.coherent_sum_db(levels_db=np.array([80.0, 80.0]), phases_deg=np.array([0.0, 180.0]))
    assert found < -200.0


@given(st.floats(0.0, 30.0))
def test_over_all_phases_power_adds(difference_db):
    """The handbooks' table of additions is what is left of superposition when phases are random."""
    phases = np.stack([np.zeros(360), np.arange(360.0)], axis=-1)
    sums = loudness.coherent_sum_db(levels_db=np.array([80.0, 80.0 - difference_db]), phases_deg=phases)
    mean = 10 * np.log10(np.mean(10 ** (sums / 10)))
    by_power = levels.sum_of_levels_db(levels_db=np.array([80.0, 80.0 - difference_db]))
    assert mean == pytest.approx(by_power, abs=1e-9)


def test_refusals():
    with pytest.raises(ValueError, match="displacement_m3"):
        loudness.excursion_limited_db(50.0, displacement_m3=0.0)
    with pytest.raises(ValueError, match="power_w"):
        loudness.thermally_limited_db(sensitivity_1w_db=88.0, power_w=0.0)
    with pytest.raises(ValueError, match="compression_db"):
        loudness.thermally_limited_db(sensitivity_1w_db=88.0, power_w=1.0, compression_db=-1.0)
    with pytest.raises(ValueError, match="at least one source"):
        loudness.coherent_sum_db(levels_db=np.array([]), phases_deg=np.array([]))
