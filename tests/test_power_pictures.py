from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.facts.given import given_key
from advisor.facts.heat import WARMING_MIN
from advisor.facts.reading import Missing, NotDefined
from advisor.judging.formats import with_unit
from advisor.reading.reader import read_job
from advisor.telling.pictures.amplifier_heat import amplifier_heat
from advisor.telling.pictures.bands import bands
from advisor.telling.pictures.canvas import Picture
from advisor.telling.pictures.chain_picture import chain_picture
from advisor.telling.pictures.gain_structure import gain_structure
from advisor.telling.pictures.supply_budget import supply_budget

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "examples" / "jobs").glob("*.yaml"))
FED = [job for job in JOBS if job.stem != "quick"]
SVG = "{http://www.w3.org/2000/svg}"
DRAWN = (supply_budget, amplifier_heat, gain_structure)
NUMBER = re.compile(r"(?<![\w.+])[0-9]+(?:\.[0-9]+)? ?\S*")


def engine_of(job: Path) -> Engine:
    return Engine(build_chain(read_job(job)))


def named(stem: str) -> Engine:
    return engine_of(ROOT / "examples" / "jobs" / f"{stem}.yaml")


def pictures(engine: Engine) -> list[Picture]:
    return [picture for picture in (draw(engine) for draw in DRAWN) if picture is not None]


def drawn(picture: Picture | None) -> Picture:
    assert picture is not None
    return picture


def texts(picture: Picture) -> list[str]:
    return ["".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]


def ids(picture: Picture) -> list[str]:
    return [node.attrib["id"] for node in ElementTree.fromstring(picture.svg).iter() if "id" in node.attrib]


def figures(engine: Engine) -> Iterator[str]:
    """Every fact and given value of the electrical side, as written."""
    for subject in engine.chain.subjects:
        for kind, name in engine.facts:
            if kind == subject.kind in ("job", "supply", "amplifier", "channel", "driver"):
                try:
                    reading = engine.ask(subject, name)
                except (Missing, NotDefined):
                    continue
                for below in reading.walk():
                    value = below.value
                    if isinstance(value, int | float):
                        yield with_unit(abs(value), below.unit)
                    if isinstance(value, int | float) and value < 0:
                        yield with_unit(value, below.unit)
                if name == "noise_v":
                    yield with_unit(reading.value * 1e6, "µV")
                if name == "clip_order":  # words, with how much later each clips
                    yield from NUMBER.findall(reading.value)


@pytest.mark.parametrize("job", FED, ids=lambda job: job.stem)
class TestEveryExample:
    def test_all_three_are_drawn_and_the_same_every_time(self, job: Path) -> None:
        first, again = pictures(engine_of(job)), pictures(engine_of(job))
        assert [picture.name for picture in first] == ["supply", "heat", "gain"]
        assert first == again

    def test_stands_inside_a_page(self, job: Path) -> None:
        for picture in pictures(engine_of(job)):
            root = ElementTree.fromstring(picture.svg)
            assert root.tag == f"{SVG}svg"
            assert root.attrib["role"] == "img"
            assert root.attrib["aria-label"] == root[0].text == picture.alt
            assert not list(root.iter(f"{SVG}style"))

    def test_no_id_stands_twice_in_a_report(self, job: Path) -> None:
        engine = engine_of(job)
        every = [name for p in (chain_picture(engine.chain), bands(engine), *pictures(engine)) for name in ids(p)]
        assert len(every) == len(set(every))

    def test_words_are_sentences_of_facts(self, job: Path) -> None:
        engine = engine_of(job)
        known = set(figures(engine)) | {
            with_unit(link.specs["take"].max_v, "V")  # type: ignore[attr-defined]
            for link in engine.chain.of_kind("link")
            if "take" in link.specs
        }
        known |= {with_unit(a.specs["part"].cut_out_c, "°C") for a in engine.chain.of_kind("amplifier")}  # type: ignore[attr-defined]
        known |= {with_unit(s.specs["spec"].fuse_a, "A") for s in engine.chain.of_kind("supply")}  # type: ignore[attr-defined]
        for picture in pictures(engine):
            assert picture.alt.endswith(".") and picture.caption.endswith(".")
            numbers = [number.rstrip(".,;:)") for number in NUMBER.findall(picture.alt)]
            assert numbers
            assert set(numbers) <= known
            assert not NUMBER.search(picture.caption)

    def test_text_stays_inside_the_sheet(self, job: Path) -> None:
        for picture in pictures(engine_of(job)):
            root = ElementTree.fromstring(picture.svg)
            width, height = (float(side) for side in root.attrib["viewBox"].split()[2:])
            for text in root.iter(f"{SVG}text"):
                where = re.search(r"translate\(([-0-9.]+) ([-0-9.]+)\)", text.attrib.get("transform", ""))
                x, y = (
                    (float(text.attrib["x"]), float(text.attrib["y"])) if where is None else map(float, where.groups())
                )
                assert 0 <= x <= width and 0 <= y <= height


def test_where_nothing_is_known_nothing_is_drawn() -> None:
    assert pictures(named("quick")) == []


