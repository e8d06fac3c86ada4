"""Amplifier losses against textbook rows, and against rails and currents added up sample by sample."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import losses, powers
from tests.printed import printed

IDEAL_B = {"rated_w": 100.0, "rated_efficiency": np.pi / 4, "topology": "A/B"}
DERIVED = "derived from (4/pi) sqrt(x)"


@pytest.mark.parametrize(
    ("share", "efficiency", "heat"),
    [(1, "78.5", "0.273"), (0.5, "55.5", "0.400"), (1 / 3, "45.3", "0.402"), (1 / 8, "27.8", "0.325")],
)
def test_ideal_class_b(share: float, efficiency: str, heat: str) -> None:
    taken = losses.input_power_w(output_w=100.0 * share, **IDEAL_B)
    assert 100 * 100 * share / taken == printed(efficiency, source=DERIVED)
    assert losses.dissipation_w(output_w=100.0 * share, **IDEAL_B) / 100 == printed(heat, source=DERIVED)


def test_ideal_class_b_at_one_percent() -> None:
    taken = losses.input_power_w(output_w=1.0, **IDEAL_B)
    assert 100 / taken == printed("7.85", source=DERIVED)
    assert losses.dissipation_w(output_w=1.0, **IDEAL_B) / 100 == printed("0.117", source=DERIVED)


def test_class_b_is_hottest_at_two_thirds_of_the_rail() -> None:
    source = "textbook class B, from memory"
    share = np.linspace(0.0, 1.0, 200_001)
    heat = losses.dissipation_w(output_w=100.0 * share, **IDEAL_B)
    hottest = int(np.argmax(heat))
    assert 100 * np.sqrt(share[hottest]) == printed("63.7", source=source)
    assert share[hottest] == printed("0.4053", source=source)
    assert heat[hottest] / 100 == printed("0.4053", source=source)
    taken = losses.input_power_w(output_w=100.0 * share[hottest], **IDEAL_B)
    assert 100 * 100 * share[hottest] / taken == printed("50", source=source, within=0.01)


def test_class_d_is_poor_at_low_level() -> None:
    # The paper gives no circuit; ten percent of the rated output lost, all of it at idle, is its worst case.
    source = "docslib.org/doc/1030485, 'near 90 % at full power, single-digit % at -20 to -50 dB'"
    amplifier = {"rated_w": 100.0, "rated_efficiency": 0.9, "idle_w": 11.0, "topology": "D"}
    full = losses.input_power_w(output_w=100.0, **amplifier)
    assert 100 * 100 / full == printed("90", source=source)
    for level_db in (-20, -30, -40, -50):
        output = 100.0 * 10 ** (level_db / 10)
        assert 100 * output / losses.input_power_w(output_w=output, **amplifier) < 10


def _added_up(wave: np.ndarray, low_rail_share: float) -> float:
    """Input power over the full sine's output, with rails of 1 and `low_rail_share` into 1 ohm."""
    rail = np.where(np.abs(wave) > low_rail_share, 1.0, low_rail_share)
    return float(np.mean(rail * np.abs(wave)) / 0.5)


@pytest.mark.parametrize("low_rail_share", [0.3, 0.5, 0.8])
@pytest.mark.parametrize("share", [0.01, 0.1, 0.25, 0.6, 1.0])
def test_two_rails_sample_by_sample(low_rail_share: float, share: float) -> None:
    phase = (np.arange(400_000) + 0.5) / 400_000 * 2 * np.pi
    wave = np.sqrt(share) * np.sin(phase)
    ceiling = losses.highest_efficiency(topology="G/H", low_rail_share=low_rail_share)
    taken = losses.input_power_w(
        output_w=share, rated_w=1.0, rated_efficiency=ceiling, topology="G/H", low_rail_share=low_rail_share
    )
    assert taken == pytest.approx(_added_up(wave, low_rail_share), rel=1e-4)


