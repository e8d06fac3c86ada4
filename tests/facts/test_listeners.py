"""Each listed seat through whole job files: sides, cancellations, handovers, height, spread."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.special

from advisor.facts.listeners import falls_db
from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value
from tests.printed import printed

SPEED = "SS-03, 2.9138 ms/m at 20 °C, derived"
BOTH = {"customer__seats": ["driver", "passenger"], "air_c": 20}


def made(tmp_path, **places):
    return engine(tmp_path, changed(**{**BOTH, **places}))


def test_the_first_seat_hears_both_sides_together(tmp_path):
    job = made(tmp_path)
    assert value(job, "seat driver.side_sooner_ms") == pytest.approx(0, abs=1e-9)
    # the channel's trim is that of tweeter and midwoof on average, whose ways to the ear are not quite alike
    assert value(job, "seat driver.side_louder_db") == pytest.approx(0, abs=0.1)
    assert value(job, "seat driver.softer_db") == 0
    with pytest.raises(NotDefined, match="arrive together"):
        value(job, "seat driver.sides_cancel_hz")


def test_what_is_set_for_one_seat_doubles_at_the_other(tmp_path):
    job = made(tmp_path)
    assert value(job, "seat passenger.path_difference_m") == pytest.approx(0.68)
    assert printed("2.9138", source=SPEED) == value(job, "seat passenger.undelayed_sooner_ms") / 0.68
    assert printed("2.9138", source=SPEED) == value(job, "seat passenger.side_sooner_ms") / (2 * 0.68)
    assert value(job, "seat passenger.pulled_to") == "right"
    louder = 40 * math.log10(1.48 / 0.80), 40 * math.log10(1.50 / 0.82)
    assert min(louder) - 0.01 <= value(job, "seat passenger.side_louder_db") <= max(louder) + 0.01


def test_sides_cancel_half_a_period_apart(tmp_path):
    job = made(tmp_path)
    sooner_s = value(job, "seat passenger.side_sooner_ms") / 1000
    assert value(job, "seat passenger.sides_cancel_hz") * sooner_s == pytest.approx(0.5)
    assert 3 < value(job, "seat passenger.sides_cancel_db") < 4


def test_without_delays_both_seats_are_pulled_alike(tmp_path):
    job = made(tmp_path, ways__midwoof__delay_ms=2, ways__tweeter__delay_ms=2)
    sooner = [value(job, f"seat {name}.side_sooner_ms") for name in ("driver", "passenger")]
    assert sooner == pytest.approx([1000 * 0.68 / 343.2] * 2, rel=1e-3)
    assert [value(job, f"seat {name}.pulled_to") for name in ("driver", "passenger")] == ["left", "right"]


def test_without_a_processor_the_nearer_side_leads_and_is_louder(tmp_path):
    job = made(tmp_path, chain__front__from=["screen"] * 4)
    assert value(job, "seat driver.side_sooner_ms") == pytest.approx(1000 * 0.68 / 343.2, rel=1e-3)
    assert value(job, "seat driver.side_louder_db") == pytest.approx(20 * math.log10(1.48 / 0.80), abs=0.2)


def test_a_seat_that_was_not_taped_is_asked_for(tmp_path):
    job = made(tmp_path, customer__seats=["driver", {"name": "berth"}])
    with pytest.raises(Missing, match="distance_m to berth"):
        value(job, "seat berth.side_sooner_ms")


def test_a_seat_at_the_same_distances_hears_the_same_handovers(tmp_path):
    twin = {}
    for place, sides in (("dash", (0.8, 1.48)), ("door", (0.82, 1.5))):
        for side, metres in zip(("left", "right"), sides, strict=True):
            twin[f"vehicle__locations__{place}__{side}__distance_m"] = {"driver": metres, "passenger": metres}
    job = made(tmp_path, vehicle__locations__arch__distance_m={"driver": 2.4, "passenger": 2.4}, **twin)
    assert value(job, "seat passenger.hole_deeper_db") == pytest.approx(0, abs=1e-6)
    assert value(job, "seat passenger.side_sooner_ms") == pytest.approx(0, abs=1e-9)
    assert value(job, "seat passenger.softer_db") == pytest.approx(0, abs=1e-9)


def test_a_way_that_serves_both_sides_meets_the_mean_of_them(tmp_path):
    """With both sides alike it is the handover of one side."""
    same = {"driver": 1.0, "passenger": 1.6}
    places = {
        f"vehicle__locations__{place}__{side}": {"distance_m": same}
        for place in ("dash", "door")
        for side in ("left", "right")
    }
    job = made(tmp_path, vehicle__locations__arch__distance_m={"driver": 2.4, "passenger": 2.4}, **places)
    assert value(job, "seat driver.hole_db") == pytest.approx(value(job, "sub/midwoof left.hole_db"), abs=1e-9)
    assert value(job, "seat passenger.hole_between") == "sub/midwoof"
    assert value(job, "seat passenger.hole_hz") == pytest.approx(75)


TAPED = {
    "sub": {"driver": (2.4, 0), "passenger": (2.5, 0)},
    "midwoof left": {"driver": (0.82, 45), "passenger": (1.5, 28)},
    "midwoof right": {"driver": (1.5, 28), "passenger": (0.82, 45)},
}
"""Metres and degrees of the base job."""


def heard(job, driver, seat, hz):
    """One driver at a seat, by hand; bass has one level throughout the cabin, and all is set for the first seat."""
    (first_m, _), (metres, degrees) = TAPED[driver]["driver"], TAPED[driver][seat]
    level_db = value(job, f"{driver}.stands_off_db") + (0 if driver == "sub" else 20 * math.log10(first_m / metres))
    x = 2 * math.pi * hz / 343.2 * value(job, f"{driver}.cone_radius_mm") / 1000 * math.sin(math.radians(degrees))
    aside = 2 * scipy.special.j1(x) / x if degrees else 1
    late_s = metres / 343.2 + value(job, f"{driver}.delay_to_set_ms") / 1000
    turn = np.exp(-2j * math.pi * hz * late_s)
    return level_db, 10 ** (level_db / 20) * aside * turn * value(job, f"{driver}.on_axis")(hz)


@pytest.mark.parametrize(
    ("seat", "delays"), [("driver", {}), ("passenger", {}), ("passenger", {"sub": 0, "midwoof": 7})]
)
def test_a_handover_at_a_seat_is_the_sum_of_all_that_arrives_there(tmp_path, seat, delays):
    job = made(tmp_path, **{f"ways__{way}__delay_ms": late for way, late in delays.items()})
    hz = 75 * 2 ** np.linspace(-0.5, 0.5, 97)
    sub_db, sub = heard(job, "sub", seat, hz)
    levels, sums = [], []
    for side in ("left", "right"):
        level_db, midwoof = heard(job, f"midwoof {side}", seat, hz)
        sums.append(sub + midwoof if value(job, f"sub/midwoof {side}.polarity") == "same" else sub - midwoof)
        levels.append(level_db)
    fallen = (sub_db + sum(levels) / 2) / 2 - 20 * math.log10(abs(sum(sums) / 2).min())
    assert value(job, f"seat {seat}.hole_db") == pytest.approx(max(0, fallen), rel=1e-9)


def test_a_seat_that_was_not_taped_leaves_the_others_as_they_are(tmp_path):
    both = made(tmp_path)
    (tmp_path / "three").mkdir()
    seats = ["driver", "passenger", {"name": "berth"}]
    three = made(tmp_path / "three", customer__seats=seats)
    known = value(both, "sub/midwoof left.falls_at_seats_db")
    assert value(three, "sub/midwoof left.falls_at_seats_db") == pytest.approx(known, rel=1e-12)
    crossing = three.view(three.find("sub/midwoof left.hole_db")[0])
    with pytest.raises(Missing, match="distance_m to berth"):
        falls_db(crossing, ["berth"])
    with pytest.raises(Missing, match="distance_m to berth"):
        value(three, "seat berth.hole_db")


@pytest.mark.parametrize(("height_m", "degrees"), [(1.25, 0), (0.85, -30), (1.65, 30)])
def test_height_of_the_stage(tmp_path, height_m, degrees):
    job = made(tmp_path, vehicle__locations__dash__height_m=height_m)
    assert value(job, "tweeter left.elevation_deg") == pytest.approx(degrees, abs=1e-9)
    assert value(job, "tweeter left.below_ear_deg") == pytest.approx(max(0, -degrees), abs=1e-9)
    assert value(job, "job.stage_height_deg") <= degrees + 1e-9


def test_a_height_that_does_not_go_with_its_distance_is_doubted(tmp_path):
    job = made(tmp_path, vehicle__locations__dash__height_m=0.1)
    with pytest.raises(Missing, match="a height that goes with its distance"):
        value(job, "tweeter left.elevation_deg")


def test_the_lower_seen_side_speaks_for_both(tmp_path):
    job = made(tmp_path)
    assert [value(job, f"tweeter {side}.is_seen_lower") for side in ("left", "right")] == [True, False]
    assert value(job, "sub.is_seen_lower")


def test_a_lower_handover_makes_the_step_in_spread_smaller(tmp_path):
    steps = []
    for edge in (1500, 2400, 3500):
        folder = tmp_path / str(edge)
        folder.mkdir()
        plays = {"ways__midwoof__plays": ["75 LR24", f"{edge} LR12"], "ways__tweeter__plays": [f"{edge} LR12", "open"]}
        steps.append(value(made(folder, **plays), "midwoof/tweeter left.directivity_step_db"))
    assert steps == sorted(steps)
    assert steps[0] < 3.5


def test_a_passive_pair_is_told_on_its_worse_side(tmp_path):
    job = made(tmp_path, vehicle__locations__door__right__distance_m={"driver": 1.6, "passenger": 0.82})
    worse = [value(job, f"midwoof/tweeter {side}.is_the_worse_side") for side in ("left", "right")]
    assert worse == [False, True]
    gap_ms = value(job, "midwoof/tweeter right.arrival_gap_ms")
    assert value(job, "midwoof/tweeter right.adds_up_to_hz") == pytest.approx(250 / gap_ms)
    assert value(job, "midwoof/tweeter left.other_gap_ms") == pytest.approx(gap_ms)
