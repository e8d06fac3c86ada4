"""A capacitor and a second battery beside the amplifiers: against an integrated circuit, its energy and its limits."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.integrate
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import storage
from tests.printed import printed

CIRCUIT = {"source_ohm": 0.013, "current_a": 100.0, "capacity_f": 1.0, "capacitor_ohm": 0.002}
SOURCE_V = 12.4

circuits = st.fixed_dictionaries(
    {
        "source_ohm": st.floats(0.002, 0.1),
        "current_a": st.floats(0.0, 300.0),
        "capacity_f": st.floats(0.05, 50.0),
        "capacitor_ohm": st.floats(5e-4, 0.05),
    }
)


def _integrated(times_s: np.ndarray, circuit: dict[str, float], start_v: float) -> np.ndarray:
    """Voltage at the load, from the charge of the capacitor step by step."""

    def node_v(inner_v: float) -> float:
        conductance = 1 / circuit["source_ohm"] + 1 / circuit["capacitor_ohm"]
        driven = SOURCE_V / circuit["source_ohm"] + inner_v / circuit["capacitor_ohm"] - circuit["current_a"]
        return driven / conductance

    def slope(_: float, inner_v: np.ndarray) -> np.ndarray:
        return (node_v(inner_v) - inner_v) / circuit["capacitor_ohm"] / circuit["capacity_f"]

    span = (0.0, float(times_s[-1]))
    solved = scipy.integrate.solve_ivp(slope, span, [start_v], t_eval=times_s, rtol=1e-10, atol=1e-12)
    return np.asarray(node_v(solved.y[0]))


def test_voltage_solves_its_circuit() -> None:
    times = np.linspace(0.0, 0.1, 21)
    found = storage.with_capacitor_v(time_s=times, source_v=SOURCE_V, **CIRCUIT)
    assert found == pytest.approx(_integrated(times, CIRCUIT, SOURCE_V), abs=1e-8)


def test_the_lift_is_the_mean_of_the_voltage() -> None:
    times = np.linspace(0.0, 0.1, 20_001)
    held = storage.with_capacitor_v(time_s=times, source_v=SOURCE_V, **CIRCUIT)
    without = SOURCE_V - CIRCUIT["source_ohm"] * CIRCUIT["current_a"]
    mean = scipy.integrate.trapezoid(held - without, times) / 0.1
    assert storage.capacitor_lifts_v(note_s=0.1, **CIRCUIT) == pytest.approx(mean, rel=1e-6)


def test_energy_of_the_capacitor_goes_into_load_and_resistance() -> None:
    """What it gives off is what its current carries, at its inner voltage, whole."""
    times = np.linspace(0.0, 1.0, 400_001)
    node = storage.with_capacitor_v(time_s=times, source_v=SOURCE_V, **CIRCUIT)
    from_source = (SOURCE_V - node) / CIRCUIT["source_ohm"]
    current = CIRCUIT["current_a"] - from_source
    inner = node + current * CIRCUIT["capacitor_ohm"]
    given_off = scipy.integrate.simpson(inner * current, x=times)
    stored = storage.released_j(capacity_f=1.0, from_v=SOURCE_V, to_v=float(inner[-1]))
    assert given_off == pytest.approx(stored, rel=1e-9)


def test_a_farad_feeds_a_kilowatt_for_hundredths_of_a_second() -> None:
    energy = storage.released_j(capacity_f=1.0, from_v=13.8, to_v=12.0)
    assert energy == printed("23.22", source="derived from C U²/2, textbook")
    assert energy / 1000 < 0.025


@given(circuits, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_it_only_falls_and_never_below_what_it_would_be_without(circuit: dict, time_s: float, later_s: float) -> None:
    now = storage.with_capacitor_v(time_s=time_s, source_v=SOURCE_V, **circuit)
    then = storage.with_capacitor_v(time_s=time_s + later_s, source_v=SOURCE_V, **circuit)
    assert SOURCE_V + 1e-9 >= now >= then - 1e-9
    assert then >= SOURCE_V - circuit["source_ohm"] * circuit["current_a"] - 1e-9


@given(circuits, st.floats(1.01, 10.0))
def test_more_farads_and_less_resistance_lift_more(circuit: dict, more: float) -> None:
    lift = storage.capacitor_lifts_v(note_s=0.1, **circuit)
    larger = storage.capacitor_lifts_v(note_s=0.1, **(circuit | {"capacity_f": circuit["capacity_f"] * more}))
    assert larger >= lift * (1 - 1e-12)
    assert lift <= circuit["current_a"] * circuit["source_ohm"] + 1e-12


@given(st.floats(1e-3, 1.0), st.floats(1e-3, 1.0))
def test_two_sources_are_better_than_either(one: float, other: float) -> None:
    both = storage.parallel_ohm(first_ohm=one, second_ohm=other)
    assert both < min(one, other)
    assert both == pytest.approx(storage.parallel_ohm(first_ohm=other, second_ohm=one), rel=1e-12)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: storage.released_j(capacity_f=1.0, from_v=12.0, to_v=13.0), "fall_v must be"),
        (lambda: storage.released_j(capacity_f=0.0, from_v=13.0, to_v=12.0), "capacity_f must be"),
        (lambda: storage.parallel_ohm(first_ohm=0.0, second_ohm=1.0), "first_ohm must be"),
        (lambda: storage.with_capacitor_v(time_s=-1.0, source_v=12.4, **CIRCUIT), "time_s must be"),
        (lambda: storage.capacitor_lifts_v(note_s=0.0, **CIRCUIT), "note_s must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
