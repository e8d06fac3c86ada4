"""Steps of what can be turned, and the search for the nearest that clears."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.judging.knobs import from_list, hz_step, litre_step, steps
from advisor.judging.solving import _nearest

STARTS = st.floats(11, 15_000, allow_nan=False)


@given(STARTS)
def test_steps_lead_away_from_the_start_by_round_values(start):
    up, down = steps(start, hz_step, start / 4, start * 4)
    assert all(one < other for one, other in zip([start, *up], up, strict=False))
    assert all(one > other for one, other in zip([start, *down], down, strict=False))
    assert all(start / 4 <= value <= start * 4 for value in (*up, *down))
    for value in (*up, *down):
        width = hz_step(value * 0.999)
        assert value / width == pytest.approx(round(value / width), abs=1e-6)


def test_the_first_steps_are_the_nearest_round_values():
    assert [values[:3] for values in steps(253, hz_step, 60, 1000)] == [[260, 270, 280], [250, 240, 230]]
    assert [values[:2] for values in steps(25, litre_step, 10, 40)] == [[26, 27], [24, 23]]
    assert from_list(30, (10, 20, 30, 40, 50)) == ([40, 50], [20, 10])


@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=80, unique=True), st.integers(0, 10_000))
def test_where_it_holds_from_some_value_on_that_value_is_found_in_few_looks(values, limit):
    values, looks = sorted(values), []

    def holds(value: float) -> bool:
        looks.append(value)
        return value >= limit

    expected = next((value for value in values if value >= limit), None)
    assert _nearest(values, holds) == expected
    assert len(looks) <= 2 * len(values).bit_length() + 1


def test_nothing_to_look_at_is_nothing_found():
    assert _nearest([], lambda value: True) is None
