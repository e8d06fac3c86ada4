"""The files a beginner starts from pass as they stand, and say what they are for."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import yaml

import advisor
from advisor.errors import Fault
from advisor.judging.cases import patched
from advisor.judging.judge import Judge
from advisor.judging.review import review_job
from advisor.judging.rule import Rule
from advisor.judging.rulebook import _load_file, load_rulebook
from advisor.reading.library import Library
from advisor.reading.origin import root_of
from advisor.reading.parts import KINDS
from advisor.reading.reader import read_job
from advisor.reading.source import read_source

STARTERS = Path(advisor.__file__).parent / "starters"
TODAY = date(2026, 11, 25)


def test_there_is_one_of_each():
    assert sorted(path.name for path in STARTERS.iterdir()) == [
        "job.yaml",
        "package.yaml",
        "part.yaml",
        "rule.yaml",
        "vehicle.yaml",
    ]


OF_A_WAY = ("trim_db", "polarity", "delay_ms")
"""Keys the comments show on lines of their own, to be put into a way."""


@pytest.mark.parametrize("path", sorted(STARTERS.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_starter_is_written_for_people(path):
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert max(len(line) for line in text.splitlines()) <= 130
    assert "\t" not in text


def test_the_job_is_reviewed_as_it_stands(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_bytes((STARTERS / "job.yaml").read_bytes())
    review = review_job(job, "job.yaml", today=TODAY)
    assert [*review.system.ways] == ["tweeter", "midwoof", "sub"]
    assert review.of("broken") == review.of("falls short") == []
    assert review.of("holds")


def test_what_the_job_has_in_comments_is_right_too(tmp_path):
    """Every commented block is a mapping that the job takes, once what it names is there."""
    text = (STARTERS / "job.yaml").read_text(encoding="utf-8")
    _, _, more = text.partition("# ----")
    lines = [line.removeprefix("# ") for line in more.splitlines()[1:]]
    block = [
        line
        for line in lines
        if line.startswith(("chain:", "supply:", "work:", "waive:", "  "))
        and "   at:" not in line
        and "   from:" not in line
        and line.strip().partition(":")[0] not in OF_A_WAY
    ]
    head = text.partition("# ----")[0]
    bank = "{channels: 4, watts: {4: 50}, min_ohm: 2}"
    codes = {
        "source: code-of-the-source": "source: {outputs: {optical: {}}}",
        "processor: code-of-the-processor": "processor: {inputs: {optical: {}}, outputs: {line: {channels: 8}}}",
        "amplifier: code-of-the-amplifier": "amplifier: {inputs: {line: {}}, banks: [" + bank + "]}",
        ", at: seat-base": "",
        ", at: dash-end": "",
    }
    whole = "\n".join(block)
    for code, part in codes.items():
        assert code in whole
        whole = whole.replace(code, part)
    job = tmp_path / "job.yaml"
    settings = [line for line in lines if line.strip().partition(":")[0] in OF_A_WAY]
    job.write_text("\n".join([head.rstrip(), *settings, whole]) + "\n", encoding="utf-8")
    system = read_job(job, "job.yaml")
    sub = system.ways["sub"].spec
    assert (sub.trim_db.left, str(sub.polarity.left), sub.delay_ms.left) == (-3, "inverted", 2.4)
    assert [*system.devices] == ["screen", "brain", "front", "low", "split"]
    assert system.job.supply.fuse_a == 80
    assert len(system.job.work) == 3
    assert system.job.waive[0].until == date(2027, 12, 31)


@pytest.fixture
def library(tmp_path):
    for name in ("part", "vehicle"):
        path = tmp_path / f"{name}s" / f"{name}.yaml"
        path.parent.mkdir()
        path.write_bytes((STARTERS / f"{name}.yaml").read_bytes())
    faults: list[Fault] = []
    library = Library(faults)
    library.add_folder(tmp_path, "library")
    assert faults == []
    return library


def test_the_part_is_one_driver_with_all_that_matters(library):
    (code,) = library.parts
    part = library.part("driver", code, library.parts[code])
    assert library.faults == []
    assert isinstance(part, KINDS["driver"])
    assert part.qts == pytest.approx(part.qes * part.qms / (part.qes + part.qms), rel=0.01)


def test_the_part_in_comments_is_right_too(library, tmp_path):
    lines = (STARTERS / "part.yaml").read_text(encoding="utf-8").splitlines()
    start = next(number for number, line in enumerate(lines) if "MY-AMP-4:" in line)
    block = [line.removeprefix("# ") for line in lines[start:]]
    (tmp_path / "parts" / "more.yaml").write_text("parts:\n" + "\n".join(block) + "\n", encoding="utf-8")
    more = Library([])
    more.add_folder(tmp_path, "library")
    part = more.part("amplifier", "MY-AMP-4", more.parts["MY-AMP-4"])
    assert more.faults == []
    assert part.banks[0].watts == {4: 75, 2: 110}


def test_the_vehicle_has_places_on_both_sides_and_seats(library):
    (code,) = library.vehicles
    vehicle = library.vehicle(code, root_of(library.vehicles[code]))
    assert library.faults == []
    assert vehicle.locations["door-low"].sides == ("left", "right")
    assert set(vehicle.seats) == {"driver", "passenger"}


def test_the_rule_is_taken_and_its_cases_come_out(tmp_path):
    faults: list[Fault] = []
    rules: dict[str, Rule] = {}
    _load_file(STARTERS / "rule.yaml", rules, faults)
    assert faults == []
    (rule,) = rules.values()
    assert rule.name not in load_rulebook()
    for case in rule.cases:
        job = tmp_path / "case.yaml"
        job.write_text(yaml.safe_dump(patched(case), allow_unicode=True, sort_keys=False), encoding="utf-8")
        found = Judge(review_job(job, "case.yaml", today=TODAY).engine, rules).judge()
        (finding,) = [one for one in found if one.subject.name == case["at"]]
        assert finding.outcome == case["expect"]
        if "left" in case:
            assert (finding.measured.left, finding.measured.right) == (case["left"], case["right"])


def test_the_rule_goes_into_a_shop_file(tmp_path):
    """The list of the starter stands in a shop file as it is."""
    (tmp_path / "shop.yaml").write_bytes((STARTERS / "rule.yaml").read_bytes())
    job = tmp_path / "job.yaml"
    job.write_bytes((STARTERS / "job.yaml").read_bytes() + b"\nshop: shop.yaml\n")
    review = review_job(job, "job.yaml", today=TODAY)
    assert review.rules["driver-leaves-room-behind-it"].origin.file.name == "shop.yaml"
    assert read_source(tmp_path / "shop.yaml").data.keys() == {"rules"}
