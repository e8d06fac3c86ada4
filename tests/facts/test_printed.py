"""Published numbers through whole job files: written out, read, built and asked for by name."""

from __future__ import annotations

import math

import pytest

from tests.facts.jobs import changed, engine, value
from tests.printed import printed

SMALL = "TS-03, R. H. Small, J. Audio Eng. Soc. 20(10), 1972, Part I (from memory); value derived from it"
SECOND_ORDER = "TS-01, derived from the second-order response (Small 1972, Part I, from memory)"
EFFICIENCY = "TS-06, R. H. Small 1972 (from memory), as in encyclopaedia mirrors citing Beranek & Mellow 2012"
COILS_SEEN = "IM-06, studylib.net/doc/18148583"
COILS = "IM-06, derived from Ohm's law"
RATED = "IM-05, IEC 60268-3/-5 as digested, goldprivacy.com/speaker-impedance"
GAUGE = "WI-03, aionlinecalculator.com, worked example"
CLASS_5 = "WI-04, IEC 60228 class 5, three tables agreeing (uecables.com and others)"
CLASS_5_MEMORY = "WI-04, IEC 60228 class 5"
SPEED = "SS-02, ISO 9613-1 (from memory)"
DELAY = "SS-03, derived from 1000/343.2"


def sub(**driver):
    sound = {"type": "sub", "size_mm": 250, "fs_hz": 30, "qts": 0.40, "vas_l": 60, "impedance_ohm": 4}
    return {**sound, **driver}


def test_a_closed_box_for_the_flattest_response(tmp_path):
    made = engine(tmp_path, changed(ways__sub__driver=sub(), ways__sub__box={"closed_l": 28.24}))
    assert printed("0.7071", source=SMALL, share=0.001) == value(made, "sub.box_q")
    assert printed("53.0", source=SMALL, share=0.001) == value(made, "sub.box_resonance_hz")


@pytest.mark.parametrize(
    ("total_q", "f3", "f6"),
    [
        (0.5, "1.5538", "1.0000"),
        (3**-0.5, "1.2720", "0.8761"),
        (0.5**0.5, "1.0000", "0.7598"),
        (0.8, "0.8972", "0.7135"),
    ],
)
def test_edges_of_a_closed_box(tmp_path, total_q, f3, f6):
    box_l = 60 / ((total_q / 0.40) ** 2 - 1)
    made = engine(tmp_path, changed(ways__sub__driver=sub(), ways__sub__box={"closed_l": box_l}))
    resonance = value(made, "sub.box_resonance_hz")
    assert printed(f3, source=SECOND_ORDER, within=0.0005) == value(made, "sub.half_power_hz") / resonance
    # the row is for half the pressure, 6.02 dB; the fact is for 6 dB, up to 0.3 % higher
    assert printed(f6, source=SECOND_ORDER, share=0.0035) == value(made, "sub.plays_down_to_hz") / resonance


def test_sensitivity_lies_a_constant_above_the_efficiency(tmp_path):
    made = engine(tmp_path, changed(ways__sub__driver=sub(qes=0.44)))
    efficiency = value(made, "sub.reference_efficiency")
    offset = value(made, "sub.sensitivity_1w_db") - 10 * math.log10(efficiency)
    assert printed("112.16", source=EFFICIENCY, within=0.05) == offset
    constant = efficiency / (30**3 * 0.060 / 0.44)
    assert printed("9.766", source=EFFICIENCY, share=0.001) == constant * 1e7


