"""What goes in and what holds it: depth with window and ring, boxes with their walls, weights and their forces."""

from __future__ import annotations

import math

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value
from tests.printed import printed

NEWTON = "derived: Newton's second law with 9.80665 m/s2"


def test_a_ring_wins_depth_and_costs_room_in_front(tmp_path):
    flush, ringed = engine(tmp_path, changed()), engine(tmp_path, changed(ways__midwoof__ring_mm=9))
    for name, change in (("depth_left_mm", 9), ("window_gap_mm", 9), ("comes_out_mm", 9), ("depth_needed_mm", -9)):
        before, after = (value(made, f"midwoof left.{name}") for made in (flush, ringed))
        assert after - before == pytest.approx(change), name


def test_a_place_without_a_window_has_no_gap_to_it(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "midwoof left.has_a_window_behind") is True
    assert value(made, "tweeter left.has_a_window_behind") is False


def test_a_box_is_net_and_driver_and_port_and_walls(tmp_path):
    box = {"vented_l": 30, "tuned_hz": 35, "port_mm": 80, "price": 0, "fit_h": 0, "wall_mm": 18}
    made = engine(tmp_path, changed(ways__sub__box=box))
    net, taken, port = (value(made, f"sub.{name}") for name in ("box_net_l", "displaced_l", "port_l"))
    assert net == 30
    assert port == pytest.approx(math.pi * 0.4**2 * value(made, "sub.port_length_mm") / 100)
    gross = value(made, "sub.box_gross_l")
    assert gross == pytest.approx(net + taken + port)
    assert value(made, "sub.box_outer_l") == pytest.approx((gross ** (1 / 3) + 0.36) ** 3)


def test_a_closed_box_has_no_port_in_it(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "sub.port_l") == 0
    with pytest.raises(NotDefined):
        value(made, "sub.ports")


def test_a_box_weighs_what_is_given_else_its_walls(tmp_path):
    assert value(engine(tmp_path, changed(ways__sub__box__weight_kg=9.5)), "sub.empty_box_kg") == 9.5
    made = engine(tmp_path, changed())
    walls_l = value(made, "sub.box_outer_l") - value(made, "sub.box_gross_l")
    assert value(made, "sub.empty_box_kg") == pytest.approx(0.72 * walls_l)


WEIGHED = {"ways__sub__box__weight_kg": 15, "ways__sub__driver__weight_kg": 5}


def test_forces_on_a_place_by_hand(tmp_path):
    made = engine(tmp_path, changed(**WEIGHED))
    assert value(made, "arch.carries_kg") == 20
    assert printed("156.9", source=NEWTON) == value(made, "arch.braking_n")
    assert printed("98.07", source=NEWTON) == value(made, "arch.cornering_n")
    assert printed("39.23", source=NEWTON) == value(made, "arch.bump_n")
    assert printed("3923", source=NEWTON) == value(made, "arch.crash_n")


def test_what_was_not_weighed_is_named(tmp_path):
    with pytest.raises(Missing, match="the weight of"):
        value(engine(tmp_path, changed()), "arch.carries_kg")


def test_devices_side_by_side_leave_the_gap_of_a_row(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "seat-base.devices_here") == ("brain", "front", "low")
    # 240 by 120 across the row: the processor stands on its edge (35 along), the large amplifier lies lengthwise (250),
    # the small one across (160); four gaps
    assert value(made, "seat-base.air_gap_mm") == pytest.approx((700 - 35 - 250 - 160) / 4)


def test_a_place_with_one_device_is_not_shared(tmp_path):
    made = engine(tmp_path, changed(chain__low__at="arch", chain__brain__at="arch"))
    assert value(made, "seat-base.is_shared") is False