@pytest.mark.parametrize(("topology", "low_rail_share"), [("A/B", 1.0), ("G/H", 0.3), ("G/H", 0.5)])
@pytest.mark.parametrize("share", [0.01, 0.06, 0.125])
def test_noise_sample_by_sample(topology: str, low_rail_share: float, share: float) -> None:
    wave = np.random.default_rng(5).normal(0.0, np.sqrt(share / 2), 1_000_000)
    rail = {"low_rail_share": low_rail_share} if topology == "G/H" else {}
    ceiling = losses.highest_efficiency(topology=topology, **rail)
    taken = losses.input_power_w(
        output_w=share, rated_w=1.0, rated_efficiency=ceiling, topology=topology, signal="noise", **rail
    )
    assert taken == pytest.approx(_added_up(wave, low_rail_share), rel=3e-3)


amplifiers = st.fixed_dictionaries(
    {
        "rated_w": st.floats(10.0, 3000.0),
        "topology": st.sampled_from(["A/B", "D", "G/H"]),
        "signal": st.sampled_from(["sine", "noise"]),
    }
)


@given(amplifiers, st.floats(0.3, 0.99), st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_energy_balance(amplifier: dict, of_ceiling: float, idle_share: float, output_share: float) -> None:
    ceiling = losses.highest_efficiency(topology=amplifier["topology"])
    rated = amplifier["rated_w"]
    spare = rated / (ceiling * of_ceiling) - rated / ceiling
    case = {**amplifier, "rated_efficiency": ceiling * of_ceiling, "idle_w": idle_share * spare}
    output = output_share * rated
    taken = losses.input_power_w(output_w=output, **case)
    heat = losses.dissipation_w(output_w=output, **case)
    assert abs(taken - output - heat) <= 1e-9 * taken
    assert heat >= -1e-9 * taken
    more = losses.input_power_w(output_w=min(output * 1.01 + 1e-3, rated / 2), **case)
    assert more >= taken * (1 - 1e-12)


@given(amplifiers, st.floats(0.4, 0.95))
def test_rated_output_and_idle_are_met(amplifier: dict, of_ceiling: float) -> None:
    efficiency = losses.highest_efficiency(topology=amplifier["topology"]) * of_ceiling
    rated = amplifier["rated_w"]
    case = {**amplifier, "signal": "sine", "rated_efficiency": efficiency, "idle_w": 0.02 * rated}
    assert losses.input_power_w(output_w=rated, **case) == pytest.approx(rated / efficiency, rel=1e-12)
    assert losses.dissipation_w(output_w=0.0, **case) == pytest.approx(0.02 * rated, rel=1e-12)


def test_order_of_the_classes_on_music() -> None:
    output = 200.0 * powers.mean_power_share(crest_factor_db=12.0)
    heat = {
        topology: losses.dissipation_w(
            output_w=output,
            rated_w=200.0,
            rated_efficiency=0.9 * losses.highest_efficiency(topology=topology),
            idle_w=4.0,
            topology=topology,
            signal="noise",
        )
        for topology in ("A/B", "D", "G/H")
    }
    assert heat["A/B"] > heat["G/H"] > heat["D"]


def test_arrays_go_through() -> None:
    heat = losses.dissipation_w(output_w=np.array([0.0, 25.0, 100.0]), **IDEAL_B)
    assert heat.shape == (3,)
    assert heat[0] == 0.0


@pytest.mark.parametrize(
    ("changed", "text"),
    [
        ({"rated_efficiency": 0.8}, "more than the 78.5 % that class A/B can reach"),
        ({"rated_efficiency": 0.75, "idle_w": 20.0}, "more than the 78.5 %"),
        ({"output_w": 101.0}, "output_over_rated must lie between 0 and 1"),
        ({"output_w": 51.0, "signal": "noise"}, "output_over_rated must lie between 0 and 0.5"),
        ({"topology": "T"}, "topology must be"),
        ({"signal": "speech"}, "signal must be"),
        ({"topology": "G/H", "low_rail_share": 1.0}, "low_rail_share must lie"),
    ],
)
def test_refuses_what_cannot_be(changed: dict, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        losses.dissipation_w(**({"output_w": 10.0, **IDEAL_B} | changed))
