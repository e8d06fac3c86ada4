import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import box_response, driver, motor, thiele_small
from advisor.physics.driver import Driver
from tests.printed import printed

HZ = np.geomspace(5.0, 20000.0, 121)
SUB = Driver(
    resonance_hz=28.0,
    electrical_q=0.45,
    mechanical_q=5.0,
    compliance_volume_m3=0.060,
    cone_area_m2=0.0330,
    coil_ohm=3.2,
)
drivers = st.builds(
    Driver,
    resonance_hz=st.floats(15.0, 1500.0),
    electrical_q=st.floats(0.15, 2.0),
    mechanical_q=st.floats(0.8, 15.0),
    compliance_volume_m3=st.floats(1e-5, 0.3),
    cone_area_m2=st.floats(5e-4, 0.12),
    coil_ohm=st.floats(1.0, 8.0),
)
inductive = st.builds(lambda one, coil_h: replace(one, coil_h=coil_h), drivers, st.floats(0.0, 3e-3))


@given(drivers)
def test_baffle_gives_the_second_order_response(one):
    found = driver.infinite_baffle(HZ, driver=one).response
    expected = box_response.closed_response(HZ, box_resonance_hz=one.resonance_hz, box_q=one.total_q)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


@given(drivers, st.floats(0.1, 10.0))
def test_closed_box_gives_the_second_order_response(one, alpha):
    """With the suspension's losses small, as the formula of the closed box sums both dampings."""
    box_m3 = one.compliance_volume_m3 / alpha
    found = driver.closed(HZ, driver=one, box_m3=box_m3).response
    hz, q = box_response.closed_box(
        resonance_hz=one.resonance_hz,
        total_q=one.total_q,
        compliance_volume_m3=one.compliance_volume_m3,
        box_m3=box_m3,
    )
    expected = box_response.closed_response(HZ, box_resonance_hz=hz, box_q=q)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


@given(drivers, st.floats(0.1, 10.0), st.floats(0.4, 2.0), st.floats(2.0, 100.0))
def test_vented_box_gives_the_fourth_order_response(one, alpha, tuning, leakage_q):
    box = {"box_m3": one.compliance_volume_m3 / alpha, "tuned_hz": one.resonance_hz * tuning, "leakage_q": leakage_q}
    expected = box_response.vented_response(
        HZ,
        resonance_hz=one.resonance_hz,
        total_q=one.total_q,
        compliance_volume_m3=one.compliance_volume_m3,
        **box,
    )
    np.testing.assert_allclose(driver.vented(HZ, driver=one, **box).response, expected, rtol=1e-8)


@given(drivers, st.floats(0.0, 4.0))
def test_source_resistance_raises_the_electrical_q(one, source_ohm):
    found = driver.infinite_baffle(HZ, driver=one, source_ohm=source_ohm).response
    raised = replace(one, electrical_q=one.electrical_q * (one.coil_ohm + source_ohm) / one.coil_ohm)
    expected = box_response.closed_response(HZ, box_resonance_hz=one.resonance_hz, box_q=raised.total_q)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


@given(drivers)
def test_passband_pressure_is_the_sensitivity(one):
    efficiency = thiele_small.reference_efficiency(
        resonance_hz=one.resonance_hz,
        compliance_volume_m3=one.compliance_volume_m3,
        electrical_q=one.electrical_q,
    )
    one_watt = driver.infinite_baffle(1e6, driver=one, voltage_v=math.sqrt(one.coil_ohm))
    level = 20 * math.log10(abs(one_watt.pressure_1m_pa[0]) / 20e-6)
    assert level == pytest.approx(thiele_small.sensitivity_1w_db(reference_efficiency=efficiency), abs=1e-3)


@given(drivers)
def test_impedance_at_resonance_is_the_motional_peak(one):
    found = driver.infinite_baffle(one.resonance_hz, driver=one).impedance_ohm[0]
    peak = motor.motional_peak_ohm(coil_ohm=one.coil_ohm, mechanical_q=one.mechanical_q, electrical_q=one.electrical_q)
    assert found == pytest.approx(peak, rel=1e-9)


