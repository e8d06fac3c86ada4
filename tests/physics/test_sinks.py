"""Sinks and cases: the share radiated, the steady state found from both sides, and the toll of the place."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.physics import sinks
from tests.printed import printed

CASE = {"length_m": 0.3, "width_m": 0.2, "height_m": 0.05}


@pytest.mark.parametrize("rise", [20.0, 35.0, 50.0])
def test_half_of_the_heat_is_radiated(rise: float) -> None:
    source = "Tamayol, McGregor, Bahrami, ASME 2012, studylib.net/doc/11187815: 'about 50 %'"
    carried, shone = sinks.case_heat_w(surface_c=25.0 + rise, air_c=25.0, **CASE)
    assert 100 * shone / (carried + shone) == printed("50", source=source, within=5)


def _settle(start_c: float, heat_w: float, mounting: str) -> float:
    """March the case in time, small steps, until it stays where it is."""
    surface, share = start_c, sinks.MOUNTING_SHARE[mounting]
    for _ in range(4000):
        carried, shone = sinks.case_heat_w(surface_c=max(surface, 25.0), air_c=25.0, **CASE)
        surface += 5.0 / 1200.0 * (heat_w - share * (carried + shone))
    return surface


@pytest.mark.parametrize(("heat_w", "mounting"), [(10.0, "free"), (40.0, "boxed in")])
def test_steady_state_from_both_sides(heat_w: float, mounting: str) -> None:
    found = sinks.case_surface_c(heat_w=heat_w, air_c=25.0, mounting=mounting, **CASE)
    assert _settle(25.0, heat_w, mounting) == pytest.approx(found, abs=1e-4)
    assert _settle(200.0, heat_w, mounting) == pytest.approx(found, abs=1e-4)


@settings(max_examples=40)
@given(st.floats(0.0, 80.0), st.floats(-20.0, 70.0), st.sampled_from(list(sinks.MOUNTING_SHARE)))
def test_heat_balance_closes(heat_w: float, air_c: float, mounting: str) -> None:
    surface = sinks.case_surface_c(heat_w=heat_w, air_c=air_c, mounting=mounting, **CASE)
    carried, shone = sinks.case_heat_w(surface_c=surface, air_c=air_c, **CASE)
    assert sinks.MOUNTING_SHARE[mounting] * (carried + shone) == pytest.approx(heat_w, abs=1e-6)
    assert surface >= air_c


def test_more_heat_less_air_and_a_polished_case_are_hotter() -> None:
    base = sinks.case_surface_c(heat_w=30.0, air_c=25.0, **CASE)
    assert sinks.case_surface_c(heat_w=31.0, air_c=25.0, **CASE) > base
    assert sinks.case_surface_c(heat_w=30.0, air_c=25.0, emissivity=0.1, **CASE) > base + 10
    assert sinks.case_surface_c(heat_w=30.0, air_c=25.0, fin_ratio=2.0, **CASE) < base
    by_place = [sinks.case_surface_c(heat_w=30.0, air_c=25.0, mounting=place, **CASE) for place in sinks.MOUNTING_SHARE]
    assert by_place == sorted(by_place)


@given(st.floats(0.05, 5.0))
def test_every_place_costs(free: float) -> None:
    mounted = [sinks.mounted_k_w(free_k_w=free, mounting=place) for place in sinks.MOUNTING_SHARE]
    assert mounted[0] == free
    assert mounted == sorted(mounted)


def test_closed_space() -> None:
    assert sinks.closed_space_k_w(wall_m2=0.5, wall_w_m2k=4.0) == printed("0.5", source="derived from 1/(U A)")


def test_arrays_go_through() -> None:
    carried, shone = sinks.case_heat_w(surface_c=np.array([25.0, 45.0, 65.0]), air_c=25.0, **CASE)
    assert carried.shape == shone.shape == (3,)
    assert carried[0] == shone[0] == 0.0


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: sinks.mounted_k_w(free_k_w=1.0, mounting="in a drawer"), "mounting must be one of free, vertical"),
        (lambda: sinks.case_heat_w(surface_c=20.0, air_c=25.0, **CASE), "rise_k must be"),
        (lambda: sinks.case_heat_w(surface_c=60.0, air_c=25.0, fin_ratio=0.5, **CASE), "fin_ratio must lie"),
        (lambda: sinks.case_surface_c(heat_w=5000.0, air_c=25.0, **CASE), "heat the case above 300 C"),
        (lambda: sinks.closed_space_k_w(wall_m2=0.0), "wall_m2 must be"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
