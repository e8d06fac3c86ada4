"""Boxes against scipy.signal: the same physics as differential equations, which know no transfer function.

States are the coil's current, the cone's velocity and place, the pressure in the box and the flow in the port.
"""

import warnings

import numpy as np
import pytest
import scipy.signal
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.assumed import assumptions
from advisor.physics import box_response, driver
from advisor.physics.air import AIR_DENSITY_20C_KG_M3, SOUND_SPEED_20C_M_S
from advisor.physics.driver import Driver
from tests.printed import printed

HZ = np.geomspace(5.0, 5000.0, 61)
drivers = st.builds(
    Driver,
    resonance_hz=st.floats(18.0, 120.0),
    electrical_q=st.floats(0.2, 1.5),
    mechanical_q=st.floats(1.5, 12.0),
    compliance_volume_m3=st.floats(2e-3, 0.2),
    cone_area_m2=st.floats(5e-3, 0.1),
    coil_ohm=st.floats(1.5, 8.0),
    coil_h=st.floats(1e-4, 3e-3),
)
SIZES, TUNINGS, LOSSES = st.floats(0.2, 6.0), st.floats(0.5, 1.8), st.floats(3.0, 60.0)


def solved(one, box_m3, leakage_q, at_hz, port=None):
    """Return pressure at 1 m, place of the cone, and current, all by 1 V."""
    area, force, mass = one.cone_area_m2, one.force_factor_tm, one.moving_mass_kg
    spring = box_m3 / (AIR_DENSITY_20C_KG_M3 * SOUND_SPEED_20C_M_S**2)
    leak = 2 * np.pi * at_hz * spring / leakage_q
    a = np.array(
        [
            [-one.coil_ohm / one.coil_h, -force / one.coil_h, 0, 0, 0],
            [force / mass, -one.loss_kg_s / mass, -1 / (mass * one.compliance_m_n), -area / mass, 0],
            [0, 1, 0, 0, 0],
            [0, area / spring, 0, -leak / spring, -1 / spring],
            [0, 0, 0, 0, 0],
        ]
    )
    if port:
        tuned_hz, port_q = port
        inertia = 1 / ((2 * np.pi * tuned_hz) ** 2 * spring)
        a[4] = [0, 0, 0, 1 / inertia, -2 * np.pi * tuned_hz / port_q]
    else:
        a = a[:4, :4]
    b = np.zeros((len(a), 1))
    b[0] = 1 / one.coil_h
    flow = spring * a[3]  # what compresses the air is what is left to be heard
    c = np.array([flow, np.eye(len(a))[2], np.eye(len(a))[0]])
    found = []
    pace = 2 * np.pi * at_hz  # time counted in turns of the box, so that no coefficient is far from the others
    for row in c:
        scale = np.abs(row).max()
        system = scipy.signal.StateSpace(a / pace, b / pace, row[None, :] / scale, np.zeros((1, 1)))
        with warnings.catch_warnings():  # it takes a numerator that starts with zeros for a slip
            warnings.simplefilter("ignore", scipy.signal.BadCoefficients)
            found.append(scale * scipy.signal.freqresp(system, 2 * np.pi * HZ / pace)[1])
    pressure = AIR_DENSITY_20C_KG_M3 * 2j * np.pi * HZ * found[0] / (2 * np.pi)
    return pressure, found[1], found[2]


def assert_same(moved, expected):
    pressure, place, current = expected
    np.testing.assert_allclose(moved.pressure_1m_pa, pressure, rtol=1e-5)
    np.testing.assert_allclose(moved.excursion_m, place, rtol=1e-5)
    np.testing.assert_allclose(1 / moved.impedance_ohm, current, rtol=1e-5)


@given(drivers, SIZES, LOSSES)
def test_a_closed_box(one, alpha, leakage_q):
    box_m3 = one.compliance_volume_m3 / alpha
    moved = driver.closed(HZ, driver=one, box_m3=box_m3, leakage_q=leakage_q, voltage_v=1.0)
    at_hz = one.resonance_hz * np.sqrt(1 + alpha)
    assert_same(moved, solved(one, box_m3, leakage_q, at_hz))


@given(drivers, SIZES, TUNINGS, LOSSES, LOSSES)
def test_a_vented_box(one, alpha, tuning, leakage_q, port_q):
    box_m3, tuned_hz = one.compliance_volume_m3 / alpha, one.resonance_hz * tuning
    moved = driver.vented(
        HZ, driver=one, box_m3=box_m3, tuned_hz=tuned_hz, leakage_q=leakage_q, port_q=port_q, voltage_v=1.0
    )
    assert_same(moved, solved(one, box_m3, leakage_q, tuned_hz, (tuned_hz, port_q)))


@given(st.floats(15.0, 120.0), st.floats(0.2, 0.8), SIZES, TUNINGS, LOSSES)
def test_the_fourth_order_response(resonance_hz, total_q, alpha, tuning, leakage_q):
    """Small 1973, eq. 22-24 as printed (from memory), with QL in every coefficient, as scipy evaluates it."""
    h, root = tuning, tuning**0.5
    a1 = (leakage_q + h * total_q) / (root * leakage_q * total_q)
    a2 = (h + (alpha + 1 + h * h) * leakage_q * total_q) / (h * leakage_q * total_q)
    a3 = (h * leakage_q + total_q) / (root * leakage_q * total_q)
    w0 = 2 * np.pi * resonance_hz * root
    poles = [1, a1 * w0, a2 * w0**2, a3 * w0**3, w0**4]
    _, expected = scipy.signal.freqs([1, 0, 0, 0, 0], poles, worN=2 * np.pi * HZ)
    found = box_response.vented_response(
        HZ,
        resonance_hz=resonance_hz,
        total_q=total_q,
        compliance_volume_m3=alpha * 0.03,
        box_m3=0.03,
        tuned_hz=resonance_hz * tuning,
        leakage_q=leakage_q,
    )
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_the_loss_that_is_taken_where_none_is_known():
    """Small 1973, Part III, section 11 (as read in a scan): moderate boxes measure 5 to 10, design with 7."""
    source = "Small 1973, Part III, s. 11, scribd.com/document/356866942"
    assert printed("7", source=source) == assumptions()["box_leakage_q"].value
    assert driver.vented.__kwdefaults__["leakage_q"] == pytest.approx(7.0)
