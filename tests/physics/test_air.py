import numpy as np
import pytest

from advisor.physics import air
from tests.printed import printed

WORKED = "SS-01, hpmuseum.org forum thread 21581, worked examples"
ISO = "SS-02, ISO 9613-1, from memory"
DERIVED = "SS-03, derived from c = 343.2 m/s"


@pytest.mark.parametrize(
    ("temperature_c", "expected"),
    [
        (20.0, printed("343.20358", source=WORKED + " (68 F)", within=0.01)),
        (35.0, printed("351.87462", source=WORKED, within=0.01)),
        (280.0 - 273.15, printed("335.41762", source=WORKED, within=0.01)),
        (-20.0, printed("318.93", source=ISO, within=0.02)),
        (0.0, printed("331.29", source=ISO, within=0.02)),
        (25.0, printed("346.11", source=ISO, within=0.02)),
        (40.0, printed("354.71", source=ISO, within=0.02)),
        (60.0, printed("365.87", source=ISO, within=0.02)),
    ],
)
def test_sound_speed(temperature_c, expected):
    assert expected == air.sound_speed_m_s(temperature_c=temperature_c)


@pytest.mark.parametrize(
    ("temperature_c", "real_air"), [(-20.0, 319.06), (0.0, 331.44), (25.0, 346.25), (60.0, 365.90)]
)
def test_sound_speed_is_within_a_thousandth_of_real_dry_air(temperature_c, real_air):
    """SS-02: speeds of real dry air computed by an independent property library, about 0.04 % higher."""
    assert air.sound_speed_m_s(temperature_c=temperature_c) == pytest.approx(real_air, rel=1e-3)


def test_one_metre_takes_2_9138_milliseconds():
    assert printed("2.9138", source=DERIVED) == 1000 * air.arrival_s(distance_m=1.0, temperature_c=20.0)


def test_one_metre_is_140_samples_at_48_khz():
    assert printed("139.86", source=DERIVED) == 48000 * air.arrival_s(distance_m=1.0, temperature_c=20.0)


@pytest.mark.parametrize(
    ("frequency_hz", "expected"),
    [(80.0, printed("4.29", source=DERIVED)), (3000.0, printed("0.1144", source=DERIVED))],
)
def test_wavelength(frequency_hz, expected):
    assert expected == air.wavelength_m(frequency_hz=frequency_hz)


def test_constants_are_the_functions_at_20_c():
    assert air.sound_speed_m_s(temperature_c=20.0) == pytest.approx(air.SOUND_SPEED_20C_M_S, rel=1e-12)
    assert printed("1.204", source="density of dry air at 20 C, common practice") == air.air_density_kg_m3(
        temperature_c=20.0
    )
    assert air.air_density_kg_m3(temperature_c=20.0) == pytest.approx(air.AIR_DENSITY_20C_KG_M3, rel=2e-4)


def test_density_over_sound_speed_at_25_c():
    ratio = air.air_density_kg_m3(temperature_c=25.0) / (2 * np.pi * air.sound_speed_m_s(temperature_c=25.0))
    assert printed("5.445e-4", source="TS-07, Wikipedia mirrors", share=1e-3) == ratio


def test_arrays_keep_their_shape_and_agree_with_scalars():
    temperatures = np.array([[-20.0, 0.0], [20.0, 60.0]])
    speeds = air.sound_speed_m_s(temperature_c=temperatures)
    assert speeds.shape == (2, 2)
    assert speeds[1, 1] == air.sound_speed_m_s(temperature_c=60.0)


@pytest.mark.parametrize("temperature_c", [-273.15, -300.0, float("nan"), float("inf")])
def test_no_sound_at_absolute_zero(temperature_c):
    with pytest.raises(ValueError, match="absolute zero"):
        air.sound_speed_m_s(temperature_c=temperature_c)


def test_refusals():
    with pytest.raises(ValueError, match="pressure_pa"):
        air.air_density_kg_m3(temperature_c=20.0, pressure_pa=0.0)
    with pytest.raises(ValueError, match="distance_m"):
        air.arrival_s(distance_m=-1.0, temperature_c=20.0)
    with pytest.raises(ValueError, match="frequency_hz"):
        air.wavelength_m(frequency_hz=0.0)
