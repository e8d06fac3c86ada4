"""Charts: drawn for every example from what is known, left out where nothing is, and true to the facts."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.reading.reader import read_job
from advisor.telling.pictures.canvas import Picture
from advisor.telling.pictures.excursion import excursion
from advisor.telling.pictures.impedance import impedance
from advisor.telling.pictures.loudness import loudness
from advisor.telling.pictures.network_response import network_response

ROOT = Path(__file__).parent.parent
JOBS = sorted(path.stem for path in (ROOT / "examples" / "jobs").glob("*.yaml"))
SVG = "{http://www.w3.org/2000/svg}"
CHARTS = {"loudness": loudness, "impedance": impedance, "network": network_response, "excursion": excursion}
EACH = pytest.mark.parametrize("name", CHARTS)


@functools.cache
def engine(job: str) -> Engine:
    return Engine(build_chain(read_job(ROOT / "examples" / "jobs" / f"{job}.yaml")))


@functools.cache
def drawn(job: str, name: str) -> Picture | None:
    return CHARTS[name](engine(job))


def some(job: str, name: str) -> Picture:
    picture = drawn(job, name)
    assert picture is not None
    return picture


def value(job: str, kind: str, subject: str, fact: str) -> float:
    found = next(one for one in engine(job).chain.of_kind(kind) if one.name == subject)
    return float(engine(job).ask(found, fact).value)


def curve(job: str, kind: str, subject: str, fact: str) -> Callable[[object], object]:
    found = next(one for one in engine(job).chain.of_kind(kind) if one.name == subject)
    return engine(job).ask(found, fact).value  # type: ignore[no-any-return]


@pytest.mark.parametrize("job", JOBS)
class TestEveryExample:
    def test_charts_are_the_same_each_time(self, job):
        again = Engine(build_chain(read_job(ROOT / "examples" / "jobs" / f"{job}.yaml")))
        for name, chart in CHARTS.items():
            assert chart(again) == drawn(job, name)

    def test_charts_are_xml_with_words_and_no_number_that_is_none(self, job):
        for name in CHARTS:
            if picture := drawn(job, name):
                root = ElementTree.fromstring(picture.svg)
                assert root.attrib["aria-label"] == picture.alt
                assert picture.name == name
                assert picture.alt.endswith(".")
                assert picture.caption.endswith(".")
                for path in root.iter(f"{SVG}path"):
                    assert "nan" not in path.attrib.get("d", "")

    def test_no_two_charts_share_an_id(self, job):
        found = [
            node.attrib["id"]
            for name in CHARTS
            if (picture := drawn(job, name))
            for node in ElementTree.fromstring(picture.svg).iter()
            if "id" in node.attrib
        ]
        assert len(found) == len(set(found))

    def test_legend_and_words_tell_of_the_same_ways(self, job):
        for name in CHARTS:
            if picture := drawn(job, name):
                texts = " ".join(
                    "".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")
                )
                ways = [way for way in engine(job).chain.system.ways if way in picture.alt]
                assert ways
                assert [way for way in ways if way not in texts] == []

    def test_curves_stay_on_the_sheet(self, job):
        for name in CHARTS:
            if picture := drawn(job, name):
                root = ElementTree.fromstring(picture.svg)
                _, _, width, height = map(float, root.attrib["viewBox"].split())
                for path in root.iter(f"{SVG}path"):
                    numbers = [float(word) for word in path.attrib.get("d", "").split() if word[-1].isdigit()]
                    assert all(-0.5 <= x <= width + 0.5 for x in numbers[0::2])
                    assert all(-0.5 <= y <= height + 0.5 for y in numbers[1::2])


@EACH
def test_nothing_is_drawn_where_sheets_say_too_little(name):
    assert drawn("quick", name) is None


def test_no_network_no_chart_of_it():
    assert drawn("all-active", "network") is None


def test_every_way_stands_in_the_charts_of_a_complete_job():
    for way in engine("sound").chain.system.ways:
        assert way in some("sound", "impedance").alt
        assert way in some("sound", "excursion").alt


def test_what_only_plays_along_from_behind_does_not_have_to_be_loud():
    assert "ambience" not in some("sound", "loudness").alt


def test_loudness_tells_the_level_that_facts_have_at_the_low_edge():
    level = value("sound", "driver", "midwoof left", "excursion_limited_db")
    assert f"midwoof at least {level:.1f} dB, where travel ends it at 75 Hz" in some("sound", "loudness").alt


def test_travel_limited_pressure_is_the_level_of_facts():
    low = value("sound", "driver", "midwoof left", "low_edge_hz")
    pressure = float(curve("sound", "driver", "midwoof left", "travel_limited_pa")(low)[0])  # type: ignore[index]
    level = value("sound", "driver", "midwoof left", "excursion_limited_db")
    assert 20 * math.log10(pressure / 20e-6) == pytest.approx(level, abs=0.05)


def test_impedance_falls_as_low_as_facts_say():
    job = engine("sound")
    network = next(iter(job.chain.of_kind("network")))
    lowest = float(job.ask(network, "lowest_load_ohm").value)
    assert f"tweeter and mid on front.1 and front.2 {lowest:.3g} Ω" in some("sound", "impedance").alt


def test_a_channel_that_sees_too_little_is_named():
    assert "Too low: sub on low.1+2" in some("faults", "impedance").caption
    assert "None falls below" in some("sound", "impedance").caption


def test_a_cone_beyond_its_travel_is_named():
    assert "beyond its travel goes mid" in some("faults", "excursion").caption
    assert "none goes beyond its travel" in some("sound", "excursion").caption


def test_travel_at_the_low_edge_is_that_of_the_power_it_gets():
    low, power = (value("sound", "driver", "midwoof left", name) for name in ("low_edge_hz", "drive_w"))
    moved = curve("sound", "driver", "midwoof left", "motion")(low)
    part = next(one for one in engine("sound").chain.of_kind("driver") if one.name == "midwoof left").specs["part"]
    millimetres = 1000 * moved.peak_excursion_m[0] * math.sqrt(power * part.impedance_ohm)  # type: ignore[attr-defined]
    behind_lr24 = 0.5  # -6 dB at its edge
    share = float(curve("sound", "driver", "midwoof left", "travel_share")(low)[0])  # type: ignore[index]
    assert share == pytest.approx(behind_lr24 * millimetres / part.xmax_mm, rel=1e-3)  # type: ignore[attr-defined]


def test_the_network_is_compared_where_it_is_heard():
    alt = some("sound", "network").alt
    assert "tweeter is farthest from its filter at" in alt
    assert "mid is farthest from its filter at" in alt
    assert "midwoof" not in alt
