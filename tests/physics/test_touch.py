"""Temperatures that burn, and limits for what is touched."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import touch
from tests.printed import printed

BURNS = "burn institute data, mail-archive.com emc-pstc msg05244"


@pytest.mark.parametrize(
    ("contact_s", "metal", "glass", "plastic"),
    [(300, "49", "59", "74"), (10, "57", "67", "82"), (5, "60", "70", "85"), (1, "68", "78", "93")],
)
def test_burn_onset(contact_s: float, metal: str, glass: str, plastic: str) -> None:
    for material, text in (("metal", metal), ("glass", glass), ("plastic", plastic)):
        assert touch.burn_onset_c(material=material, contact_s=contact_s) == printed(text, source=BURNS)


def test_beyond_five_minutes_the_last_value_holds() -> None:
    assert touch.burn_onset_c(material="metal", contact_s=3600.0) == 49.0


def test_bare_metal_at_seventy_burns_after_a_second() -> None:
    source = "EN 563 as quoted mail-archive.com emc-pstc msg08864: 70 C burns if contact exceeds 1 s"
    assert touch.burn_onset_c(material="metal", contact_s=1.0) == printed("70", source=source, within=2)
    assert touch.burn_onset_c(material="metal", contact_s=1.0) < 70.0


def test_product_limit_of_plastic() -> None:
    source = "IEC 62368-1 Table 38, mail-archive.com emc-pstc msg77021"
    assert touch.product_limit_c(material="plastic", contact="touched briefly") == printed("77", source=source)


@pytest.mark.parametrize(
    ("contact", "text"), [("worn", "48"), ("held", "51"), ("touched briefly", "60"), ("not to be touched", "70")]
)
def test_product_limits_of_metal(contact: str, text: str) -> None:
    limit = touch.product_limit_c(material="metal", contact=contact)
    assert limit == printed(text, source="IEC 62368-1 Table 38, from memory")


@given(st.sampled_from(["metal", "glass", "plastic"]), st.floats(1.0, 290.0), st.floats(1.001, 3.0))
def test_a_longer_touch_burns_at_a_lower_temperature(material: str, contact_s: float, longer: float) -> None:
    here = touch.burn_onset_c(material=material, contact_s=contact_s)
    assert touch.burn_onset_c(material=material, contact_s=contact_s * longer) < here


def test_arrays_go_through() -> None:
    assert touch.burn_onset_c(material="glass", contact_s=np.array([1.0, 5.0])).tolist() == [78.0, 70.0]


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: touch.burn_onset_c(material="metal", contact_s=0.5), "contact_s must lie between 1"),
        (lambda: touch.burn_onset_c(material="wood", contact_s=5.0), "material must be one of"),
        (lambda: touch.product_limit_c(material="glass", contact="held"), "there is no limit for"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
