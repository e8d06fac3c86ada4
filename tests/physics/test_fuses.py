"""Fuse ratings: the lists, the share that may run all the time, and the way from a load to a rating."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import fuses
from tests.printed import printed

FUSEOLOGY = "teacherscollegesj.org quoting a fuse maker's application note"


def test_three_quarters_of_the_rating() -> None:
    assert fuses.rating_for_load_a(load_a=7.5) == printed("10", source=FUSEOLOGY)
    assert fuses.continuous_limit_a(rating_a=10.0) == printed("7.5", source=FUSEOLOGY)


def test_the_other_rule_multiplies_by_one_and_a_quarter() -> None:
    assert fuses.rating_for_load_a(load_a=5.0, share=0.8) == printed("7.5", source=FUSEOLOGY + ", 1.25 x")


def test_blade_ratings() -> None:
    remembered = ["1", "2", "3", "4", "5", "7.5", "10", "15", "20", "25", "30", "35", "40"]
    for rating, text in zip(fuses.BLADE_RATINGS_A, remembered, strict=True):
        assert rating == printed(text, source="ISO 8820-3, from memory")


@given(st.floats(0.01, 300.0))
def test_next_rating_is_the_smallest_that_reaches(current: float) -> None:
    rating = fuses.next_rating_a(current_a=current)
    assert rating in fuses.STANDARD_RATINGS_A
    assert rating >= current
    assert all(other < current for other in fuses.STANDARD_RATINGS_A if other < rating)


@given(st.floats(1.0, 600.0))
def test_rating_under_the_ampacity_is_the_largest_that_fits(ampacity: float) -> None:
    rating = fuses.largest_rating_under_a(ampacity_a=ampacity)
    assert rating <= ampacity
    assert all(other > ampacity for other in fuses.STANDARD_RATINGS_A if other > rating)


@given(st.sampled_from(fuses.STANDARD_RATINGS_A))
def test_a_rating_is_its_own_neighbour(rating: float) -> None:
    assert fuses.next_rating_a(current_a=rating) == rating
    assert fuses.largest_rating_under_a(ampacity_a=rating) == rating
    assert fuses.rating_for_load_a(load_a=fuses.continuous_limit_a(rating_a=rating)) == rating


def test_arrays_go_through() -> None:
    assert np.array_equal(fuses.next_rating_a(current_a=np.array([0.5, 7.5, 7.6])), [1.0, 7.5, 10.0])


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: fuses.next_rating_a(current_a=301.0), "current_a must lie between 0 and 300"),
        (lambda: fuses.next_rating_a(current_a=0.0), "current_a must be a finite number above zero"),
        (lambda: fuses.largest_rating_under_a(ampacity_a=0.9), "ampacity_a must lie between 1"),
        (lambda: fuses.rating_for_load_a(load_a=5.0, share=1.25), "share must lie between 0.5 and 1"),
        (lambda: fuses.continuous_limit_a(rating_a=-1.0), "rating_a must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