@pytest.mark.parametrize(
    ("driver", "way", "ohm", "source"),
    [
        ({"impedance_ohm": 8}, {"count": 2, "joined": "series"}, "16", COILS_SEEN),
        ({"impedance_ohm": 8}, {"count": 2, "joined": "parallel"}, "4", COILS_SEEN),
        ({"coils": 2}, {"coils": "series"}, "8", COILS),
        ({"coils": 2}, {"coils": "parallel"}, "2", COILS),
        ({"coils": 2}, {"coils": "series", "count": 2, "joined": "series"}, "16", COILS),
        ({"coils": 2}, {"coils": "series", "count": 2, "joined": "parallel"}, "4", COILS),
        ({"coils": 2}, {"coils": "parallel", "count": 2, "joined": "series"}, "4", COILS),
        ({"coils": 2}, {"coils": "parallel", "count": 2, "joined": "parallel"}, "1", COILS),
        ({"coils": 2, "impedance_ohm": 2}, {"coils": "series", "count": 2, "joined": "series"}, "8", COILS),
        ({"coils": 2, "impedance_ohm": 2}, {"coils": "series", "count": 2, "joined": "parallel"}, "2", COILS),
        ({"coils": 2, "impedance_ohm": 2}, {"coils": "parallel", "count": 2, "joined": "parallel"}, "0.5", COILS),
    ],
)
def test_coils_and_drivers_combined(tmp_path, driver, way, ohm, source):
    data = changed(ways__sub__driver=sub(**driver))
    data["ways"]["sub"] |= way
    assert printed(ohm, source=source) == value(engine(tmp_path, data), "low.1.load_ohm")


@pytest.mark.parametrize(("rated", "least"), [(4, "3.2"), (8, "6.4")])
def test_the_lowest_load_that_a_rating_allows(tmp_path, rated, least):
    made = engine(tmp_path, changed(ways__sub__driver=sub(impedance_ohm=rated)))
    assert printed(least, source=RATED) == value(made, "low.1.lowest_load_ohm")
    assert value(made, "low.1.load_ohm") == rated


def test_what_is_known_of_the_coil_goes_before_what_a_rating_allows(tmp_path):
    by_coil = engine(tmp_path, changed(ways__sub__driver=sub(re_ohm=3.5)))
    assert value(by_coil, "low.1.lowest_load_ohm") == 3.5
    as_given = engine(tmp_path, changed(ways__sub__driver=sub(re_ohm=3.5, min_ohm=3.7)))
    assert value(as_given, "low.1.lowest_load_ohm") == pytest.approx(3.7, rel=1e-12)


def test_fifty_metres_of_gauge_12_there_and_back(tmp_path):
    made = engine(tmp_path, changed(supply={"cable_awg": 12, "run_m": 50}))
    assert printed("0.52", source=GAUGE) == value(made, "supply.loop_mohm") / 1000


@pytest.mark.parametrize(
    ("mm2", "ohm_per_km"),
    [
        (0.5, "39.0"), (0.75, "26.0"), (1, "19.5"), (1.5, "13.3"), (2.5, "7.98"), (4, "4.95"), (6, "3.30"),
        (10, "1.91"), (16, "1.21"), (25, "0.780"), (35, "0.554"), (50, "0.386"), (70, "0.272"), (95, "0.206"),
    ],
)  # fmt: skip
def test_a_kilometre_of_flexible_cable(tmp_path, mm2, ohm_per_km):
    data = changed(supply={"cable_mm2": mm2, "run_m": 500})
    data["ways"]["sub"]["speaker_cable"] = {"cable_mm2": mm2, "run_m": 500}
    made = engine(tmp_path, data)
    assert printed(ohm_per_km, source=CLASS_5) == value(made, "supply.loop_mohm") / 1000
    assert printed(ohm_per_km, source=CLASS_5) == value(made, "sub cable.loop_mohm") / 1000


@pytest.mark.parametrize(
    ("air_c", "speed"), [(-20, "318.93"), (0, "331.29"), (25, "346.11"), (40, "354.71"), (60, "365.87")]
)
def test_sound_speed_in_the_cabin(tmp_path, air_c, speed):
    made = engine(tmp_path, changed(air_c=air_c))
    assert printed(speed, source=SPEED, within=0.02) == value(made, "job.sound_speed_m_s")


def test_arrival_and_delay_at_20_degrees(tmp_path):
    data = changed(air_c=20)
    places = data["vehicle"]["locations"]
    places["dash"]["left"]["distance_m"]["driver"] = 0.8
    places["door"]["right"]["distance_m"]["driver"] = 1.5
    places["arch"]["distance_m"]["driver"] = 2.4
    made = engine(tmp_path, data)
    assert value(made, "sub.delay_ms") == 0
    for name, metres in (("tweeter left", 0.8), ("midwoof right", 1.5)):
        assert printed("2.9138", source=DELAY) == value(made, f"{name}.arrival_ms") / metres
        assert printed("2.9138", source=DELAY) == value(made, f"{name}.delay_ms") / (2.4 - metres)
