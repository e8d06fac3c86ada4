"""Feeding the system: currents, reserve, parked days, cable and fuse, each through a whole job file."""

from __future__ import annotations

import pytest

from advisor.facts.reading import Missing, NotDefined
from advisor.judging.rulebook import load_rulebook
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

FUSE = "WI-16, a fuse maker's note quoted by teacherscollegesj.org: a load of 7.5 A wants a fuse of 10 A"
ENGINE_SPACE = "WI-12, 33 CFR 183.425 Table 5 / ABYC E-11, jamestowndistributors.com, rounded two ways"
FUSE_PLACE = "WI-14, 33 CFR 183.455(b), self-law.org; sidewinder.com.au/page165aaa.html"
PEUKERT = "WI-25, Peukert in its 20 h form (from memory)"
CREST = "AM-14, derived from the crest factor"
DROP = "WI-10, ABYC E-11 quoted at marincofaq.wordpress.com"


def load_of_7_5_a() -> dict:
    """105 W without any loss at 14 V."""
    data = changed(chain__front__amplifier__efficiency=1.0, chain__low__amplifier__efficiency=1.0)
    data["chain"]["front"]["amplifier"]["banks"][0]["watts"] = {4: 30}
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {4: 45}
    return data


def test_the_fuse_for_a_load(tmp_path):
    made = engine(tmp_path, load_of_7_5_a())
    assert value(made, "job.full_current_a") == pytest.approx(7.5)
    assert printed("10", source=FUSE) == value(made, "supply.main_fuse_a")


def test_a_load_beyond_every_fuse_wants_two_cables(tmp_path):
    data = changed()
    data["chain"]["low"]["amplifier"]["banks"][0]["watts"] = {4: 5000}
    made = engine(tmp_path, data)
    for name in ("main_fuse_a", "smallest_cable_mm2"):
        with pytest.raises(NotDefined, match="two cables"):
            value(made, f"supply.{name}")


@pytest.mark.parametrize(
    ("gauge", "carries"),
    [
        (18, "17"), (16, "21"), (14, "30"), (12, "38"), (10, "51"), (8, "68"), (6, "102"), (4, "136"), (3, "153"),
        (2, "178"), (1, "208"), (0, "242"), (-1, "280"), (-2, "327"), (-3, "378"),
    ],
)  # fmt: skip
def test_the_largest_fuse_lies_under_what_the_cable_carries(tmp_path, gauge, carries):
    made = engine(tmp_path, changed(supply={"cable_awg": gauge, "run_m": 4}))
    ampacity = value(made, "supply.ampacity_a")
    assert printed(carries, source=ENGINE_SPACE, within=1) == ampacity
    assert 0.6 * ampacity < value(made, "supply.largest_fuse_a") <= ampacity or ampacity > 300


def test_what_no_table_holds_is_said(tmp_path):
    with pytest.raises(Missing, match=r"0\.82 to 108 mm²"):
        value(engine(tmp_path, changed(supply={"cable_mm2": 0.5, "run_m": 4})), "supply.largest_fuse_a")


@pytest.mark.parametrize("run_m", [0.5, 2, 4, 6, 9])
def test_the_smallest_cable_is_enough_and_the_next_thinner_is_not(tmp_path, run_m):
    smallest = value(engine(tmp_path, changed(supply={"cable_mm2": 25, "run_m": run_m})), "supply.smallest_cable_mm2")
    sections = (1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95)
    thinner = sections[sections.index(smallest) - 1]
    enough = {}
    for mm2 in (smallest, thinner):
        made = engine(tmp_path, changed(supply={"cable_mm2": mm2, "run_m": run_m}))
        room = value(made, "supply.ampacity_a") >= value(made, "supply.main_fuse_a")
        limit = float(printed("3", source=DROP).text)
        enough[mm2] = room and value(made, "supply.drop_percent") <= limit
    assert enough == {smallest: True, thinner: False}


def test_longer_runs_want_thicker_cable(tmp_path):
    sections = [
        value(engine(tmp_path, changed(supply={"cable_mm2": 25, "run_m": run})), "supply.smallest_cable_mm2")
        for run in (0.5, 2, 4, 6, 9, 14)
    ]
    assert sections == sorted(sections)
    assert len(set(sections)) > 3


def test_hours_by_peukert(tmp_path):
    made = engine(tmp_path, changed(vehicle__electrics__battery_ah=100, vehicle__electrics__standby_a=10))
    until_half = value(made, "supply.parked_days")
    assert printed("8.71", source=PEUKERT) == until_half * 24 / 0.5


def test_loud_music_is_an_eighth_of_the_rating(tmp_path):
    assert printed(".126", source=CREST) == value(engine(tmp_path, changed()), "job.programme_share")


