"""Power, voltage and crest factor against printed rows, and each there and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import powers
from tests.printed import printed

OHM = "derived from Ohm's law"
CREST = "derived from the definition of the crest factor"


@pytest.mark.parametrize(
    ("power", "load", "text"),
    [
        (1, 8, "2.828"), (1, 4, "2.000"), (18, 4, "8.485"), (50, 4, "14.14"), (100, 8, "28.28"),
        (500, 2, "31.62"),
    ],
)  # fmt: skip
def test_speaker_voltage(power: float, load: float, text: str) -> None:
    assert powers.speaker_voltage_v(power_w=power, load_ohm=load) == printed(text, source=OHM)


def test_rail_limited_power_of_a_head_unit() -> None:
    assert powers.rail_limited_power_w(supply_v=14.4, load_ohm=4.0) == printed("25.92", source=OHM)
    square = powers.rail_limited_power_w(supply_v=14.4, load_ohm=4.0, waveform="square")
    assert square == printed("51.84", source=OHM)


@pytest.mark.parametrize(("crest", "text"), [(6, "0.502"), (9, "0.252"), (12, "0.126"), (15, "0.063"), (18, "0.032")])
def test_mean_power_of_a_crest_factor(crest: float, text: str) -> None:
    assert powers.mean_power_share(crest_factor_db=crest) == printed(text, source=CREST)


def test_one_eighth_power_is_twelve_decibels() -> None:
    assert powers.crest_factor_db(mean_power_share=1 / 8) == printed("12.04", source=CREST)


@pytest.mark.parametrize(("sines", "text"), [(1, "3.01"), (2, "6.02")])
def test_crest_factor_of_equal_sines(sines: int, text: str) -> None:
    phase = np.arange(0, 4096) / 4096 * 2 * np.pi
    wave = sum(np.cos((5 + 2 * n) * phase) for n in range(sines))
    share = np.mean(wave**2) / (np.max(wave) ** 2 / 2)
    source = "fte.com/WebHelpII CrestFactor.htm"
    assert powers.crest_factor_db(mean_power_share=share) == printed(text, source=source)


@given(st.floats(1e-3, 5e3), st.floats(0.25, 32.0))
def test_power_and_voltage_are_inverse(power: float, load: float) -> None:
    volts = powers.speaker_voltage_v(power_w=power, load_ohm=load)
    assert powers.power_w(voltage_v=volts, load_ohm=load) == pytest.approx(power, rel=1e-12)


@given(st.floats(0.0, 60.0))
def test_crest_factor_and_share_are_inverse(crest: float) -> None:
    share = powers.mean_power_share(crest_factor_db=crest)
    assert powers.crest_factor_db(mean_power_share=min(share, 2.0)) == pytest.approx(crest, abs=1e-9)


@given(st.floats(0.0, 5e3), st.floats(0.05, 1.0), st.floats(8.0, 16.0))
def test_input_power_is_output_over_efficiency(power: float, efficiency: float, supply: float) -> None:
    amperes = powers.current_a(power_w=power, efficiency=efficiency, supply_v=supply)
    assert amperes * supply * efficiency == pytest.approx(power, rel=1e-12)


def test_square_wave_is_the_top_of_the_share() -> None:
    assert powers.mean_power_share(crest_factor_db=0.0) == pytest.approx(2.0, rel=1e-12)


def test_arrays_go_through() -> None:
    volts = powers.speaker_voltage_v(power_w=np.array([1.0, 4.0]), load_ohm=4.0)
    assert np.allclose(volts, [2.0, 4.0])
    assert isinstance(powers.power_w(voltage_v=2.0, load_ohm=4.0), float)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: powers.power_w(voltage_v=2.0, load_ohm=0.0), "load_ohm must be"),
        (lambda: powers.speaker_voltage_v(power_w=-1.0, load_ohm=4.0), "power_w must be"),
        (lambda: powers.rail_limited_power_w(supply_v=14, load_ohm=4, waveform="saw"), "waveform must be"),
        (lambda: powers.mean_power_share(crest_factor_db=-1.0), "crest_factor_db must lie"),
        (lambda: powers.crest_factor_db(mean_power_share=2.1), "mean_power_share must lie"),
        (lambda: powers.current_a(power_w=1.0, efficiency=1.1, supply_v=12.0), "efficiency must lie"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
