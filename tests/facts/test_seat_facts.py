"""What arrives at the listener, through whole job files: sums at handovers, depth, lift of the cabin, the stage."""

from __future__ import annotations

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value
from tests.printed import printed

MODE = "CB-01, c/(2 L), textbook (from memory)"
EDGE = "derived from XO-01 (Linkwitz, JAES 24(1) 1976, from memory): twice -6.02 dB, or twice -3.01 dB, added"
SECOND_ORDER = "TS-01, derived from the second-order response (Small 1972, Part I, from memory)"

# drivers without ends of their own, straight before the listener: what is left are the filters
FLAT = {"fs_hz": 0.01, "qts": 0.7, "qes": 0.8, "qms": 5.6, "impedance_ohm": 4, "re_ohm": 4, "power_w": 50, "sd_cm2": 1}


def active(tmp_path, edge, lower=FLAT, upper=FLAT, **more):
    """Sub and midwoof, each with a channel of its own behind the processor."""
    return engine(
        tmp_path,
        changed(
            ways__sub__driver={"type": "sub", "size_mm": 250, "vas_l": 0.001, **lower},
            ways__sub__plays=["open", f"80 {edge}"],
            ways__midwoof__driver={"type": "midwoof", "size_mm": 165, **upper},
            ways__midwoof__plays=[f"80 {edge}", "open"],
            ways__midwoof__from=["front.3", "front.4"],
            **more,
        ),
    )


@pytest.mark.parametrize(("metres", "hz"), [(2.5, "68.6"), (2.9, "59.2"), (3.5, "49.0")])
def test_the_first_mode_of_a_cabin(tmp_path, metres, hz):
    made = engine(tmp_path, changed(vehicle__cabin={"length_m": metres}, air_c=20))
    assert printed(hz, source=MODE) == value(made, "cabin.gain_corner_hz")


def test_a_cabin_nobody_measured_is_asked_for(tmp_path):
    made = engine(tmp_path, changed(vehicle__cabin={"volume_m3": 7}))
    with pytest.raises(Missing, match="length_m"):
        value(made, "cabin.gain_corner_hz")


@pytest.mark.parametrize(
    ("edge", "together", "polarity"),
    [("LR24", "0.00", "same"), ("LR12", "0.00", "turned"), ("BW12", "3.01", "turned"), ("BW18", "0.00", None)],
)
def test_two_ways_at_their_edge(tmp_path, edge, together, polarity):
    made = active(tmp_path, edge)
    assert printed(together, source=EDGE, within=0.06) == value(made, "sub/midwoof left.sum_db")
    assert value(made, "sub/midwoof left.hole_db") == pytest.approx(0, abs=0.06)
    assert value(made, "sub/midwoof left.meets_at_hz") == pytest.approx(80, rel=2e-3)
    if polarity:
        assert value(made, "sub/midwoof left.polarity") == polarity


def test_a_driver_that_ends_near_the_edge_leaves_a_hole(tmp_path):
    made = active(tmp_path, "LR24", upper={**FLAT, "fs_hz": 90})
    assert value(made, "sub/midwoof left.hole_db") > 3
    assert value(made, "sub/midwoof left.meets_at_hz") > 80


def test_delays_mend_what_a_shared_channel_cannot(tmp_path):
    far = {"vehicle__locations__door__left__distance_m": {"driver": 1.05, "passenger": 1.5}}
    shared = engine(tmp_path, changed(**far))
    assert not value(shared, "midwoof/tweeter left.is_lined_up")
    (tmp_path / "apart").mkdir()
    own = {"ways__midwoof__from": ["front.3", "front.4"], "ways__tweeter__from": ["front.1", "front.2"]}
    apart = engine(tmp_path / "apart", changed(("chain.split",), **far, **own))
    assert value(apart, "midwoof/tweeter left.is_lined_up")
    assert value(apart, "midwoof/tweeter left.hole_db") < value(shared, "midwoof/tweeter left.hole_db") - 3


def test_depth_of_a_closed_box_without_a_filter(tmp_path):
    box_l = 60 / ((0.5**0.5 / 0.40) ** 2 - 1)
    driver = {"type": "sub", "size_mm": 250, "fs_hz": 30, "qts": 0.40, "vas_l": 60, "impedance_ohm": 4}
    places = {
        "ways__sub__driver": driver,
        "ways__sub__box": {"closed_l": box_l},
        "ways__sub__plays": ["open", "75 LR24"],
    }
    made = engine(tmp_path, changed(**places))
    # the row is for half the pressure, 6.02 dB; the fact is for 6 dB, up to 0.3 % higher
    depth = value(made, "job.extension_6db_hz") / value(made, "sub.box_resonance_hz")
    assert printed("0.7598", source=SECOND_ORDER, share=0.0035) == depth


def test_the_cabin_takes_the_bass_deeper(tmp_path):
    made = engine(tmp_path, changed())
    assert value(made, "job.extension_in_cabin_hz") < value(made, "job.extension_6db_hz")


def test_without_a_vehicle_nothing_lifts_the_bass(tmp_path):
    bare = {"advisor": 1, "job": "List", "ways": {"sub": {"driver": {"size_in": 10}, "plays": [30, 80]}}}
    with pytest.raises(NotDefined, match="no vehicle"):
        value(engine(tmp_path, bare), "job.extension_in_cabin_hz")


def test_a_steeper_slope_keeps_more_in_front(tmp_path):
    shares = []
    for slope in (12, 24, 48):
        folder = tmp_path / str(slope)
        folder.mkdir()
        made = engine(folder, changed(ways__sub__plays=["28 BW24", f"75 LR{slope}"]))
        shares.append(value(made, "job.off_stage_share_db"))
    assert shares[0] > shares[1] > shares[2]


def test_equal_ways_front_and_rear_are_equal(tmp_path):
    made = engine(
        tmp_path,
        changed(
            ("ways.tweeter", "chain.split"),
            ways__sub__plays=["20 LR24", "5000 LR24"],
            ways__midwoof__plays=["20 LR24", "5000 LR24"],
            ways__midwoof__from=["front.1", "front.2"],
        ),
    )
    assert value(made, "job.off_stage_share_db") == pytest.approx(0, abs=1e-9)


def test_a_hole_is_told_of_the_side_where_it_is_deeper(tmp_path):
    made = engine(tmp_path, changed())
    left, right = (value(made, f"midwoof/tweeter {side}.hole_db") for side in ("left", "right"))
    deeper, side = max((left, "left"), (right, "right"))
    for one in ("left", "right"):
        said = value(made, f"midwoof/tweeter {one}.hole_in_words")
        assert said.endswith(f"both together fall by up to {deeper:.1f} dB on the {side}")
