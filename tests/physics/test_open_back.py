import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import driver, open_back
from tests.physics.test_driver import HZ, SUB

BAFFLED = driver.infinite_baffle(HZ, driver=SUB)


def test_without_a_baffle_bass_falls_a_further_6_db_per_octave():
    bare = open_back.free_air(HZ, driver=SUB, path_m=0.25)
    np.testing.assert_allclose(bare.excursion_m, BAFFLED.excursion_m, rtol=0)
    low = np.abs(bare.response / BAFFLED.response)[HZ < 50.0]
    slopes = np.diff(20 * np.log10(low)) / np.diff(np.log2(HZ[HZ < 50.0]))
    assert slopes == pytest.approx(6.02, abs=0.03)
    # Half a wave longer a way, and both sides add up to what the baffle gives.
    at = 343.2 / (2 * 0.25)
    ratio = open_back.free_air(at, driver=SUB, path_m=0.25).response / driver.infinite_baffle(at, driver=SUB).response
    assert ratio[0] == pytest.approx(1.0, abs=1e-9)


@given(st.floats(0.05, 2.0))
def test_a_baffle_that_lets_nothing_through_is_an_infinite_one(path_m):
    tight = open_back.leaky_baffle(HZ, driver=SUB, path_m=path_m, leak_share=0.0)
    np.testing.assert_allclose(tight.response, BAFFLED.response)


@given(st.floats(0.05, 2.0))
def test_a_baffle_that_lets_all_through_is_none_but_for_the_half_space(path_m):
    nothing = open_back.leaky_baffle(HZ, driver=SUB, path_m=path_m, leak_share=1.0)
    bare = open_back.free_air(HZ, driver=SUB, path_m=path_m)
    np.testing.assert_allclose(nothing.response, 2 * bare.response)


@given(st.floats(0.05, 0.5), st.floats(0.05, 0.95))
def test_far_below_its_path_a_leak_takes_its_share(path_m, leak_share):
    leaky = open_back.leaky_baffle(5.0, driver=SUB, path_m=path_m, leak_share=leak_share)
    left = abs(leaky.response / driver.infinite_baffle(5.0, driver=SUB).response)[0]
    assert left == pytest.approx(1 - leak_share, abs=0.02)


@given(st.floats(0.05, 0.5), st.floats(0.0, 1.0))
def test_what_is_taken_off_is_the_ratio_of_the_two(path_m, leak_share):
    leaky = open_back.leaky_baffle(HZ, driver=SUB, path_m=path_m, leak_share=leak_share)
    taken = np.maximum(20 * np.log10(np.maximum(np.abs(leaky.response / BAFFLED.response), 1e-9)), -120.0)
    np.testing.assert_allclose(open_back.leak_db(HZ, path_m=path_m, leak_share=leak_share), taken, atol=1e-9)


def test_the_cone_does_not_feel_the_leak():
    leaky = open_back.leaky_baffle(HZ, driver=SUB, path_m=0.3, leak_share=0.7)
    np.testing.assert_allclose(leaky.excursion_m, BAFFLED.excursion_m, rtol=0)
    np.testing.assert_allclose(leaky.impedance_ohm, BAFFLED.impedance_ohm, rtol=0)


def test_refusals():
    with pytest.raises(ValueError, match="path_m"):
        open_back.free_air(50.0, driver=SUB, path_m=0.0)
    with pytest.raises(ValueError, match="path_m"):
        open_back.leaky_baffle(50.0, driver=SUB, path_m=-1.0, leak_share=0.5)
    with pytest.raises(ValueError, match="leak_share"):
        open_back.leaky_baffle(50.0, driver=SUB, path_m=0.3, leak_share=1.2)
