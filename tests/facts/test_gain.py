"""Voltages, noise and digital links through whole job files."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, subject, value
from tests.printed import printed

SPEAKER = "LV-05, derived from Ohm's law"
NOISE = "AM-03, derived from the definition of the level"
OPTICAL = "LV-11, EIAJ RC-5720 as quoted in an encyclopaedia; that 15 Mbit/s carry 96 kHz is inferred"


def low_gives(watts: float, ohm: float) -> dict:
    data = changed(ways__sub__driver__impedance_ohm=ohm)
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {ohm: watts}
    return data


@pytest.mark.parametrize(
    ("watts", "ohm", "volts"),
    [(1, 8, "2.828"), (1, 4, "2.000"), (18, 4, "8.485"), (50, 4, "14.14"), (100, 8, "28.28"), (500, 2, "31.62")],
)
def test_voltage_at_full_power(tmp_path, watts, ohm, volts):
    assert printed(volts, source=SPEAKER) == value(engine(tmp_path, low_gives(watts, ohm)), "low.1.full_output_v")


def test_the_input_is_set_a_little_under_a_full_recording(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "low.1.sensitivity_to_set_v") == pytest.approx(4 * 10 ** (-5 / 20))
    gain = 20 * math.log10(value(made, "low.1.full_output_v") / value(made, "low.1.sensitivity_to_set_v"))
    assert value(made, "low.1.gain_db") == pytest.approx(gain)


@pytest.mark.parametrize(("source_v", "input_v", "first"), [(4, 6, "its output"), (4, 2, "its input")])
def test_what_clips_first(tmp_path, source_v, input_v, first):
    data = changed(
        chain__brain__processor__outputs__line__max_v=source_v, chain__low__amplifier__inputs__line__max_v=input_v
    )
    assert value(engine(tmp_path, data), "low.1.first_to_clip") == first


def test_an_amplifier_fed_digitally_has_no_voltage_to_set(tmp_path):
    data = changed(chain__low__over="optical")
    data["chain"]["low"]["amplifier"]["inputs"] = {"optical": {"sample_rate_hz": 96000}}
    data["chain"]["brain"]["processor"]["outputs"]["optical"] = {"channels": 2, "sample_rate_hz": 48000}
    with pytest.raises(NotDefined, match="digitally"):
        value(engine(tmp_path, data), "low.1.sensitivity_to_set_v")


def test_what_nobody_says_of_the_source_is_named(tmp_path):
    data = changed(("chain.brain.processor.outputs.line.max_v",))
    with pytest.raises(Missing, match=r"outputs\.line\.max_v"):
        value(engine(tmp_path, data), "low.1.sensitivity_to_set_v")


@pytest.mark.parametrize(("watts", "more_db"), [(95, "19.78"), (291, "24.64")])
def test_noise_counted_from_one_watt_or_from_the_rating(tmp_path, watts, more_db):
    noises = {}
    for at in ("rated", "1 W"):
        data = low_gives(watts, 4)
        data["chain"]["low"]["amplifier"] |= {"noise_distance_db": 80, "noise_distance_at": at}
        noises[at] = value(engine(tmp_path, data), "low.1.noise_v")
    assert printed(more_db, source=NOISE) == 20 * math.log10(noises["rated"] / noises["1 W"])


def hissing(distance_db: float, metres: float = 0.8) -> dict:
    data = changed(chain__front__amplifier__noise_distance_db=distance_db, ways__tweeter__driver__sensitivity_db=90)
    data["vehicle"]["locations"]["dash"]["left"] = {"distance_m": {"driver": metres, "passenger": 1.5}}
    return data


def test_hiss_follows_noise_and_distance(tmp_path):
    near = value(engine(tmp_path, hissing(90)), "tweeter left.hiss_db")
    assert value(engine(tmp_path, hissing(80)), "tweeter left.hiss_db") == pytest.approx(near + 10)
    assert value(engine(tmp_path, hissing(90, 1.6)), "tweeter left.hiss_db") == pytest.approx(near - 20 * math.log10(2))


def test_hiss_of_a_driver_at_a_metre(tmp_path):
    """Noise of 2.83 V would be as loud as the sensitivity says."""
    data = hissing(1e-9, 1.0)
    data["chain"]["front"]["amplifier"]["banks"][0]["watts"] = {4: 2.83**2 / 4}
    made = engine(tmp_path, data)
    passed = value(made, "tweeter left.noise_passed_db")
    assert value(made, "tweeter left.hiss_db") == pytest.approx(90 + passed, abs=0.01)  # 2.83 is √8


def test_a_pad_takes_its_decibels_off_the_hiss(tmp_path):
    heard = {}
    for pad_db in (3, 8):
        data = hissing(90)
        data["chain"]["split"]["pad_db"] = {"high": pad_db}
        heard[pad_db] = value(engine(tmp_path, data), "tweeter left.hiss_db")
    assert heard[3] - heard[8] == pytest.approx(5, abs=0.3)  # resistors as they are sold


def test_noise_behind_a_network_is_the_mean_of_what_it_passes(tmp_path):
    made = engine(tmp_path, hissing(90))
    hz = np.linspace(1000, 16000, 4001)
    driver = subject(made.chain, "driver", "tweeter left")
    power = np.abs(made.view(driver).network_passes(hz)) ** 2
    expected = 10 * math.log10(np.trapezoid(power, hz) / 15000)
    assert value(made, "tweeter left.noise_passed_db") == pytest.approx(expected, abs=0.02)
    assert value(made, "sub.noise_passed_db") == 0


def test_clip_order_in_words(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "low.1.clip_order") == (
        "first its output, then what feeds it, 5.0 dB later, then its input, 8.5 dB later"
    )
    early = engine(tmp_path, changed(chain__low__amplifier__inputs__line__max_v=2))
    assert value(early, "low.1.clip_order").startswith("first its input, then its output")
    level = engine(tmp_path, changed(chain__low__amplifier__inputs__line__max_v=4))
    assert value(level, "low.1.clip_order").count("5.0 dB later") == 2


def test_a_processor_adds_its_noise(tmp_path):
    data = hissing(100)
    quiet = value(engine(tmp_path, data), "tweeter left.hiss_db")
    data["chain"]["brain"]["processor"]["noise_distance_db"] = 100
    made = engine(tmp_path, data)
    assert value(made, "tweeter left.hiss_db") > quiet + 3
    before, own = 4e-5 * 10 ** (value(made, "front.1.gain_db") / 20), math.sqrt(75 * 4) * 1e-5
    assert value(made, "front.1.noise_v") == pytest.approx(math.hypot(before, own))


def test_what_an_optical_link_carries(tmp_path):
    made = engine(tmp_path, changed())
    assert printed("96", source=OPTICAL) == value(made, "screen > brain.optical_limit_hz") / 1000


@pytest.mark.parametrize(
    ("places", "told"),
    [
        ({}, []),
        ({"chain__low__at": "arch"}, []),  # a ground cable laid along: one ground
        ({"supply__ground": "body"}, []),  # side by side: one ground
        ({"chain__low__at": "arch", "supply__ground": "body"}, ["brain > low"]),
        (
            {"chain__low__at": "arch", "supply__ground": "body", "chain__low__amplifier__inputs__line__balanced": True},
            [],
        ),
    ],
)
def test_two_grounds_are_told_only_where_there_are_two(tmp_path, places, told):
    found = review(tmp_path, changed(**places)).of("falls short")
    assert [f.subject.name for f in found if f.rule.name == "line-link-does-not-join-two-grounds"] == told
