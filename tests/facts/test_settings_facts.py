"""Trims, polarity and delays through whole job files: as given, else as they come out best; what shares a channel."""

from __future__ import annotations

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value

APART = {"ways__midwoof__from": ["front.3", "front.4"], "ways__tweeter__from": ["front.1", "front.2"]}
"""Tweeter and midwoof on channels of their own."""


def made(tmp_path, **places):
    return engine(tmp_path, changed(**places))


def apart(tmp_path, **places):
    return engine(tmp_path, changed(("chain.split",), **APART, **places))


def settings(job, name):
    return [value(job, f"{name}.{setting}") for setting in ("trim_to_set_db", "polarity_to_set", "delay_to_set_ms")]


def test_what_is_given_is_what_is_set(tmp_path):
    given = {
        "ways__midwoof__trim_db": {"left": -3, "right": -1.5},
        "ways__midwoof__polarity": "inverted",
        "ways__midwoof__delay_ms": {"left": 4.5, "right": 2.5},
    }
    job = apart(tmp_path, **given)
    assert settings(job, "midwoof left") == [-3, "inverted", 4.5]
    assert settings(job, "midwoof right") == [-1.5, "inverted", 2.5]


def test_trims_worked_out_make_all_ways_as_loud(tmp_path):
    job = apart(tmp_path)
    names = ("tweeter left", "tweeter right", "midwoof left", "midwoof right", "sub")
    heard = [value(job, f"{name}.full_level_db") + value(job, f"{name}.trim_to_set_db") for name in names]
    assert heard == pytest.approx([heard[0]] * len(heard))
    assert max(value(job, f"{name}.trim_to_set_db") for name in names) == pytest.approx(0)


def test_trims_left_open_follow_those_that_are_given(tmp_path):
    job = apart(tmp_path, ways__sub__trim_db=-12)
    assert value(job, "sub.stands_off_db") == pytest.approx(0)
    assert value(job, "midwoof left.stands_off_db") == pytest.approx(0)
    assert value(job, "sub/midwoof left.out_of_balance_db") == pytest.approx(0)


def test_twice_as_far_wants_six_decibels_more(tmp_path):
    sides = {"driver": 1.0, "passenger": 1}, {"driver": 2.0, "passenger": 1}
    places = dict(zip(("left", "right"), ({"distance_m": side} for side in sides), strict=True))
    job = apart(tmp_path, **{f"vehicle__locations__dash__{side}": reach for side, reach in places.items()})
    trims = [value(job, f"tweeter {side}.trim_to_set_db") for side in ("left", "right")]
    assert trims[1] - trims[0] == pytest.approx(6.02, abs=0.005)


def test_a_sub_in_a_cabin_loses_nothing_by_distance(tmp_path):
    assert value(made(tmp_path), "sub.distance_loss_db") == 0
    (tmp_path / "open").mkdir()
    long = made(tmp_path / "open", vehicle__cabin={"length_m": 9})
    assert value(long, "sub.distance_loss_db") == pytest.approx(7.6, abs=0.05)


def test_delays_worked_out_line_up_with_the_latest(tmp_path):
    job = apart(tmp_path)
    arrivals = [
        value(job, f"{name}.arrival_ms") + value(job, f"{name}.delay_to_set_ms")
        for name in ("tweeter left", "tweeter right", "midwoof left", "midwoof right", "sub")
    ]
    assert arrivals == pytest.approx([value(job, "sub.arrival_ms")] * 5)


def test_delays_left_open_follow_one_that_is_given(tmp_path):
    job = apart(tmp_path, ways__sub__delay_ms=3)
    assert value(job, "sub/midwoof left.left_over_ms") == pytest.approx(0, abs=1e-9)
    assert value(job, "midwoof left.delay_to_set_ms") == pytest.approx(3 + value(job, "midwoof left.delay_ms"))


def test_ways_behind_one_network_share_delay_and_trim(tmp_path):
    job = made(tmp_path)
    low, high = (settings(job, f"{name} left") for name in ("midwoof", "tweeter"))
    assert low[0] == high[0]
    assert low[2] == high[2] == pytest.approx(value(job, "midwoof left.delay_ms"))
    assert value(job, "midwoof/tweeter left.trim_gap_db") == pytest.approx(0.766, abs=0.01)
    gap = value(job, "tweeter left.arrival_ms") - value(job, "midwoof left.arrival_ms")
    assert value(job, "midwoof/tweeter left.left_over_ms") == pytest.approx(gap)


def test_a_given_setting_is_that_of_the_whole_channel(tmp_path):
    job = made(tmp_path, ways__tweeter__delay_ms=1.5, ways__tweeter__trim_db=-2)
    assert settings(job, "midwoof left")[::2] == [-2, 1.5]
    assert (
        value(job, "tweeter left.settings_trouble")
        == "it gets one signal with midwoof left, so the level is set for both"
    )


def test_polarity_worked_out_is_alike_on_both_sides(tmp_path):
    # the far tweeter by itself would add better the other way round
    far = {"driver": 1.55, "passenger": 0.82}
    job = made(tmp_path, vehicle__locations__door__right__distance_m=far)
    left, right = (value(job, f"midwoof/tweeter {side}.polarity_costs_db") for side in ("left", "right"))
    assert value(job, "tweeter left.polarity_to_set") == value(job, "tweeter right.polarity_to_set")
    assert left + right <= 0 < max(left, right)


def test_polarity_follows_the_way_below(tmp_path):
    job = made(tmp_path, ways__sub__polarity="inverted")
    plain = {name: value(job, f"{name} left.polarity_to_set") for name in ("midwoof", "tweeter")}
    (tmp_path / "as").mkdir()
    other = made(tmp_path / "as")
    for name, polarity in plain.items():
        assert value(other, f"{name} left.polarity_to_set") != polarity
    assert value(job, "sub/midwoof left.polarity_costs_db") < 0


@pytest.mark.parametrize("setting", ["trim_to_set_db", "delay_to_set_ms"])
def test_without_a_processor_there_is_nothing_to_set(tmp_path, setting):
    job = made(tmp_path, chain__low__from="screen")
    with pytest.raises(NotDefined, match="no processor feeds its channel"):
        value(job, f"sub.{setting}")
    assert value(job, "sub.polarity_to_set") == "normal"


def test_a_level_nobody_knows_is_asked_for_only_where_it_is_needed(tmp_path):
    job = engine(tmp_path, changed(("ways.midwoof.driver.fs_hz",)))
    with pytest.raises(Missing, match="sensitivity_db"):
        value(job, "midwoof left.trim_to_set_db")
    known = value(job, "job.balance_db") - value(job, "sub.full_level_db")
    assert value(job, "sub.trim_to_set_db") == pytest.approx(known)


def test_a_trim_is_seen_by_the_stage(tmp_path):
    shares = []
    for number, trim in enumerate((-20, -14)):
        folder = tmp_path / str(number)
        folder.mkdir()
        given = {"ways__sub__trim_db": trim, "ways__midwoof__trim_db": 0, "ways__tweeter__trim_db": 0}
        shares.append(value(made(folder, **given), "job.off_stage_share_db"))
    assert shares[1] - shares[0] == pytest.approx(6)
