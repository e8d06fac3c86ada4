"""Two ways at their handover through whole job files, held against scipy's own filters: trims, polarity, delays."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path

import numpy as np
import pytest
import scipy.signal
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.facts.jobs import changed, engine, value

# drivers without ends of their own, straight before the listener: what is left are filters, levels and time
FLAT = {"fs_hz": 0.01, "qts": 0.7, "impedance_ohm": 4, "re_ohm": 4, "power_w": 50, "sd_cm2": 1}
SPEED = 343.2
NEAR, FAR, FRONT_W, LOW_W = 0.82, 2.4, 75, 250
MODE_HZ = SPEED / (2 * 2.9)


def made(edge, lower, upper, sensitivities=(90, 90)):
    sub, midwoof = sensitivities
    data = changed(
        ("ways.sub.box",),
        air_c=20,
        vehicle__locations__arch__distance_m={"driver": FAR},
        ways__sub__driver={"type": "sub", "size_mm": 250, "sensitivity_db": sub, "sensitivity_at": "1 W", **FLAT},
        ways__sub__plays=["open", edge],
        ways__midwoof__driver={
            "type": "mid",
            "size_mm": 165,
            "sensitivity_db": midwoof,
            "sensitivity_at": "1 W",
            **FLAT,
        },
        ways__midwoof__plays=[edge, "open"],
        ways__midwoof__from=["front.3", "front.4"],
        **{f"ways__sub__{key}": given for key, given in lower.items()},
        **{f"ways__midwoof__{key}": given for key, given in upper.items()},
    )
    with tempfile.TemporaryDirectory() as folder:
        return engine(Path(folder), data)


def scipy_filter(family, order, edge_hz, kind, hz):
    times, order = (2, order // 2) if family == "LR" else (1, order)
    b, a = scipy.signal.butter(order, 2 * math.pi * edge_hz, kind, analog=True)
    return scipy.signal.freqs(b, a, 2 * math.pi * hz)[1] ** times


def level_at_ear_db(sensitivity_db, watts, distance_m):
    # 1 W into 4 ohm is 2 V; what the channel gives at its rating, less what the way to the ear takes
    volts = math.sqrt(watts * 4)
    return sensitivity_db + 20 * math.log10(volts / 2.0) - 20 * math.log10(distance_m)


FILTERS = st.sampled_from([("LR", 2), ("LR", 4), ("LR", 6), ("LR", 8), *[("BW", order) for order in range(1, 9)]])
TRIMS = st.floats(-9, 3).map(lambda trim: round(trim, 2))
DELAYS = st.floats(0, 12).map(lambda delay: round(delay, 3))
POLARITIES = st.sampled_from(["normal", "inverted"])


@settings(max_examples=60, deadline=None)
@given(FILTERS, st.integers(50, 400), TRIMS, TRIMS, DELAYS, DELAYS, POLARITIES, POLARITIES)
def test_the_sum_is_that_of_the_filters_levels_and_times(
    named, edge_hz, low_trim, high_trim, low_ms, high_ms, low_pole, high_pole
):
    family, order = named
    lower = {"trim_db": low_trim, "delay_ms": low_ms, "polarity": low_pole}
    upper = {"trim_db": high_trim, "delay_ms": high_ms, "polarity": high_pole}
    job = made(f"{edge_hz} {family}{6 * order}", lower, upper, sensitivities=(87, 91))

    hz = edge_hz * 2.0 ** np.linspace(-0.5, 0.5, 97)
    in_cabin = edge_hz <= 2 * MODE_HZ
    low_db = level_at_ear_db(87, LOW_W, 1.0 if in_cabin else FAR) + low_trim
    high_db = level_at_ear_db(91, FRONT_W, NEAR) + high_trim
    later_s = (NEAR - FAR) / SPEED + (high_ms - low_ms) / 1000
    sign = 1 if low_pole == high_pole else -1
    half = (low_db - high_db) / 2
    low = 10 ** (half / 20) * scipy_filter(family, order, edge_hz, "lowpass", hz)
    high = 10 ** (-half / 20) * scipy_filter(family, order, edge_hz, "highpass", hz)
    total = 20 * np.log10(np.maximum(np.abs(low + sign * high * np.exp(-2j * math.pi * hz * later_s)), 1e-6))

    assert value(job, "sub/midwoof left.trim_gap_db") == pytest.approx(low_db - high_db, abs=1e-6)
    assert value(job, "sub/midwoof left.left_over_ms") == pytest.approx(1000 * later_s, abs=1e-9)
    found, expected = value(job, "sub/midwoof left.sum_db"), float(total[48])
    assert found == pytest.approx(expected, abs=max(0.02, 0.02 * abs(expected)))
    deepest = max(0.0, -float(total.min()))
    assert value(job, "sub/midwoof left.hole_db") == pytest.approx(deepest, abs=max(0.02, 0.02 * deepest))


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([2, 4, 6, 8]), st.integers(50, 400))
def test_linkwitz_riley_ways_that_are_lined_up_sum_flat_in_the_polarity_to_set(order, edge_hz):
    job = made(f"{edge_hz} LR{6 * order}", {}, {})
    meeting = job.ask(*job.find("sub/midwoof left.meeting")).value
    total = meeting.both(value(job, "sub/midwoof left.polarity"))
    assert total == pytest.approx(np.ones_like(meeting.hz), abs=2e-3)
    wanted = "inverted" if order in (2, 6) else "normal"
    assert value(job, "midwoof left.polarity_to_set") == wanted


@settings(max_examples=20, deadline=None)
@given(st.sampled_from([4, 8]), st.integers(50, 400))
def test_the_sum_of_linkwitz_riley_ways_is_an_all_pass_of_half_the_order(order, edge_hz):
    job = made(f"{edge_hz} LR{6 * order}", {}, {})
    meeting = job.ask(*job.find("sub/midwoof left.meeting")).value
    _, poles, _ = scipy.signal.butter(order // 2, 2 * math.pi * edge_hz, analog=True, output="zpk")
    _, all_pass = scipy.signal.freqs_zpk(-np.conj(poles), poles, 1.0, 2 * math.pi * meeting.hz)
    turned = np.angle((meeting.lower + meeting.upper) / all_pass)
    assert turned == pytest.approx(np.zeros_like(turned), abs=5e-3)
