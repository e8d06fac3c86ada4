"""Thermal chains, warming over time and airflow, against printed rows and an integrated differential equation."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.integrate
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import thermal
from tests.printed import printed

NEWSLETTER = "newsletter.onedfrk.com, 2026-04-28"
CFM = 3600 / 0.3048**3 / 60
SINK = {"heat_w": 60.0, "k_per_w": 0.8, "heat_j_k": 1800.0, "ambient_c": 35.0}


@pytest.mark.parametrize(("heat_w", "resistances", "text"), [(3.5, (65.0,), "252.5"), (3.5, (5.0, 1.0, 10.0), "81")])
def test_chain(heat_w: float, resistances: tuple[float, ...], text: str) -> None:
    chain = thermal.chain_c(heat_w=heat_w, resistances_k_w=resistances, ambient_c=25.0)
    assert chain[0] == printed(text, source=NEWSLETTER)


def test_chain_with_case() -> None:
    source = "thermal chain worked on a formula page"
    junction, case, _ = thermal.chain_c(heat_w=5.0, resistances_k_w=(3.0, 1.0, 8.0), ambient_c=25.0)
    assert junction == printed("85", source=source)
    assert case == printed("70", source=source)


@pytest.mark.parametrize(("heat_w", "rise_k", "text"), [(100.0, 35.0, "5.00"), (500.0, 15.0, "58.3")])
def test_airflow(heat_w: float, rise_k: float, text: str) -> None:
    flow = CFM * thermal.airflow_m3_s(heat_w=heat_w, rise_k=rise_k)
    assert flow == printed(text, source="3160 rule, parkermotion.com FAQ 821", share=0.01)


@pytest.mark.parametrize(("heat_w", "rise_k"), [(100.0, 35.0), (500.0, 15.0)])
def test_airflow_is_not_that_of_mixed_units(heat_w: float, rise_k: float) -> None:
    # P/(1.08 dT) is meant for BTU/h and Fahrenheit; with watts and kelvins it asks for barely half the air.
    mixed = heat_w / (1.08 * rise_k)
    flow = CFM * thermal.airflow_m3_s(heat_w=heat_w, rise_k=rise_k)
    assert 100 * (1 - mixed / flow) == printed("47", source="derived from both formulas")


@given(st.floats(0.1, 2000.0), st.floats(1.0, 60.0), st.floats(-20.0, 60.0))
def test_airflow_and_rise_are_inverse(heat_w: float, rise_k: float, intake_c: float) -> None:
    flow = thermal.airflow_m3_s(heat_w=heat_w, rise_k=rise_k, intake_c=intake_c)
    back = thermal.air_rise_k(heat_w=heat_w, airflow_m3_s=flow, intake_c=intake_c)
    assert back == pytest.approx(rise_k, rel=1e-12)


@pytest.mark.parametrize("start", [20.0, 83.0, 120.0])
def test_warming_solves_its_differential_equation(start: float) -> None:
    def slope(_: float, temperature: np.ndarray) -> np.ndarray:
        return (SINK["heat_w"] - (temperature - SINK["ambient_c"]) / SINK["k_per_w"]) / SINK["heat_j_k"]

    times = np.linspace(0.0, 7200.0, 13)
    solved = scipy.integrate.solve_ivp(slope, (0.0, 7200.0), [start], t_eval=times, rtol=1e-10, atol=1e-10)
    assert thermal.warming_c(time_s=times, start_c=start, **SINK) == pytest.approx(solved.y[0], abs=1e-6)


def test_steady_state_from_both_sides() -> None:
    end = thermal.steady_c(heat_w=60.0, k_per_w=0.8, ambient_c=35.0)
    times = np.linspace(0.0, 20 * 0.8 * 1800.0, 200)
    from_below = thermal.warming_c(time_s=times, start_c=20.0, **SINK)
    from_above = thermal.warming_c(time_s=times, start_c=140.0, **SINK)
    assert np.all(np.diff(from_below) >= 0)
    assert np.all(np.diff(from_above) <= 0)
    assert from_below[-1] == pytest.approx(end, abs=1e-6)
    assert from_above[-1] == pytest.approx(end, abs=1e-6)


def test_63_percent_after_one_time_constant() -> None:
    after = thermal.warming_c(time_s=0.8 * 1800.0, start_c=35.0, **SINK)
    assert 100 * (after - 35.0) / 48.0 == printed("63.2", source="first-order response, textbook, from memory")


@given(st.floats(-20.0, 50.0), st.floats(51.0, 82.9))
def test_time_to_reach_and_warming_are_inverse(start: float, limit: float) -> None:
    time = thermal.time_to_reach_s(limit_c=limit, start_c=start, **SINK)
    assert thermal.warming_c(time_s=time, start_c=start, **SINK) == pytest.approx(limit, abs=1e-6)


@given(st.floats(10.0, 400.0), st.floats(1.01, 2.0))
def test_more_heat_is_never_later(heat_w: float, more: float) -> None:
    case = SINK | {"limit_c": 80.0, "start_c": 35.0}
    later = thermal.time_to_reach_s(**(case | {"heat_w": heat_w}))
    assert thermal.time_to_reach_s(**(case | {"heat_w": heat_w * more})) <= later


def test_never_and_at_once() -> None:
    times = thermal.time_to_reach_s(limit_c=np.array([83.0, 90.0, 20.0, 35.0]), start_c=35.0, **SINK)
    assert times.tolist() == [math.inf, math.inf, 0.0, 0.0]
    # Cooling from above the limit: it is there already.
    assert thermal.time_to_reach_s(limit_c=80.0, start_c=100.0, **SINK) == 0.0


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: thermal.chain_c(heat_w=5.0, resistances_k_w=(), ambient_c=25.0), "at least one resistance"),
        (lambda: thermal.chain_c(heat_w=-5.0, resistances_k_w=(1.0,), ambient_c=25.0), "heat_w must be"),
        (lambda: thermal.steady_c(heat_w=1.0, k_per_w=0.0, ambient_c=25.0), "k_per_w must be"),
        (lambda: thermal.warming_c(time_s=-1.0, start_c=35.0, **SINK), "time_s must be"),
        (lambda: thermal.time_to_reach_s(limit_c=80, start_c=35, **(SINK | {"heat_j_k": 0.0})), "heat_j_k must be"),
        (lambda: thermal.airflow_m3_s(heat_w=100.0, rise_k=0.0), "rise_k must be"),
        (lambda: thermal.air_rise_k(heat_w=100.0, airflow_m3_s=0.0), "airflow_m3_s must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