def test_music_takes_what_idles_and_what_plays(tmp_path):
    made = engine(tmp_path, changed())
    share = value(made, "job.programme_share")
    low = 0.6 * 14 + share * (250 / 0.82 - 0.6 * 14)
    front = 0.8 * 14 + 2 / 4 * share * (300 / 0.82 - 0.8 * 14)  # two of four channels play
    assert value(made, "low.current_a") == pytest.approx(low / 14)
    assert value(made, "front.current_a") == pytest.approx(front / 14)
    assert value(made, "low.peak_current_a") == pytest.approx(250 / 0.82 / 14)
    assert value(made, "job.full_current_a") == pytest.approx(400 / 0.82 / 14)


def test_a_reserve_is_what_is_left(tmp_path):
    given = {"alternator_idle_a": 70, "own_draw_a": 20, "running_v": 14, "alternator_a": 150, "battery_ah": 80}
    made = engine(tmp_path, changed(vehicle__electrics=given))
    assert value(made, "supply.idle_reserve_a") == pytest.approx(50 - value(made, "job.programme_current_a"))
    processor = engine(tmp_path, changed(vehicle__electrics=given, chain__brain__processor__idle_a=2.0))
    assert value(processor, "supply.idle_reserve_a") == pytest.approx(value(made, "supply.idle_reserve_a") - 2)


def test_a_converter_gives_the_same_at_idle(tmp_path):
    made = engine(tmp_path, changed(vehicle__electrics={"running_v": 14, "converter_a": 120}))
    assert value(made, "supply.idle_source_a") == value(made, "supply.running_source_a") == 120
    found = review(tmp_path, changed(vehicle__electrics={"running_v": 14, "converter_a": 30})).of("falls short", "must")
    (told,) = [finding for finding in found if finding.rule.name == "converter-of-an-electric-vehicle-keeps-up"]
    assert "licensed" in " ".join(told.rule.cautions)


def test_what_the_label_lacks_is_named_at_once(tmp_path):
    data = changed(("chain.low.amplifier.idle_a", "chain.low.amplifier.class"))
    with pytest.raises(Missing, match=r"class and idle_a is not given .*; read it off the amplifier's label"):
        value(engine(tmp_path, data), "low.current_a")
    with pytest.raises(Missing, match="alternator_a or converter_a"):
        value(engine(tmp_path, changed(vehicle__electrics={"running_v": 14})), "supply.idle_reserve_a")


@pytest.mark.parametrize(("efficiency", "idle_a"), [(0.99, 3), (0.5, 60)])
def test_a_sheet_that_contradicts_itself_gives_no_current(tmp_path, efficiency, idle_a):
    data = changed(chain__low__amplifier__efficiency=efficiency, chain__low__amplifier__idle_a=idle_a)
    with pytest.raises(Missing, match="read both again"):
        value(engine(tmp_path, data), "low.current_a")
    assert not review(tmp_path, data).of("broken")


def test_a_bass_peak_takes_its_power_at_the_voltage_it_leaves(tmp_path):
    made = engine(tmp_path, changed())
    left_v = value(made, "supply.peak_v")
    load_w = value(made, "job.full_current_a") * value(made, "job.supply_v")
    copper, joints = value(made, "supply.loop_mohm") * 284.5 / 254.5, value(made, "supply.joints_mohm")
    lost_v = load_w / left_v * (copper + joints + 8) / 1000
    assert left_v + lost_v == pytest.approx(12.4, rel=1e-9)
    assert left_v * 2 > 12.4


def test_a_peak_that_no_cable_carries_collapses(tmp_path):
    thin = engine(tmp_path, changed(supply={"cable_mm2": 1, "run_m": 20}))
    assert value(thin, "supply.peak_v") == pytest.approx(6.2)


@pytest.mark.parametrize("cable", [{"cable_mm2": 0.2}, {"cable_mm2": 400}, {"cable_awg": 99}, {"cable_awg": -9}])
def test_a_cable_beyond_the_tables_is_no_broken_rule(tmp_path, cable):
    result = review(tmp_path, changed(supply={**cable, "run_m": 4, "fuse_a": 80, "fuse_from_battery_m": 0.3}))
    assert not result.of("broken")
    assert "supply-cable-drops-little" in {finding.rule.name for finding in result.of("cannot tell")}


def test_the_main_fuse_sits_where_marine_law_would_have_it_too():
    """Its limit lies between that for bare cable, 7 inches, and that for cable in a sheath, 40 inches."""
    limit = load_rulebook()["main-fuse-sits-near-the-battery"].limits["run"].value
    bare, sheathed = (float(printed(inches, source=FUSE_PLACE).text) * 0.0254 for inches in ("7", "40"))
    assert bare < limit < sheathed
    assert printed("18", source="common practice") == round(limit / 0.0254)
