import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import preferred

SEEN = "10 12 15 18 22 27 33 39 47 56 68 82"
ADDED = "11 13 16 20 24 30 36 43 51 62 75 91"


def test_lists_are_those_of_the_standard():
    """IEC 60063:2015 as listed by qsl.net/g4usp."""
    twelve = [int(step) for step in SEEN.split()]
    assert list(preferred.STEPS["E12"]) == twelve
    assert list(preferred.STEPS["E24"]) == sorted(twelve + [int(step) for step in ADDED.split()])


def test_no_formula_gives_the_lists():
    """Eight of the values differ from powers of ten rounded to two digits."""
    computed = [round(10 * 10 ** (n / 24)) for n in range(24)]
    differing = [step for step, rounded in zip(preferred.STEPS["E24"], computed, strict=True) if step != rounded]
    assert differing == [27, 30, 33, 36, 39, 43, 47, 82]


@pytest.mark.parametrize("series", ["E12", "E24"])
@pytest.mark.parametrize("decade", [-7, -6, -4, 0, 1, 5])
def test_a_preferred_value_is_its_own_nearest(series, decade):
    for step in preferred.STEPS[series]:
        value = float(f"{step}e{decade}")
        assert preferred.nearest(value=value, series=series) == value


@given(st.floats(1e-9, 1e6), st.sampled_from(["E12", "E24"]))
def test_none_is_nearer(value, series):
    found = preferred.nearest(value=value, series=series)
    all_sold = [float(f"{step}e{decade}") for decade in range(-12, 8) for step in preferred.STEPS[series]]
    least = min(abs(math.log(sold / value)) for sold in all_sold)
    assert abs(math.log(found / value)) == pytest.approx(least, abs=1e-12)


@pytest.mark.parametrize(("value", "expected"), [(9.7, 10.0), (9.4, 9.1), (0.96, 1.0), (99.9, 100.0)])
def test_the_step_into_the_next_decade(value, expected):
    assert preferred.nearest(value=value, series="E24") == expected


def test_refusals():
    with pytest.raises(ValueError, match="value"):
        preferred.nearest(value=0.0)
    with pytest.raises(ValueError, match="series"):
        preferred.nearest(value=1.0, series="E7")