def test_without_the_heat_a_case_stores_there_is_no_curve() -> None:
    engine = named("sound")
    given: dict[tuple[str, ...], None] = {}
    for amplifier in engine.chain.of_kind("amplifier"):
        given[given_key(amplifier.specs["part"], amplifier, "part", "heat_j_per_k")] = None
    without = Engine(engine.chain, given)
    assert amplifier_heat(without) is None
    assert supply_budget(without) is not None


def test_without_an_alternator_the_cable_is_still_held_against_its_fuse() -> None:
    engine = named("sound")
    job = engine.chain.of_kind("job")[0]
    given = dict.fromkeys(
        given_key(job.specs["electrics"], job, "electrics", name) for name in ("alternator_a", "alternator_idle_a")
    )
    picture = drawn(supply_budget(Engine(engine.chain, given)))
    assert "alternator" not in picture.alt
    assert "Supply cable: amplifiers at rated power 64.5 A" in picture.alt


def test_a_fuse_above_what_the_cable_carries_is_hatched_and_said() -> None:
    faulty, sound = drawn(supply_budget(named("faults"))), drawn(supply_budget(named("sound")))
    assert "fuse as planned 150 A (more than the cable carries)" in faulty.alt
    assert "beyond what there is" in texts(faulty)
    assert "more than" not in sound.alt
    assert "beyond what there is" not in texts(sound)


def test_branches_are_held_against_what_they_carry() -> None:
    faulty, sound = drawn(supply_budget(named("faults"))), drawn(supply_budget(named("sound")))
    assert "fuse before its branch 150 A (more than it carries)" in faulty.alt
    assert "Branches: front at rated power" in sound.alt
    assert "more than it carries" not in sound.alt
    engine = named("sound")
    data = {given_key(s.specs["spec"], s, "spec", "branches"): {} for s in engine.chain.of_kind("supply")}
    assert "Branches" not in drawn(supply_budget(Engine(engine.chain, data))).alt


def test_more_taken_at_idle_than_given_is_said_as_too_much() -> None:
    engine = named("sound")
    job = engine.chain.of_kind("job")[0]
    key = given_key(job.specs["electrics"], job, "electrics", "alternator_idle_a")
    picture = drawn(supply_budget(Engine(engine.chain, {key: 40.0})))
    assert "At idle the alternator gives 40 A;" in picture.alt
    assert "which is 5.13 A too much" in picture.alt


def test_the_curve_starts_at_the_air_and_nears_where_the_case_settles() -> None:
    engine = named("faults")
    for amplifier in engine.chain.of_kind("amplifier"):
        curve = engine.ask(amplifier, "warming_still_c").value
        assert len(curve) == len(WARMING_MIN)
        assert curve[0] == pytest.approx(engine.ask(amplifier, "hottest_air_c").value)
        assert all(later >= earlier for earlier, later in pairwise(curve))
        assert curve[-1] < engine.ask(amplifier, "sink_still_c").value


def test_the_curve_crosses_the_cut_out_when_the_fact_says_so() -> None:
    engine = named("faults")
    front = next(one for one in engine.chain.of_kind("amplifier") if one.name == "front")
    minutes = engine.ask(front, "minutes_to_protection").value
    curve = engine.ask(front, "warming_still_c").value
    cut_out = engine.view(front).part.cut_out_c
    before = max(index for index, minute in enumerate(WARMING_MIN) if minute <= minutes)
    assert curve[before] <= cut_out < curve[before + 1]
    assert "reached after 80.5 min" in drawn(amplifier_heat(engine)).alt


def with_noise(distance_db: float | None = 95.0) -> Engine:
    """The sound job with this noise on every sheet (or on none), and an input of `front` that clips at two volts."""
    engine = named("sound")
    given: dict[tuple[str, ...], float | None] = {}
    for device in (*engine.chain.of_kind("amplifier"), *engine.chain.of_kind("processor")):
        given[given_key(device.specs["part"], device, "part", "noise_distance_db")] = distance_db
    link = next(one for one in engine.chain.of_kind("link") if one.own["receiver"] == "front")
    given[given_key(link.specs["take"], link, "take", "max_v")] = 2.0
    return Engine(engine.chain, given)


def test_noise_and_hiss_are_shown_where_sheets_give_them() -> None:
    quiet, noisy = drawn(gain_structure(with_noise(None))), drawn(gain_structure(with_noise()))
    assert "noise there" not in quiet.alt and "Noise is left out" in quiet.caption
    assert noisy.alt.count("noise there") == noisy.alt.count("hiss at the ear") == 3
    assert "Noise is left out" not in noisy.caption
    assert "noise" in texts(noisy) and "hiss at the ear" in texts(noisy)


def test_an_input_that_clips_first_is_hatched() -> None:
    assert "turned up, first its input, then its output, " in drawn(gain_structure(with_noise())).alt
    assert "more than the input takes" in texts(drawn(gain_structure(with_noise())))
    assert "more than the input takes" not in texts(drawn(gain_structure(named("sound"))))


def test_channels_that_are_alike_are_shown_once() -> None:
    assert "front.1, front.2, front.3, front.4" in texts(drawn(gain_structure(named("sound"))))
