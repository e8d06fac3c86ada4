"""Battery life by Peukert's law in both its forms, and days parked."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.optimize
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.physics import battery
from tests.printed import printed


def test_twenty_hour_form() -> None:
    lasts = battery.lasts_h(capacity_ah=100.0, current_a=10.0, exponent=1.2)
    assert lasts == printed("8.71", source="Peukert's law in its 20 h form, from memory")


def test_exponent_from_seven_and_a_half_hours() -> None:
    source = "batteryguy1.rssing.com: 100 Ah at 10 A lasts 7.5 h"
    exponent = battery.peukert_exponent(capacity_ah=100.0, current_a=10.0, lasts_h=7.5)
    assert exponent == printed("1.415", source=source)
    found = scipy.optimize.brentq(
        lambda k: battery.lasts_h(capacity_ah=100.0, current_a=10.0, exponent=k) - 7.5, 1.0, 1.6
    )
    assert exponent == pytest.approx(found, abs=1e-9)


def test_one_ampere_form_is_ours_with_a_capacity_at_one_ampere() -> None:
    source = "electrotechnik.net/2010/01/peukert-law: C/I**k with C 100, I 5, k 1.2"
    lasts = battery.lasts_h(capacity_ah=100.0, current_a=5.0, exponent=1.2, rating_h=100.0)
    assert lasts == printed("14.5", source=source)


def test_twenty_hour_capacity_is_not_put_into_the_one_ampere_form() -> None:
    # 100 Ah at 20 h is 5 A for 20 hours by definition, whatever the exponent; C/I**k makes it 14.5.
    for exponent in (1.0, 1.2, 1.4):
        lasts = battery.lasts_h(capacity_ah=100.0, current_a=5.0, exponent=exponent)
        assert lasts == printed("20", source="definition of the 20 h capacity", within=1e-9)


@given(st.floats(20.0, 200.0), st.floats(0.05, 100.0), st.floats(1.01, 1.5))
def test_law_and_exponent_are_inverse(capacity: float, current: float, exponent: float) -> None:
    assume(abs(np.log(capacity / (20 * current))) > 0.01)
    lasts = battery.lasts_h(capacity_ah=capacity, current_a=current, exponent=exponent)
    back = battery.peukert_exponent(capacity_ah=capacity, current_a=current, lasts_h=lasts)
    assert back == pytest.approx(exponent, abs=1e-6)


@given(st.floats(20.0, 200.0), st.floats(0.005, 50.0), st.floats(1.0, 1.5), st.floats(1.001, 3.0))
def test_parked_days(capacity: float, drain: float, exponent: float, more: float) -> None:
    case = {"capacity_ah": capacity, "exponent": exponent}
    days = battery.parked_days(drain_a=drain, **case)
    assert battery.parked_days(drain_a=drain * more, **case) < days
    # Never more charge than was put in, however slowly it is taken.
    assert days * 24 * drain <= 0.5 * capacity * (1 + 1e-12)


def test_at_a_small_drain_the_law_would_promise_too_much() -> None:
    by_law = 0.5 * battery.lasts_h(capacity_ah=70.0, current_a=0.05) / 24
    days = battery.parked_days(capacity_ah=70.0, drain_a=0.05)
    assert by_law > 2 * days
    assert days == printed("29.2", source="derived from 70 Ah * 0.5 / 50 mA")


def test_arrays_go_through() -> None:
    drains = np.array([0.025, 0.05, 5.0])
    assert battery.parked_days(capacity_ah=70.0, drain_a=drains).shape == (3,)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: battery.lasts_h(capacity_ah=70.0, current_a=0.0), "current_a must be"),
        (lambda: battery.lasts_h(capacity_ah=70.0, current_a=5.0, exponent=0.9), "exponent must lie"),
        (lambda: battery.peukert_exponent(capacity_ah=100, current_a=5, lasts_h=20), "is that of the rating"),
        (lambda: battery.parked_days(capacity_ah=70.0, drain_a=0.05, usable_share=1.5), "usable_share must lie"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
