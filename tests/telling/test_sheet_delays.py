"""Delays of the sheet against sound that travels: two arrivals correlated, and the speed of sound as ISO prints it."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy import signal

from advisor.facts.assumed import assumptions
from advisor.telling.sheet.build import build_sheet
from tests.facts.jobs import changed, review
from tests.printed import printed
from tests.telling.test_sheet import column, sheet

RATE = 48_000
ISO = "SS-02, ISO 9613-1 (from memory)"
DRIFT = "drift of delays with temperature"
FED = ["all-active", "cheaper", "over-budget", "sound"]


def arriving(burst: np.ndarray, late_s: float) -> np.ndarray:
    """A burst after some time, to a fraction of a sample: its spectrum turned."""
    hz = np.fft.rfftfreq(burst.size, 1 / RATE)
    return np.fft.irfft(np.fft.rfft(burst) * np.exp(-2j * np.pi * hz * late_s), burst.size)


def burst() -> np.ndarray:
    noise = np.random.default_rng(7).standard_normal(8192)
    noise[2048:] = 0.0
    low, high = 200 / RATE * 2, 8000 / RATE * 2
    return signal.sosfilt(signal.butter(2, (low, high), "bandpass", output="sos"), noise)


def lag_samples(one: np.ndarray, other: np.ndarray) -> int:
    """How many samples the second comes after the first."""
    correlation = signal.correlate(other, one, mode="full")
    lags = signal.correlation_lags(other.size, one.size, mode="full")
    return int(lags[np.argmax(correlation)])


def number(text: str) -> float:
    found = re.match(r"−?[0-9.]+", text)
    assert found
    return float(found[0].replace("−", "-"))


@pytest.mark.parametrize("job", FED)
def test_delays_of_the_sheet_line_up_what_a_microphone_would_hear(job):
    made = sheet(job)
    distances = {name: number(cell.text) for name, cell in column(made, DRIFT, "distance to the ear").items()
                 if name != "air in the cabin"}  # fmt: skip
    delays_ms = {name: number(cell.text) for name, cell in column(made, DRIFT, "set").items()}
    speed = next(cell.readings[0].value for cell in made.about if cell.text.startswith("Speed of sound"))
    heard = {name: arriving(burst(), distance / speed) for name, distance in distances.items()}
    last = max(distances, key=lambda name: distances[name])
    assert len(heard) >= 3
    for name in heard:
        assert delays_ms[name] >= 0
        wanted = lag_samples(heard[name], heard[last])
        assert abs(delays_ms[name] / 1000 * RATE - wanted) <= 1, name
        assert abs(lag_samples(arriving(heard[name], delays_ms[name] / 1000), heard[last])) <= 1, name


@pytest.mark.parametrize("job", FED)
def test_samples_are_those_of_the_processor(job):
    made = sheet(job)
    rate = {"cheaper": 48_000}.get(job, 96_000)
    for output, cell in column(made, "settings of outputs", "samples").items():
        exact = column(made, "settings of outputs", "delay")[output].readings[0].value / 1000 * rate
        assert cell.readings[0].value == round(exact)
        assert abs(cell.readings[0].value - exact) <= 0.5


@pytest.mark.parametrize("job", FED)
def test_the_way_in_cm_is_what_is_missing_to_the_farthest(job):
    made = sheet(job)
    distances = column(made, DRIFT, "distance to the ear")
    farthest = max(cell.readings[0].value for cell in distances.values() if cell.readings)
    ways = [cell.readings[0].value for cell in column(made, "settings of outputs", "way").values()]
    wanted = [100 * (farthest - cell.readings[0].value) for cell in distances.values() if cell.readings]
    assert ways == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize(
    ("hot_c", "speed"),
    [
        (25.0, printed("346.11", source=ISO, within=0.02)),
        (40.0, printed("354.71", source=ISO, within=0.02)),
        (60.0, printed("365.87", source=ISO, within=0.02)),
    ],
)
def test_drift_follows_the_speed_of_sound_as_printed(tmp_path, hot_c, speed):
    data = changed(air_c=20, vehicle__cabin__hottest_c=hot_c)
    made = build_sheet(review(tmp_path, data))
    distances = column(made, DRIFT, "distance to the ear")
    hot = column(made, DRIFT, "wanted in a hot cabin")
    cold = column(made, DRIFT, "wanted on a cold morning")
    farthest = max(cell.readings[0].value for cell in distances.values() if cell.readings)
    checked = 0
    for name, cell in distances.items():
        missing_m = farthest - cell.readings[0].value if cell.readings else 0.0
        if missing_m:
            assert speed == missing_m / hot[name].readings[0].value * 1000
            celsius = float(assumptions()["cold_morning_air"].value)
            assert missing_m / cold[name].readings[0].value * 1000 == pytest.approx(
                343.2 * np.sqrt((celsius + 273.15) / 293.15), abs=0.01
            )
            checked += 1
    assert checked >= 2


def test_the_cold_morning_agrees_with_a_library_of_real_gases():
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    made = sheet("sound")
    distances = column(made, DRIFT, "distance to the ear")
    cold = column(made, DRIFT, "wanted on a cold morning")
    farthest = max(cell.readings[0].value for cell in distances.values() if cell.readings)
    speed = coolprop.PropsSI("A", "T", 273.15 - 5, "P", 101325, "Air")
    mid = (farthest - distances["mid left"].readings[0].value) / speed * 1000
    assert cold["mid left"].readings[0].value == pytest.approx(mid, rel=1e-3)
