"""Room that boxes and devices take."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import room
from tests.printed import printed

SIDE = st.floats(0.01, 0.5)
DEVICE = st.tuples(SIDE, SIDE, SIDE)
GEOMETRY = "derived from the volume of a cube"


def test_a_cube_with_its_walls():
    assert printed("39.304", source=GEOMETRY) == 1000 * room.cube_outer_m3(inner_m3=0.027, wall_m=0.02)
    assert printed("27", source=GEOMETRY) == 1000 * room.cube_outer_m3(inner_m3=0.027, wall_m=0.0)


@given(inner=st.floats(1e-3, 0.2), wall=st.floats(0, 0.05), longer=st.floats(1.0, 3.0))
def test_no_box_takes_less_than_a_cube(inner, wall, longer):
    side = inner ** (1 / 3)
    length, width = side * longer, side / longer**0.5
    other = (length + 2 * wall) * (width + 2 * wall) ** 2
    assert room.cube_outer_m3(inner_m3=inner, wall_m=wall) <= other * (1 + 1e-9)


@pytest.mark.parametrize("bad", [{"inner_m3": 0.0, "wall_m": 0.01}, {"inner_m3": 0.01, "wall_m": -0.01}])
def test_a_box_that_cannot_be_is_refused(bad):
    with pytest.raises(ValueError, match="must be a finite number"):
        room.cube_outer_m3(**bad)


def test_two_devices_in_a_row_share_what_is_left():
    gap = room.row_gap_m(space_m=(0.5, 0.3, 0.1), devices_m=[(0.2, 0.2, 0.05), (0.24, 0.15, 0.05)])
    assert gap == pytest.approx((0.5 - 0.2 - 0.15) / 3)


def test_what_fits_no_way_has_a_gap_below_zero():
    assert room.row_gap_m(space_m=(0.3, 0.2, 0.1), devices_m=[(0.4, 0.1, 0.05)]) < 0
    assert room.row_gap_m(space_m=(0.3, 0.2, 0.1), devices_m=[(0.2, 0.2, 0.09)] * 3) < 0


@given(space=DEVICE, devices=st.lists(DEVICE, min_size=1, max_size=3))
def test_the_gap_is_the_best_that_can_be_found_by_trying(space, devices):
    best = None
    for along in range(3):
        across = [space[side] for side in range(3) if side != along]
        for turns in itertools.product(*(set(itertools.permutations(device)) for device in devices)):
            if all(turn[1] <= across[0] and turn[2] <= across[1] for turn in turns):
                gap = (space[along] - sum(turn[0] for turn in turns)) / (len(devices) + 1)
                best = gap if best is None else max(best, gap)
    found = room.row_gap_m(space_m=space, devices_m=devices)
    if best is not None and best >= 0:
        assert found == pytest.approx(best)
    else:
        assert found < 0


@given(space=DEVICE, devices=st.lists(DEVICE, min_size=1, max_size=3), order=st.randoms())
def test_neither_order_nor_turn_of_devices_matters(space, devices, order):
    turned = [tuple(order.sample(device, 3)) for device in order.sample(devices, len(devices))]
    assert room.row_gap_m(space_m=space, devices_m=turned) == pytest.approx(
        room.row_gap_m(space_m=space, devices_m=devices)
    )


def test_no_device_is_refused():
    with pytest.raises(ValueError, match="at least one device"):
        room.row_gap_m(space_m=(1.0, 1.0, 1.0), devices_m=[])
