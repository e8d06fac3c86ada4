"""What is wrong with a job is told all at once, each at its place, with a way out."""

from __future__ import annotations

import pytest

from advisor.chain.build import build_chain
from advisor.errors import Fault, NameUnknown, did_you_mean


def test_the_small_job_is_in_order(desk):
    system = desk.read()
    assert [*system.devices] == ["screen", "brain", "front"]
    assert build_chain(system).of_kind("driver")[1].name == "mid right"


def test_all_faults_are_told_at_once_across_files(desk):
    desk.change("fs_hz: 110", "fs_hz: low", "library/parts/all.yaml")
    desk.change("hole_mm: 90", "hole: 90", "library/vehicles/van.yaml")
    desk.write(
        "job.yaml",
        """\
advisor: 1
job: Short
library: [library]
vehicle: van
costumer: {}
chain:
  screen: {source: SCX}
  front: {amplifier: AMP, processor: DSP}
ways:
  mid: {driver: MID, plays: [300 LR25, open], coils: paralel}
  sub: {driver: MIDD, plays: [9000, 300]}
""",
    )
    told = {(f.file, f.line, f.column): f.what for f in desk.faults()}
    assert told == {
        ("job.yaml", 5, 1): "unknown key 'costumer'",
        ("job.yaml", 7, 20): "no part 'SCX' in the library",
        ("job.yaml", 8, 3): "a device is exactly one of source, interface, processor, amplifier, network",
        ("job.yaml", 10, 30): "'300 LR25' has a slope no filter has; slopes go 6, 12, 18 … 48 dB/octave",
        ("job.yaml", 10, 54): "'paralel' is not one of 'series' or 'parallel'",
        ("job.yaml", 11, 17): "no part 'MIDD' in the library",
        ("job.yaml", 11, 30): "the low edge 9000 Hz is not below the high edge 300 Hz",
        ("library/parts/all.yaml", 6, 43): "'low' is not a number",
        ("library/vehicles/van.yaml", 4, 35): "unknown key 'hole'",
    }


def test_faults_come_in_the_order_of_the_file(desk):
    desk.write("job.yaml", "job: x\nzz: 1\nways: {a: {driver: {size_mm: -1}}, b: {}}\naa: 1\n")
    places = [(fault.line, fault.column) for fault in desk.faults()]
    assert places == sorted(places)
    assert len(places) == 4


@pytest.mark.parametrize(
    ("old", "new", "hint"),
    [
        ("driver: MID", "drivers: MID", "driver"),
        ("driver: MID", "driver: MIDD", "MID"),
        ("at: door", "at: dor", "door"),
        ("[damp-door]", "[damp-dor]", "damp-door"),
        ("vehicle: van", "vehicle: vann", "van"),
        ("over: line", "over: lime", "line"),
        ("amplifier: AMP", "amplifer: AMP", "amplifier"),
        ("at: shelf", "at: self", "shelf"),
        ("driver: MID", "driver: {fs: 100}", "fs_hz"),
        ("driver: MID", "driver: {vas: 3}", "vas_l"),
        ("job: Short", "job: Short\ncustomer: {seats: [drive]}", "driver"),
        ("driver: MID", "driver: mid", "MID"),
    ],
)
def test_a_word_nearly_right_gets_the_right_one(desk, old, new, hint):
    desk.change(old, new)
    assert f"did you mean '{hint}'?" in [fault.way_out for fault in desk.faults()]


@pytest.mark.parametrize(("port", "hint"), [("brian.1", "brain"), ("fron.1", "front")])
def test_a_device_nearly_right_gets_the_right_one(desk, port, hint):
    desk.change("[front.1, front.2]", port)
    fault = desk.fault(lambda: build_chain(desk.read()))
    assert fault.way_out == f"did you mean '{hint}'?"


def test_a_word_far_from_all_gets_the_list(desk):
    desk.change("driver: MID", "driver: MID, qqq: 1")
    assert desk.fault().way_out.startswith("known here: driver, at, from, plays")


@pytest.mark.parametrize(
    ("written", "what", "way_out"),
    [
        ("25 mm", "'25 mm' is not a number", "write the number alone; its unit is in the key"),
        ("'25'", "'25' is not a number", "write the number alone; its unit is in the key"),
        ("wide", "'wide' is not a number", ""),
        ("true", "'true' is not a number", ""),
        ("0", "'0' must be greater than 0", ""),
        ("-3", "'-3' must be greater than 0", ""),
        ("1e10", "'10000000000.0' must be less than equal 1e+09", ""),
        ("[1]", "a list is not a number", ""),
        ("{a: 1}", "a mapping is not a number", ""),
    ],
)
def test_a_number_that_is_none_is_told_so(desk, written, what, way_out):
    desk.change("driver: MID", f"driver: {{size_mm: {written}}}")
    fault = desk.fault()
    assert (fault.what, fault.way_out, fault.where) == (what, way_out, "ways.mid.driver.size_mm")
    assert (fault.line, fault.column) == (10, 27)


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        ("300 LR18", "Linkwitz-Riley slope is 12, 24, 36 or 48"),
        ("300 XX24", "has no known filter"),
        ("fast", "is not an edge"),
        ("50000", "lies outside 1 Hz to 40 kHz"),
        ("0 LR24", "lies outside"),
        ("1.2.3 LR24", "does not begin with a frequency"),
        ("true", "is not an edge"),
        ("300 LR99999", "is not an edge"),
        ("~", "is not an edge"),
        ("[300]", "is not an edge"),
        ("300 LR0", "has a slope no filter has"),
    ],
)
def test_an_edge_that_is_none_is_told_so(desk, edge, words):
    desk.change("300 LR24", edge)
    fault = desk.fault()
    assert words in fault.what
    assert (fault.line, fault.column, fault.where) == (10, 66, "ways.mid.plays.1")


