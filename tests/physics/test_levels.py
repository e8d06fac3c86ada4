"""Levels of voltages, and the addition of levels, against printed rows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import levels
from tests.printed import printed

STX = "kfs.oeaw.ac.at/stx/manual/html/461.htm"
HANDBOOK = "handbook table of level addition, from memory"


@pytest.mark.parametrize(("volts", "text"), [(2, "6.02"), (4, "12.04"), (5, "13.98"), (8, "18.06")])
def test_level_of_line_voltages(volts: float, text: str) -> None:
    assert levels.dbv(voltage_v=volts) == printed(text, source="derived from 20 log10 V")


def test_levels_against_both_references() -> None:
    assert levels.volts_of_dbu(level_dbu=0.0) == printed("0.7746", source=STX)
    assert levels.volts_of_dbu(level_dbu=4.0) == printed("1.2277", source=STX)
    assert levels.volts_of_dbv(level_dbv=-10.0) == printed("0.3162", source=STX)
    assert levels.dbu(voltage_v=1.0) == printed("2.2185", source=STX)


def test_studio_level_against_consumer_level() -> None:
    gap = levels.dbv(voltage_v=levels.volts_of_dbu(level_dbu=4.0)) + 10.0
    assert gap == printed("11.78", source="derived from both references")
    assert gap == printed("11.79", source="cinema8.com glossary (reference rounded to 0.775 V)", within=0.02)


@given(st.floats(-120.0, 60.0))
def test_levels_are_inverse(level: float) -> None:
    assert levels.dbv(voltage_v=levels.volts_of_dbv(level_dbv=level)) == pytest.approx(level, abs=1e-9)
    assert levels.dbu(voltage_v=levels.volts_of_dbu(level_dbu=level)) == pytest.approx(level, abs=1e-9)


@pytest.mark.parametrize(
    ("difference", "text"),
    [(0, "3.01"), (1, "2.54"), (2, "2.12"), (3, "1.76"), (6, "0.97"), (10, "0.41")],
)
def test_what_the_weaker_source_adds(difference: float, text: str) -> None:
    together = levels.sum_of_levels_db(levels_db=np.array([70.0, 70.0 - difference]))
    assert together - 70.0 == printed(text, source=HANDBOOK)


def test_two_equal_sources() -> None:
    source = "HSE, two 85 dB sources, quoted fordgtforum.com"
    assert levels.sum_of_levels_db(levels_db=np.array([85.0, 85.0])) == printed("88", source=source)


@pytest.mark.parametrize(("rated", "text"), [(95.0, "19.78"), (291.0, "24.64")])
def test_noise_against_rated_power(rated: float, text: str) -> None:
    moved = levels.noise_distance_at_power_db(distance_1w_db=0.0, power_w=rated)
    assert moved == printed(text, source="derived from 10 log10 P")


@given(st.lists(st.floats(-100.0, 150.0), min_size=1, max_size=6), st.floats(-100.0, 150.0))
def test_another_source_never_makes_it_quieter(those: list[float], another: float) -> None:
    before = levels.sum_of_levels_db(levels_db=np.array(those))
    after = levels.sum_of_levels_db(levels_db=np.array([*those, another]))
    assert after >= before
    assert before >= max(those) - 1e-9
    assert before <= max(those) + 10 * np.log10(len(those)) + 1e-9


def test_arrays_go_through() -> None:
    both = np.array([[60.0, 60.0], [70.0, 40.0]])
    assert levels.sum_of_levels_db(levels_db=both).shape == (2,)
    assert levels.sum_of_levels_db(levels_db=both, axis=0).shape == (2,)
    assert isinstance(levels.dbv(voltage_v=2.0), float)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: levels.dbv(voltage_v=0.0), "voltage_v must be"),
        (lambda: levels.dbu(voltage_v=-1.0), "voltage_v must be"),
        (lambda: levels.volts_of_dbv(level_dbv=float("nan")), "level_dbv must lie"),
        (lambda: levels.volts_of_dbu(level_dbu=101.0), "level_dbu must lie"),
        (lambda: levels.sum_of_levels_db(levels_db=np.array([])), "at least one level"),
        (lambda: levels.noise_distance_at_power_db(distance_1w_db=80.0, power_w=0.0), "power_w must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
