"""Times of listening against the published tables."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import hearing
from tests.printed import printed

HSE = "HSE 'Sound advice' 1.20-1.21, quoted fordgtforum.com post 357285"


@pytest.mark.parametrize(("level", "text"), [(85, "480"), (88, "240"), (91, "120"), (94, "60")])
def test_niosh(level: float, text: str) -> None:
    assert hearing.exposure_minutes(level_dba=level) == printed(text, source="NIOSH table, medbox.iiab.me mirror")


@pytest.mark.parametrize(("level", "text", "within"), [(95, "45", 3.0), (100, "15", 0.5), (105, "5", 0.5)])
def test_hse(level: float, text: str, within: float) -> None:
    # The leaflet rounds to times a person can keep: 47.6, 15 and 4.7 minutes.
    assert hearing.exposure_minutes(level_dba=level, rule="HSE") == printed(text, source=HSE, within=within)


def test_hse_says_under_two_minutes_and_under_thirty_seconds() -> None:
    under_two, under_half = hearing.exposure_minutes(level_dba=np.array([110.0, 115.0]), rule="HSE")
    assert 1 < under_two < 2
    assert 0.4 < under_half < 0.5


@pytest.mark.parametrize(("level", "text"), [(90, "480"), (100, "120")])
def test_osha_contrast(level: float, text: str) -> None:
    assert hearing.exposure_minutes(level_dba=level, rule="OSHA") == printed(text, source="OSHA as on danburzo.ro")


@given(st.floats(85.0, 135.0))
def test_steps_and_order(level: float) -> None:
    here = hearing.exposure_minutes(level_dba=level)
    assert hearing.exposure_minutes(level_dba=level + 3.0) == pytest.approx(here / 2, rel=1e-12)
    assert hearing.exposure_minutes(level_dba=level, rule="HSE") == here
    assert hearing.exposure_minutes(level_dba=level, rule="OSHA") > here


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: hearing.exposure_minutes(level_dba=150.0), "level_dba must lie"),
        (lambda: hearing.exposure_minutes(level_dba=90.0, rule="WHO"), "rule must be one of NIOSH, HSE, OSHA"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
