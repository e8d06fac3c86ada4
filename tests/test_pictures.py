from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import matplotlib
import pytest

from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.reading.reader import read_job
from advisor.telling.pictures.bands import bands
from advisor.telling.pictures.canvas import Picture, fitted, width_of
from advisor.telling.pictures.chain_picture import chain_picture
from advisor.telling.pictures.chain_plan import Plan
from advisor.telling.pictures.layout import GAP, Box, Wire, arrange

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "examples" / "jobs").glob("*.yaml"))
SVG = "{http://www.w3.org/2000/svg}"


def pictures(job: Path) -> tuple[Picture, Picture]:
    chain = build_chain(read_job(job))
    return chain_picture(chain), bands(Engine(chain))


def written(tmp_path: Path, text: str) -> tuple[Picture, Picture]:
    job = tmp_path / "job.yaml"
    job.write_text(f"advisor: 1\njob: a small one\n{text}", encoding="utf-8")
    return pictures(job)


def texts(picture: Picture) -> list[str]:
    """Every text that stands in a picture."""
    return ["".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]


def ids(picture: Picture) -> list[str]:
    return [node.attrib["id"] for node in ElementTree.fromstring(picture.svg).iter() if "id" in node.attrib]


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
class TestEveryExample:
    def test_two_renders_are_the_same(self, job: Path) -> None:
        assert pictures(job) == pictures(job)

    def test_stands_inside_a_page(self, job: Path) -> None:
        for picture in pictures(job):
            root = ElementTree.fromstring(picture.svg)
            assert root.tag == f"{SVG}svg"
            assert picture.svg.startswith("<svg ")
            assert root.attrib["role"] == "img"
            assert root.attrib["aria-label"] == picture.alt
            assert root[0].tag == f"{SVG}title"
            assert root[0].text == picture.alt
            assert len(root.attrib["viewBox"].split()) == 4
            assert not list(root.iter(f"{SVG}style")), "a style would reach the page around it"

    def test_two_pictures_share_no_id_and_refer_to_their_own(self, job: Path) -> None:
        both = pictures(job)
        every = [name for picture in both for name in ids(picture)]
        assert len(every) == len(set(every))
        for picture in both:
            own = set(ids(picture))
            for node in ElementTree.fromstring(picture.svg).iter():
                for key, value in node.attrib.items():
                    if "url(#" in value:
                        assert value.split("url(#")[1].split(")")[0] in own
                    if key.endswith("href"):
                        assert value[1:] in own

    def test_words_and_picture_tell_of_every_way(self, job: Path) -> None:
        for picture in pictures(job):
            for way in read_job(job).ways:
                assert way in picture.alt
                assert any(text.startswith(way) for text in texts(picture))

    def test_nothing_of_maker_or_date_stands_in_it(self, job: Path) -> None:
        for picture in pictures(job):
            for word in ("Matplotlib", "matplotlib", "dc:date", "<metadata", "<!--", "<?xml"):
                assert word not in picture.svg

    def test_boxes_touch_neither_each_other_nor_a_line_that_passes(self, job: Path) -> None:
        assert_apart(Plan(build_chain(read_job(job))))


def assert_apart(plan: Plan) -> None:
    if not plan.devices:
        return
    arrange(plan.boxes, plan.wires, 0.0, 0.0)
    for box in plan.boxes:
        for other in plan.boxes:
            if other is not box and other.x == box.x:
                assert abs(other.y - box.y) >= (other.height + box.height) / 2
        for wire in plan.wires:
            for slot in wire.slots:
                if slot.column == box.column:
                    assert abs(slot.y - box.y) > box.height / 2


def test_fourteen_ways_do_not_overlap(tmp_path: Path) -> None:
    ways = "".join(
        f"  way {n}: {{driver: {{size_mm: 100}}, plays: [{100 * n} LR24, {100 * n + 100} LR24], from: a.{n}}}\n"
        for n in range(1, 15)
    )
    amplifier = "{banks: [{channels: 14, watts: {4: 50}, min_ohm: 2}], inputs: {line: {channels: 14}}}"
    source = "{title: A radio, outputs: {line: {channels: 2}}}"
    text = f"chain:\n  radio: {{source: {source}}}\n  a: {{amplifier: {amplifier}, from: radio}}\nways:\n{ways}"
    chain, band = written(tmp_path, text)
    assert_apart(Plan(build_chain(read_job(tmp_path / "job.yaml"))))
    assert sum(text.startswith("way ") for text in texts(chain)) == 14
    assert sum(text.startswith("way ") for text in texts(band)) == 14
    assert "A radio" in texts(chain)


def test_a_driver_that_nothing_feeds_says_so(tmp_path: Path) -> None:
    text = """
chain:
  radio: {source: {outputs: {speaker: {channels: 2}}}}
ways:
  front: {driver: {size_mm: 165}, from: [radio.1, radio.2], plays: [70, open]}
  rear: {driver: {size_mm: 100}, plays: [150, open]}
"""
    chain, _ = written(tmp_path, text)
    assert texts(chain).count("not fed") == 1
    assert "nothing feeds it" in texts(chain)
    assert "rear (100 mm), 150 – open, not fed" in chain.alt
    assert "front left and right (165 mm), 70 – open, fed by radio.1 and radio.2" in chain.alt


def test_without_devices_nobody_is_said_to_be_unfed(tmp_path: Path) -> None:
    chain, _ = written(tmp_path, "ways:\n  wide: {driver: {size_mm: 100}}\n")
    assert texts(chain) == ["drivers", "wide", "band not said", "100 mm"]
    assert "not fed" not in chain.alt


