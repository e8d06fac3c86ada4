"""Quantisation against its textbook figures and against rounded samples; the rates an optical link carries."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.physics import digital
from tests.printed import printed

OPTICAL = "derived from the 64-bit frame and biphase mark"


@pytest.mark.parametrize(("bits", "text"), [(16, "98.09"), (24, "146.26")])
def test_quantisation(bits: int, text: str) -> None:
    assert digital.quantisation_distance_db(bits=bits) == printed(text, source="textbook 6.02 N + 1.76, from memory")


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_quantisation_of_rounded_samples(bits: int) -> None:
    wave = np.sin(2 * np.pi * 0.1234567 * np.arange(200_000))
    step = 2.0 / 2**bits
    error = np.round(wave / step) * step - wave
    measured = 10 * np.log10(np.mean(wave**2) / np.mean(error**2))
    assert digital.quantisation_distance_db(bits=bits) == pytest.approx(measured, abs=0.15)


def test_a_bit_is_six_decibels() -> None:
    distance = digital.quantisation_distance_db(bits=np.arange(8, 33))
    assert np.diff(distance) == pytest.approx(6.0206, abs=1e-4)


def test_symbol_rates() -> None:
    assert digital.optical_symbol_rate_baud(sample_rate_hz=96000.0) / 1e6 == printed("12.3", source=OPTICAL)
    assert digital.optical_symbol_rate_baud(sample_rate_hz=192000.0) / 1e6 == printed("24.6", source=OPTICAL)


def test_a_common_receiver_carries_96_but_not_192_khz() -> None:
    source = "EIAJ RC-5720 class of 15 Mbit/s, inference"
    assert digital.highest_optical_rate_hz(receiver="common") == printed("96000", source=source)
    assert digital.highest_optical_rate_hz(receiver="automotive") == max(digital.SAMPLE_RATES_HZ)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: digital.quantisation_distance_db(bits=0), "bits must lie"),
        (lambda: digital.optical_symbol_rate_baud(sample_rate_hz=0.0), "sample_rate_hz must be"),
        (lambda: digital.highest_optical_rate_hz(receiver="fast"), "receiver must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