@pytest.mark.parametrize(
    "feed", ["[]", "7", "front.", "front.1+2+3", "front.low.high", "[front.1, {}]", "front." + "9" * 5000]
)
def test_a_feed_that_is_none_is_told_so(desk, feed):
    desk.change("from: [front.1, front.2]", f"from: {feed}")
    fault = desk.fault()
    assert (fault.line, fault.where) == (10, "ways.mid.from")
    assert len(str(fault)) < 600


@pytest.mark.parametrize("day", ["2027", "0", "1e3", "20270301", "01.03.2027", "true", "2027-3-1", "2027-02-30", "[]"])
def test_a_day_is_written_in_one_way(desk, day):
    desk.change("job: Short", f"job: Short\nwaive: [{{rule: r, at: mid, reason: seen, until: {day}, by: me}}]")
    fault = desk.fault()
    assert (fault.line, fault.where) == (3, "waive.1.until")
    assert "is not a day" in fault.what or "is not in the calendar" in fault.what


@pytest.mark.parametrize("key", ['"[x]"', '"[key]"', "'a b'", '"a\\nb"', "<<", "7", "1.5"])
def test_an_odd_key_is_refused_where_it_stands(desk, key):
    desk.change("job: Short", f"job: Short\n{key}: 1")
    fault = desk.fault()
    assert (fault.line, fault.column) == (3, 1)


@pytest.mark.parametrize("name", ["mid left", "sub right", "-mid", "mid-", "a.b", "'a\\b'", "x" * 41, '"mid\\n"', "''"])
def test_a_name_that_others_need_is_refused(desk, name):
    desk.change("mid: {", f"{name}: {{")
    fault = desk.fault()
    assert (fault.line, fault.column) == (10, 3)
    assert "cannot be a name" in fault.what


@pytest.mark.parametrize("name", ["mid", "left mid", "Mitteltöner", "mid 2", "mid-2", "mid_2", "leftmost"])
def test_a_name_that_harms_nobody_is_kept(desk, name):
    desk.change("mid: {", f"{name}: {{")
    assert [*desk.read().ways] == [name]


@pytest.mark.parametrize(
    ("old", "new", "line", "column"),
    [
        ("job: Short\n", "", 1, 1),
        ("driver: MID, ", "", 10, 3),
        ("ways:\n", "ways: {}\nextras:\n", 9, 7),
        ("library: [library]", "library: library", 3, 10),
        ("source: SCR", "source: 7", 6, 20),
        ("screen: {source: SCR}", "screen: SCR", 6, 11),
        ("screen: {source: SCR}", "screen: {}", 6, 3),
        ("job: Short", "job: 7", 2, 6),
        ("advisor: 1", "advisor: 2", 1, 10),
    ],
)
def test_what_is_missing_or_of_another_sort_is_told_where_it_belongs(desk, old, new, line, column):
    desk.change(old, new)
    assert (line, column) in [(fault.line, fault.column) for fault in desk.faults()]


def test_a_seat_listed_twice_is_refused(desk):
    desk.change("job: Short", "job: Short\ncustomer: {seats: [driver, driver]}")
    fault = desk.fault()
    assert (fault.line, fault.column, fault.what) == (3, 28, "the seat 'driver' is listed twice")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("library", "[nowhere]"),
        ("library", '["\\0"]'),
        ("library", f"[{'x' * 5000}]"),
        ("shop", "nowhere.yaml"),
        ("shop", "."),
        ("shop", "x" * 5000),
    ],
)
def test_a_file_that_is_not_there_is_told_where_it_was_asked_for(desk, key, value):
    desk.change("library: [library]", f"library: [library]\n{key}: {value}" if key == "shop" else f"{key}: {value}")
    fault = desk.fault()
    assert fault.where.startswith(key)
    assert "there is no" in fault.what
    assert len(str(fault)) < 400


def test_a_vehicle_at_fault_does_not_make_every_place_one(desk):
    desk.change("hole_mm: 90", "hole_mm: -90", "library/vehicles/van.yaml")
    fault = desk.fault()
    assert (fault.file, fault.where) == ("library/vehicles/van.yaml", "locations.door.hole_mm")


def test_places_written_out_are_told_apart(desk):
    desk.change("at: shelf", "at: {hole_mm: 10}")
    desk.change("at: door", "at: {hole_mm: 20}")
    system = desk.read()
    names = [system.devices["front"].at.name, system.ways["mid"].at.name]
    assert names == ["place of front", "place of mid"]


def test_a_fault_with_much_to_say_is_cut():
    text = str(Fault("f.yaml", 1, 1, "w" * 999, "x" * 9999, "", "y" * 9999))
    assert len(text) < 900


def test_faults_sort_and_repeat_once():
    assert did_you_mean("", ["a"]) == did_you_mean(["x"], []) == ""
    assert str(NameUnknown("rule", "way-fit", ["way-fits"])) == "there is no rule 'way-fit'; did you mean 'way-fits'?"
