"""Coils to wind: their inductance against circles of wire added up, and against a published approximation."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.special
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import winding
from tests.printed import printed

WHEELER = "H. A. Wheeler, Simple inductance formulas for radio coils, 1928: 0.8 a2 N2/(6a + 9b + 10c) (from memory)"
MU0 = 4e-7 * math.pi


def mutual_h(one: float, other: float, apart: float) -> float:
    """Two coaxial circles of wire (Maxwell), by elliptic integrals."""
    k2 = 4 * one * other / ((one + other) ** 2 + apart**2)
    k = math.sqrt(k2)
    return MU0 * math.sqrt(one * other) * ((2 / k - k) * scipy.special.ellipk(k2) - 2 / k * scipy.special.ellipe(k2))


def added_up_h(coil: winding.Winding, per_side: int) -> float:
    """Inductance of a winding as so many circles a side, each standing for its share of the turns."""
    cells = [(coil.bore_m / 2 + coil.side_m * (i + 0.5) / per_side, coil.side_m * (j + 0.5) / per_side)
             for i in range(per_side) for j in range(per_side)]  # fmt: skip
    share = coil.turns / per_side**2
    cell = coil.side_m / per_side
    total = 0.0
    for radius, height in cells:
        for other, level in cells:
            if (radius, height) == (
                other,
                level,
            ):  # of itself: geometric mean distance of a square, 0.44705 of its side
                total += mutual_h(radius, radius, 0.44705 * cell)
            else:
                total += mutual_h(radius, other, abs(height - level))
    return total * share**2


@pytest.mark.parametrize(("wanted", "wire"), [(0.33e-3, 1.0e-3), (1.0e-3, 1.0e-3), (3.3e-3, 1.4e-3)])
def test_circles_of_wire_add_up_to_the_inductance_asked_for(wanted, wire):
    coil = winding.square_coil(inductance_h=wanted, wire_m=wire)
    assert added_up_h(coil, 8) == pytest.approx(wanted, rel=0.02)


def test_an_old_approximation_agrees():
    # one inch of winding, mean radius 1.5 inch, 100 turns
    radius_in = 1.5
    wheeler_uh = 0.8 * radius_in**2 * 100**2 / (6 * radius_in + 9 + 10)
    ours = winding.SQUARE_COIL_H_M * radius_in * 0.0254 * 100**2 * 1e6
    assert printed(f"{wheeler_uh:.1f}", source=WHEELER, share=0.01) == ours


@given(henry=st.floats(1e-5, 1e-2), wire=st.sampled_from(winding.WIRES_M))
def test_a_thicker_wire_has_less_resistance_and_more_bulk(henry, wire):
    thin = winding.square_coil(inductance_h=henry, wire_m=wire)
    thick = winding.square_coil(inductance_h=henry, wire_m=1.5 * wire)
    assert thick.resistance_ohm < thin.resistance_ohm
    assert thick.side_m > thin.side_m


@given(henry=st.floats(1e-5, 5e-3), ohm=st.floats(0.05, 2.0))
def test_the_wire_keeps_within_what_is_allowed_where_any_does(henry, ohm):
    coil = winding.coil_with_at_most(inductance_h=henry, resistance_ohm=ohm)
    assert coil.resistance_ohm <= ohm or coil.wire_m == winding.WIRES_M[-1]
    thinner = [wire for wire in winding.WIRES_M if wire < coil.wire_m]
    if thinner and coil.resistance_ohm <= ohm:
        assert winding.square_coil(inductance_h=henry, wire_m=thinner[-1]).resistance_ohm > ohm


def test_resistance_is_that_of_its_wire():
    coil = winding.square_coil(inductance_h=1e-3, wire_m=1e-3)
    per_m = printed("0.02195", source="derived: 1.7241e-8 / (pi/4 * 1e-6)", share=1e-3)
    assert per_m == coil.resistance_ohm / coil.length_m
    assert coil.length_m == pytest.approx(coil.turns * math.pi * (coil.bore_m + coil.side_m))


@pytest.mark.parametrize("bad", [{"inductance_h": 0.0, "wire_m": 1e-3}, {"inductance_h": 1e-3, "wire_m": -1.0}])
def test_what_cannot_be_wound_is_refused(bad):
    with pytest.raises(ValueError, match="above zero"):
        winding.square_coil(**bad)


def test_lists_of_wire_rise():
    assert list(np.diff(winding.WIRES_M) > 0) == [True] * (len(winding.WIRES_M) - 1)
