"""Gain structure: clip order and noise against a chain worked through stage by stage."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import gain
from tests.printed import printed

stages = st.lists(st.tuples(st.floats(-20.0, 40.0), st.floats(0.1, 50.0)), min_size=1, max_size=6)


def _through(head_v: float, gains_db: list[float]) -> list[float]:
    voltages = []
    for stage_db in gains_db:
        head_v *= 10 ** (stage_db / 20)
        voltages.append(head_v)
    return voltages


@given(stages)
def test_each_stage_just_reaches_its_limit(chain: list[tuple[float, float]]) -> None:
    gains_db, limits_v = [stage[0] for stage in chain], [stage[1] for stage in chain]
    heads = gain.clips_at_v(gains_db=gains_db, limits_v=limits_v)
    for place, head_v in enumerate(heads):
        assert _through(float(head_v), gains_db)[place] == pytest.approx(limits_v[place], rel=1e-9)
    below = _through(float(heads.min()) * 0.999999, gains_db)
    assert all(voltage < limit for voltage, limit in zip(below, limits_v, strict=True))


@given(stages, st.floats(0.1, 20.0))
def test_turning_a_stage_up_clips_nothing_later(chain: list[tuple[float, float]], more_db: float) -> None:
    gains_db, limits_v = [stage[0] for stage in chain], [stage[1] for stage in chain]
    before = gain.clips_at_v(gains_db=gains_db, limits_v=limits_v)
    after = gain.clips_at_v(gains_db=[gains_db[0] + more_db, *gains_db[1:]], limits_v=limits_v)
    assert np.all(after < before)


def test_sensitivity_matches_the_source() -> None:
    source = "derived from the definition of gain"
    assert gain.sensitivity_to_set_v(source_v=4.0) == printed("4.0", source=source)
    assert gain.sensitivity_to_set_v(source_v=4.0, overlap_db=6.0) == printed("2.005", source=source)
    # Set so, source and amplifier (full at 20 V) clip together.
    full_v = 20.0
    amplifier_db = gain.gain_db(output_v=full_v, input_v=gain.sensitivity_to_set_v(source_v=4.0))
    heads = gain.clips_at_v(gains_db=(0.0, amplifier_db), limits_v=(4.0, full_v))
    assert heads == pytest.approx([4.0, 4.0], rel=1e-12)


@given(st.floats(0.1, 20.0), st.floats(0.1, 19.9))
def test_more_overlap_asks_for_less_voltage(source_v: float, overlap_db: float) -> None:
    less = gain.sensitivity_to_set_v(source_v=source_v, overlap_db=overlap_db)
    assert less < source_v
    assert gain.gain_db(output_v=source_v, input_v=less) == pytest.approx(overlap_db, abs=1e-9)


def test_noise_sample_by_sample() -> None:
    random = np.random.default_rng(7)
    noises_v, gains_db = (20e-6, 50e-6, 200e-6), (0.0, 12.0, 20.0)
    wave = np.zeros(200_000)
    for noise_v, stage_db in zip(noises_v, gains_db, strict=True):
        wave = wave * 10 ** (stage_db / 20) + random.normal(0.0, noise_v, wave.size)
    assert gain.output_noise_v(gains_db=gains_db, noises_v=noises_v) == pytest.approx(np.std(wave), rel=0.01)


def test_noise_at_the_ear() -> None:
    source = "derived from the definition of sensitivity"
    assert gain.noise_at_ear_db(noise_v=2.83, sensitivity_db=90.0) == printed("90.0", source=source)
    assert gain.noise_at_ear_db(noise_v=0.283e-3, sensitivity_db=90.0) == printed("10.0", source=source)
    assert gain.noise_at_ear_db(noise_v=2.83, sensitivity_db=90.0, distance_m=0.5) == printed("96.02", source=source)


def test_a_quieter_first_stage_matters_most() -> None:
    base = {"gains_db": (0.0, 26.0)}
    both = gain.output_noise_v(noises_v=(30e-6, 100e-6), **base)
    assert gain.output_noise_v(noises_v=(15e-6, 100e-6), **base) < gain.output_noise_v(noises_v=(30e-6, 50e-6), **base)
    assert gain.output_noise_v(noises_v=(0.0, 0.0), **base) == 0.0 < both


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: gain.gain_db(output_v=0.0, input_v=1.0), "output_v must be"),
        (lambda: gain.sensitivity_to_set_v(source_v=4.0, overlap_db=25.0), "overlap_db must lie"),
        (lambda: gain.clips_at_v(gains_db=(0.0,), limits_v=(1.0, 2.0)), r"gains_db \(1\) and limits_v \(2\) must name"),
        (lambda: gain.clips_at_v(gains_db=(), limits_v=()), "at least one"),
        (lambda: gain.clips_at_v(gains_db=(0.0,), limits_v=(0.0,)), "limits_v must be"),
        (lambda: gain.output_noise_v(gains_db=(0.0,), noises_v=(-1.0,)), "noises_v must be"),
        (lambda: gain.noise_at_ear_db(noise_v=1e-3, sensitivity_db=90.0, distance_m=0.0), "distance_m must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