@given(inductive, st.floats(0.2, 8.0), st.floats(0.5, 1.8))
def test_impedance_against_its_electrical_circuit(one, alpha, tuning):
    """Mass is a capacitor, springs are inductors: the circuit an impedance bridge sees."""
    box_m3, tuned_hz, leakage_q = one.compliance_volume_m3 / alpha, one.resonance_hz * tuning, 9.0
    s = 2j * np.pi * HZ
    turns = one.force_factor_tm**2
    motional = 1 / (one.loss_kg_s / turns + s * one.moving_mass_kg / turns + 1 / (s * one.compliance_m_n * turns))
    coil_of_box = one.compliance_m_n * turns / alpha
    capacitor_of_port = 1 / ((2 * np.pi * tuned_hz) ** 2 * coil_of_box)
    resistor_of_leak = 2 * np.pi * tuned_hz * coil_of_box / leakage_q
    branch = s * coil_of_box + 1 / (s * capacitor_of_port) + resistor_of_leak
    expected = one.coil_ohm + s * one.coil_h + 1 / (1 / motional + 1 / branch)
    found = driver.vented(HZ, driver=one, box_m3=box_m3, tuned_hz=tuned_hz, leakage_q=leakage_q)
    np.testing.assert_allclose(found.impedance_ohm, expected, rtol=1e-9)


@given(inductive, st.floats(1.0, 1.4), st.floats(3.0, 50.0), st.floats(3.0, 50.0))
def test_no_mounting_gives_power_back(one, fill_factor, leakage_q, absorption_q):
    losses = {"box_m3": 0.02, "fill_factor": fill_factor, "leakage_q": leakage_q, "absorption_q": absorption_q}
    for moved in (
        driver.closed(HZ, driver=one, **losses),
        driver.vented(HZ, driver=one, tuned_hz=40.0, port_q=30.0, **losses),
        driver.infinite_baffle(HZ, driver=one),
    ):
        assert np.all(moved.impedance_ohm.real >= one.coil_ohm * (1 - 1e-12))


@given(drivers, st.floats(0.1, 10.0))
def test_excursion_far_below_resonance_is_force_over_stiffness(one, alpha):
    force_n = 10.0 * one.force_factor_tm / one.coil_ohm
    closed = driver.closed(one.resonance_hz / 2000, driver=one, box_m3=one.compliance_volume_m3 / alpha, voltage_v=10.0)
    expected = force_n * one.compliance_m_n / (1 + alpha)
    assert abs(closed.excursion_m[0]) == pytest.approx(expected, rel=0.01)
    assert closed.peak_excursion_m[0] == pytest.approx(math.sqrt(2) * abs(closed.excursion_m[0]))


def test_closed_box_pressure_is_that_of_the_displaced_air():
    moved = driver.closed(HZ, driver=SUB, box_m3=0.025, voltage_v=20.0)
    by_volume = 1.204 * (2 * np.pi * HZ) ** 2 * SUB.cone_area_m2 * np.abs(moved.excursion_m) / (2 * np.pi)
    np.testing.assert_allclose(np.abs(moved.pressure_1m_pa), by_volume, rtol=1e-12)


def test_at_its_tuning_the_port_works_and_the_cone_rests():
    tight = driver.vented(HZ, driver=SUB, box_m3=0.05, tuned_hz=33.0, leakage_q=math.inf)
    at = driver.vented(33.0, driver=SUB, box_m3=0.05, tuned_hz=33.0, leakage_q=math.inf)
    assert abs(at.excursion_m[0]) < 1e-9 * np.abs(tight.excursion_m).max()
    assert at.impedance_ohm[0].real == pytest.approx(SUB.coil_ohm, rel=1e-9)
    # Without leaks all the sound comes out of the port.
    pressure = 1.204 * 2 * math.pi * 33.0 * abs(at.port_flow_m3_s[0]) / (2 * math.pi)
    assert abs(at.pressure_1m_pa[0]) == pytest.approx(pressure, rel=1e-9)


