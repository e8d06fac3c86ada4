import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import air, motor
from advisor.physics import thiele_small as ts
from tests.printed import printed

SMALL = "Small 1972, from memory"

resonances = st.floats(15.0, 2000.0)
volumes = st.floats(1e-5, 0.5)
qs = st.floats(0.1, 3.0)
areas = st.floats(5e-4, 0.2)
ohms = st.floats(0.5, 20.0)


@pytest.mark.parametrize(
    ("sound_speed_m_s", "expected"),
    [
        (345.0, printed("9.614e-7", source=SMALL)),
        (343.2, printed("9.766e-7", source=SMALL)),
    ],
)
def test_efficiency_constant(sound_speed_m_s, expected):
    unit = ts.reference_efficiency(
        resonance_hz=1.0, compliance_volume_m3=1.0, electrical_q=1.0, sound_speed_m_s=sound_speed_m_s
    )
    assert expected == unit


@pytest.mark.parametrize(
    ("density_kg_m3", "sound_speed_m_s", "expected"),
    [
        (1.18, 345.0, printed("112.09", source=SMALL, within=0.05)),
        (air.AIR_DENSITY_20C_KG_M3, air.SOUND_SPEED_20C_M_S, printed("112.16", source=SMALL, within=0.05)),
    ],
)
def test_sensitivity_of_a_loss_free_driver(density_kg_m3, sound_speed_m_s, expected):
    level = ts.sensitivity_1w_db(reference_efficiency=1.0, density_kg_m3=density_kg_m3, sound_speed_m_s=sound_speed_m_s)
    assert expected == level


def test_motor_form_of_the_efficiency_in_air_of_25_c():
    unit = motor.efficiency_from_motor(
        force_factor_tm=1.0,
        cone_area_m2=1.0,
        moving_mass_kg=1.0,
        coil_ohm=1.0,
        density_kg_m3=air.air_density_kg_m3(temperature_c=25.0),
        sound_speed_m_s=air.sound_speed_m_s(temperature_c=25.0),
    )
    assert printed("5.445e-4", source="Wikipedia mirrors", share=1e-3) == unit


def test_watt_and_voltage_sensitivity():
    source = "derived from Ohm's law: 2.83 V is 1 W in 8 ohm, 2 W in 4 ohm"
    at_8 = ts.sensitivity_from_voltage_db(sensitivity_2v83_db=90.0, impedance_ohm=8.0)
    at_4 = ts.sensitivity_from_voltage_db(sensitivity_2v83_db=90.0, impedance_ohm=4.0)
    assert printed("90.00", source=source) == at_8
    assert printed("86.99", source=source) == at_4


@given(qs, st.floats(1.01, 30.0))
def test_q_round_trip(electrical, ratio):
    mechanical = electrical * ratio
    total = ts.total_q(electrical_q=electrical, mechanical_q=mechanical)
    assert ts.electrical_q(total_q=total, mechanical_q=mechanical) == pytest.approx(electrical, rel=1e-9)


@given(volumes, areas)
def test_compliance_round_trip(volume, area):
    compliance = ts.compliance_m_n(compliance_volume_m3=volume, cone_area_m2=area)
    assert ts.compliance_volume_m3(compliance_m_n=compliance, cone_area_m2=area) == pytest.approx(volume, rel=1e-12)


@given(resonances, volumes, qs, areas, ohms)
def test_both_forms_of_the_efficiency_agree(resonance, volume, electrical, area, coil):
    mass = ts.moving_mass_kg(compliance_volume_m3=volume, resonance_hz=resonance, cone_area_m2=area)
    force = ts.force_factor_tm(electrical_q=electrical, resonance_hz=resonance, moving_mass_kg=mass, coil_ohm=coil)
    by_motor = ts.efficiency_from_motor(force_factor_tm=force, cone_area_m2=area, moving_mass_kg=mass, coil_ohm=coil)
    by_volume = ts.reference_efficiency(resonance_hz=resonance, compliance_volume_m3=volume, electrical_q=electrical)
    assert by_motor == pytest.approx(by_volume, rel=1e-9)


@given(resonances, volumes, areas)
def test_mass_and_compliance_resonate(resonance, volume, area):
    mass = ts.moving_mass_kg(compliance_volume_m3=volume, resonance_hz=resonance, cone_area_m2=area)
    compliance = ts.compliance_m_n(compliance_volume_m3=volume, cone_area_m2=area)
    assert 1 / (2 * math.pi * math.sqrt(mass * compliance)) == pytest.approx(resonance, rel=1e-9)


def test_peak_impedance_by_the_motional_resistance():
    """Re + Bl²/Rms, with Rms from the mechanical Q, is the other way to the same peak."""
    mass = ts.moving_mass_kg(compliance_volume_m3=0.06, resonance_hz=30.0, cone_area_m2=0.033)
    force = ts.force_factor_tm(electrical_q=0.45, resonance_hz=30.0, moving_mass_kg=mass, coil_ohm=3.2)
    losses = 2 * math.pi * 30.0 * mass / 4.05
    peak = ts.motional_peak_ohm(coil_ohm=3.2, mechanical_q=4.05, electrical_q=0.45)
    assert peak == pytest.approx(3.2 + force**2 / losses, rel=1e-12)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_refuses_what_is_not_a_quantity(bad):
    with pytest.raises(ValueError, match="electrical_q"):
        ts.total_q(electrical_q=bad, mechanical_q=4.0)
    with pytest.raises(ValueError, match="resonance_hz"):
        ts.reference_efficiency(resonance_hz=bad, compliance_volume_m3=0.06, electrical_q=0.45)
    with pytest.raises(ValueError, match="cone_area_m2"):
        ts.moving_mass_kg(compliance_volume_m3=0.06, resonance_hz=30.0, cone_area_m2=bad)


def test_total_q_is_below_the_mechanical():
    with pytest.raises(ValueError, match="below mechanical_q"):
        ts.electrical_q(total_q=4.0, mechanical_q=4.0)


def test_arguments_are_keyword_only():
    with pytest.raises(TypeError):
        ts.total_q(0.45, 4.05)
