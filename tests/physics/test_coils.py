import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import coils
from tests.printed import printed

SEEN = "studylib.net/doc/18148583"
DERIVED = "derived from Ohm's law"
DIGEST = "IEC 60268-3/-5 as digested, goldprivacy.com/speaker-impedance"


@pytest.mark.parametrize(
    ("each_ohm", "count", "series", "parallel", "source"),
    [(8.0, 2, "16", "4", SEEN), (4.0, 2, "8", "2", DERIVED)],
)
def test_two_equal_loads(each_ohm, count, series, parallel, source):
    assert printed(series, source=source) == coils.combine_ohm(each_ohm=each_ohm, count=count, joined="series")
    assert printed(parallel, source=source) == coils.combine_ohm(each_ohm=each_ohm, count=count, joined="parallel")


@pytest.mark.parametrize(
    ("coil_ohm", "all_in_series", "mixed", "all_in_parallel"), [(4.0, "16", "4", "1"), (2.0, "8", "2", "0.5")]
)
def test_two_drivers_with_two_coils_each(coil_ohm, all_in_series, mixed, all_in_parallel):
    def of_both(inner, outer):
        driver = coils.combine_ohm(each_ohm=coil_ohm, count=2, joined=inner)
        return coils.combine_ohm(each_ohm=driver, count=2, joined=outer)

    assert printed(all_in_series, source=DERIVED) == of_both("series", "series")
    assert printed(mixed, source=DERIVED) == of_both("series", "parallel")
    assert printed(mixed, source=DERIVED) == of_both("parallel", "series")
    assert printed(all_in_parallel, source=DERIVED) == of_both("parallel", "parallel")


@pytest.mark.parametrize(("rated_ohm", "least"), [(4.0, "3.2"), (8.0, "6.4")])
def test_lowest_impedance_that_a_rating_allows(rated_ohm, least):
    assert printed(least, source=DIGEST) == coils.rated_minimum_ohm(rated_ohm=rated_ohm)


@given(st.floats(0.5, 32.0), st.integers(1, 12))
def test_equal_loads_in_parallel_agree_with_any_loads(each_ohm, count):
    alike = coils.combine_ohm(each_ohm=each_ohm, count=count, joined="parallel")
    assert coils.parallel_ohm([each_ohm] * count) == pytest.approx(alike, rel=1e-12)


@given(st.lists(st.floats(0.5, 32.0), min_size=2, max_size=6))
def test_parallel_is_below_the_least_and_blind_to_order(loads):
    together = coils.parallel_ohm(loads)
    assert together < min(loads)
    assert coils.parallel_ohm(reversed(loads)) == pytest.approx(together, rel=1e-12)


def test_parallel_of_impedances_over_frequency():
    coil = 4.0 + 1j * np.array([0.0, 1.0, 2.0])
    np.testing.assert_allclose(coils.parallel_ohm([coil, coil]), coil / 2, rtol=1e-15)


def test_refusals():
    with pytest.raises(ValueError, match="count"):
        coils.combine_ohm(each_ohm=4.0, count=0, joined="series")
    with pytest.raises(ValueError, match="joined"):
        coils.combine_ohm(each_ohm=4.0, count=2, joined="crossed")
    with pytest.raises(ValueError, match="each_ohm"):
        coils.combine_ohm(each_ohm=0.0, count=2, joined="series")
    with pytest.raises(ValueError, match="short circuit"):
        coils.parallel_ohm([4.0, 0.0])
    with pytest.raises(ValueError, match="at least one"):
        coils.parallel_ohm([])