def test_passive_lines_are_dashed_and_explained() -> None:
    passive = chain_picture(build_chain(read_job(ROOT / "examples/jobs/sound.yaml")))
    active = chain_picture(build_chain(read_job(ROOT / "examples/jobs/all-active.yaml")))
    assert "one channel, after a passive network" in texts(passive)
    assert "stroke-dasharray" in passive.svg
    assert "stroke-dasharray" not in active.svg
    assert {"optical", "line", "1–6"} <= set(texts(passive))


HOLE = """
ways:
  sub: {driver: {size_mm: 250}, plays: [40 LR24, 70 LR24]}
  mid: {driver: {size_mm: 130}, plays: [140 LR24, 3000 LR24]}
"""
"""By their sizes the sub covers 36 Hz and the mid 90 Hz and up."""


def test_a_hole_is_named_in_picture_and_words(tmp_path: Path) -> None:
    _, band = written(tmp_path, HOLE)
    assert "hole 70–140 Hz" in texts(band)
    assert "hole 70–140 Hz between sub and mid" in band.alt
    assert "hole 70–140 Hz between sub and mid" in band.caption
    assert "sub asked 40–70 Hz" in band.alt


def test_no_hole_is_said_where_ways_meet(tmp_path: Path) -> None:
    _, band = written(tmp_path, HOLE.replace("70 LR24", "140 LR24"))
    assert "no hole" in band.alt
    assert not [text for text in texts(band) if "hole" in text]


def test_what_is_asked_beyond_the_driver_is_marked(tmp_path: Path) -> None:
    _, band = written(tmp_path, HOLE.replace("140 LR24", "70 LR24"))
    assert "asked, not covered" in texts(band)
    _, sound = written(tmp_path, HOLE)
    assert "asked, not covered" not in texts(sound)


def test_what_is_not_known_says_so(tmp_path: Path) -> None:
    _, band = written(tmp_path, "ways:\n  riddle: {driver: {}}\n  sub: {driver: {size_mm: 250}, plays: [open, 80]}\n")
    assert "not known" in texts(band)
    assert "riddle asked not said, covers not known" in band.alt
    assert "sub asked up to 80 Hz" in band.alt
    assert band.alt.index("sub") < band.alt.index("riddle")


def test_a_meeting_nobody_can_judge_is_no_meeting(tmp_path: Path) -> None:
    text = "ways:\n  low: {driver: {}, plays: [40, 200]}\n  high: {driver: {}, plays: [300, open]}\n"
    _, band = written(tmp_path, text)
    assert "whether low and high meet is not known" in band.alt
    assert "no hole" not in band.alt


def test_rows_stand_from_the_lowest_band_up() -> None:
    _, band = pictures(ROOT / "examples/jobs/sound.yaml")
    order = [name for name in texts(band) if name in ("tweeter", "mid", "midwoof", "ambience", "sub")]
    assert order == ["tweeter", "mid", "ambience", "midwoof", "sub"]  # the first is drawn at the top


def test_numbers_of_the_picture_come_from_the_facts() -> None:
    chain = build_chain(read_job(ROOT / "examples/jobs/sound.yaml"))
    plain = bands(Engine(chain))
    driver = next(subject for subject in chain.subjects if subject.name == "midwoof left")
    down = next(r for r in Engine(chain).ask(driver, "plays_down_to_hz").walk() if r.name.endswith("fs_hz"))
    other = bands(Engine(chain, {down.key: down.value * 2}))
    assert other.alt != plain.alt
    assert other.svg != plain.svg


def test_awkward_names_do_no_harm(tmp_path: Path) -> None:
    title = r'"A <b>&\u0007 \"loud\" $x_1$ \u97f3 -- id=\"figure_1\" and on and on and on and on and on and on and on"'
    chain, band = written(tmp_path, f"ways:\n  mid: {{driver: {{title: {title}, size_mm: 100}}, plays: [200, 3000]}}\n")
    shown = next(text for text in texts(band) if text.startswith("A <b>"))
    assert shown.startswith('A <b>& "loud" $x_1$ 音')
    assert shown.endswith("…")
    assert 'id="figure_1" and on and on' in chain.alt


def test_text_is_cut_to_its_room() -> None:
    assert fitted("midwoof", 9, 100) == "midwoof"
    cut = fitted("a name that goes on for longer than there is room", 9, 60)
    assert cut.endswith("…")
    assert width_of(cut, 9) <= 60 < width_of(f"{cut[:-1]}ger…", 9)


def test_boxes_stand_as_near_as_they_can_to_what_they_feed() -> None:
    ways = [Box("drivers", (5, 0), ["way", "band", "part"], 50) for _ in range(4)]
    amplifiers = [Box("amplifier", (3, 0), ["amplifier", "part"], 50) for _ in range(3)]
    alone = [Wire(amplifiers[0], "", way) for way in ways[:2]]
    crowded = [Wire(amplifier, "", ways[3]) for amplifier in amplifiers[1:]]
    arrange([*amplifiers, *ways], [*alone, *crowded], 0.0, 0.0)
    assert amplifiers[0].y == pytest.approx((ways[0].y + ways[1].y) / 2)
    assert amplifiers[2].y - amplifiers[1].y == pytest.approx(amplifiers[1].height + GAP)  # as close as may be
    assert (amplifiers[1].y + amplifiers[2].y) / 2 == pytest.approx(ways[3].y)


def test_no_setting_of_the_library_is_left_changed_and_no_window_is_thought_of() -> None:
    before = dict(matplotlib.rcParams)
    pictures(JOBS[0])
    assert dict(matplotlib.rcParams) == before
    code = (
        "import sys; from pathlib import Path; sys.path.insert(0, '.')\n"
        "from tests.test_pictures import pictures, JOBS; pictures(JOBS[0])\n"
        "print('matplotlib.pyplot' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