def test_a_port_stopped_by_friction_is_a_closed_box():
    stopped = driver.vented(HZ, driver=SUB, box_m3=0.05, tuned_hz=33.0, leakage_q=math.inf, port_q=1e-9)
    closed = driver.closed(HZ, driver=SUB, box_m3=0.05)
    np.testing.assert_allclose(stopped.response, closed.response, rtol=1e-6)
    assert np.all(closed.port_flow_m3_s == 0)


def test_filling_makes_the_box_seem_larger():
    filled = driver.closed(HZ, driver=SUB, box_m3=0.020, fill_factor=1.25)
    larger = driver.closed(HZ, driver=SUB, box_m3=0.025)
    np.testing.assert_allclose(filled.excursion_m, larger.excursion_m, rtol=1e-12)


def test_absorption_lowers_the_q_of_the_box():
    resonance, q = box_response.closed_box(
        resonance_hz=28.0, total_q=SUB.total_q, compliance_volume_m3=0.060, box_m3=0.01
    )
    damped = driver.closed(resonance, driver=SUB, box_m3=0.01, absorption_q=5.0)
    assert abs(damped.response[0]) < q
    assert abs(driver.closed(resonance, driver=SUB, box_m3=0.01).response[0]) == pytest.approx(q)


def test_inductance_takes_the_top_away_and_lifts_the_impedance():
    coiled = replace(SUB, coil_h=1e-3)
    moved = driver.infinite_baffle(5000.0, driver=coiled)
    lag = SUB.coil_ohm / abs(SUB.coil_ohm + 2j * math.pi * 5000.0 * 1e-3)
    assert abs(moved.response[0]) == pytest.approx(lag, rel=5e-3)
    assert abs(moved.impedance_ohm[0]) == pytest.approx(SUB.coil_ohm / lag, rel=5e-3)


def test_steady_state_displacement_of_the_fourth_order_butterworth():
    """3.0 f3^4 VD² is remembered for the power of this alignment; a steady sine does not give it."""
    total_q = 1 / (2 * math.cos(math.pi / 8) + 2 * math.cos(3 * math.pi / 8))
    lossless = Driver(
        resonance_hz=40.0,
        electrical_q=total_q * (1 + 1e-7),
        mechanical_q=total_q * 1e7,
        compliance_volume_m3=0.03 * math.sqrt(2),
        cone_area_m2=0.033,
        coil_ohm=3.2,
    )
    above = np.linspace(40.0, 200.0, 16001)
    moved = driver.vented(above, driver=lossless, box_m3=0.03, tuned_hz=40.0, leakage_q=math.inf, voltage_v=1.0)
    at_rest = lossless.force_factor_tm * lossless.compliance_m_n / lossless.coil_ohm
    highest = np.abs(moved.excursion_m).max() / at_rest
    assert printed("0.2433", source="derived: recomputed displacement function", within=2e-4) == highest
    power_constant = 4 * math.pi**3 * 1.18 / 345.0 / highest**2
    assert abs(power_constant - 3.0) > 1.0


def test_one_frequency_makes_arrays_of_one():
    assert driver.closed(50.0, driver=SUB, box_m3=0.025).response.shape == (1,)
    assert driver.closed(HZ, driver=SUB, box_m3=0.025).frequency_hz == pytest.approx(HZ, rel=1e-12)


@pytest.mark.parametrize(
    ("named", "value"), [("leakage_q", 0.0), ("absorption_q", -1.0), ("port_q", math.nan), ("fill_factor", 1.5)]
)
def test_refuses_losses_that_cannot_be(named, value):
    with pytest.raises(ValueError, match=named):
        driver.vented(50.0, driver=SUB, box_m3=0.05, tuned_hz=33.0, **{named: value})


def test_refusals():
    with pytest.raises(ValueError, match="frequency_hz"):
        driver.infinite_baffle(0.0, driver=SUB)
    with pytest.raises(ValueError, match="voltage_v"):
        driver.infinite_baffle(50.0, driver=SUB, voltage_v=0.0)
    with pytest.raises(ValueError, match="cone_area_m2"):
        replace(SUB, cone_area_m2=0.0)
    with pytest.raises(ValueError, match="coil_h"):
        replace(SUB, coil_h=-1e-3)
