"""The supply: sag solved in closed form against a march to rest, its collapse, and the alternator's reserve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import supply

sources = st.floats(9.0, 60.0)
resistances = st.floats(1e-4, 0.2)


def test_alternator_at_its_stated_speeds() -> None:
    speeds = np.array([1500.0, 3750.0, 6000.0, 12000.0])
    assert supply.alternator_output_a(idle_a=70.0, rated_a=140.0, speed_rpm=speeds).tolist() == [70, 105, 140, 140]


def test_the_straight_line_lies_below_a_real_curve() -> None:
    # A real alternator follows about I = Imax (1 - exp(-n/n0)) above its cut-in speed: concave.
    speed = np.linspace(1500.0, 6000.0, 50)
    real = 150.0 * (1 - np.exp(-(speed - 1000.0) / 1500.0))
    line = supply.alternator_output_a(idle_a=real[0], rated_a=real[-1], speed_rpm=speed)
    assert np.all(line <= real + 1e-9)


def test_reserve_goes_below_zero() -> None:
    reserve = supply.alternator_reserve_a(output_a=np.array([84.0, 60.0]), vehicle_a=45.0, audio_a=30.0)
    assert reserve.tolist() == [9.0, -15.0]


@given(sources, resistances, st.floats(0.0, 0.95))
def test_voltage_satisfies_ohm(source_v: float, source_ohm: float, share: float) -> None:
    load = share * supply.greatest_power_w(source_v=source_v, source_ohm=source_ohm)
    voltage = supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=load)
    assert voltage == pytest.approx(source_v - source_ohm * load / voltage, rel=1e-9)
    assert source_v / 2 <= voltage <= source_v


@pytest.mark.parametrize("start", [7.0, 12.6, 20.0])
def test_voltage_comes_to_rest_from_both_sides(start: float) -> None:
    # A capacitor at the amplifier, charged through the cable and emptied by the amplifier.
    voltage, source_ohm, load_w, farad, step_s = start, 0.02, 1000.0, 1.0, 1e-4
    for _ in range(10_000):
        voltage += step_s / farad * ((12.6 - voltage) / source_ohm - load_w / voltage)
    solved = supply.terminal_voltage_v(source_v=12.6, source_ohm=source_ohm, load_w=load_w)
    assert voltage == pytest.approx(solved, abs=1e-9)


@given(sources, resistances, st.floats(0.01, 0.9), st.floats(1.001, 1.1))
def test_more_load_and_more_resistance_sag_more(source_v: float, source_ohm: float, share: float, more: float) -> None:
    load = share * supply.greatest_power_w(source_v=source_v, source_ohm=source_ohm)
    here = supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=load)
    assert supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=load * more) < here
    assert supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm * more, load_w=load) < here


@given(sources, resistances)
def test_at_the_edge_half_the_voltage_is_left_and_then_it_collapses(source_v: float, source_ohm: float) -> None:
    edge = supply.greatest_power_w(source_v=source_v, source_ohm=source_ohm)
    left = supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=edge * (1 - 1e-12))
    assert left == pytest.approx(source_v / 2, rel=1e-4)
    with pytest.raises(ValueError, match="the supply collapses"):
        supply.terminal_voltage_v(source_v=source_v, source_ohm=source_ohm, load_w=edge * (1 + 1e-9))


def test_no_load_no_sag_and_arrays() -> None:
    loads = np.array([0.0, 500.0, 1000.0])
    voltages = supply.terminal_voltage_v(source_v=12.6, source_ohm=0.01, load_w=loads)
    assert voltages[0] == 12.6
    assert np.all(np.diff(voltages) < 0)
    assert supply.terminal_voltage_v(source_v=12.6, source_ohm=0.0, load_w=5000.0) == 12.6


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: supply.alternator_output_a(idle_a=70, rated_a=140, speed_rpm=900), "speed_rpm must lie"),
        (lambda: supply.alternator_output_a(idle_a=70, rated_a=60, speed_rpm=3000), "rated_minus_idle_a must be"),
        (lambda: supply.alternator_reserve_a(output_a=-1, vehicle_a=0), "output_a must be"),
        (lambda: supply.greatest_power_w(source_v=12.6, source_ohm=0.0), "source_ohm must be"),
        (lambda: supply.terminal_voltage_v(source_v=0.0, source_ohm=0.01, load_w=1.0), "source_v must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
