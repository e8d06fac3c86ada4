"""Jobs that nobody would plan but that can be read: every page of them is written, and says what is not known."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.chain.subject import Subject
from advisor.facts.reading import BrokenFact, Reading
from advisor.judging.review import Review, review_job
from advisor.reading.source import read_source
from advisor.telling.report import draw_pictures
from advisor.telling.sheet.build import build_sheet
from advisor.telling.sheet.text import sheet_text
from tests.facts.jobs import changed, review

EXAMPLES = Path(__file__).parent.parent / "examples"
TODAY = date(2026, 11, 25)


def of_sound(jobs: Path, harm: Callable[[dict[str, Any]], None]) -> Review:
    """Return the review of the sound example with something harmed in a way that can still be read."""
    data = read_source(EXAMPLES / "jobs" / "sound.yaml").data
    harm(data)
    data["library"] = [os.path.relpath(EXAMPLES / "library", jobs)]
    path = jobs / "job.yaml"
    path.write_text(yaml.dump(data, sort_keys=False), encoding="utf-8")
    found = review_job(path, "job.yaml", TODAY)
    assert [finding.why_not for finding in found.of("broken")] == []
    return found


def test_an_amplifier_that_drives_nothing_wants_no_fuse(tmp_path: Path) -> None:
    def harm(job: dict[str, Any]) -> None:
        job["chain"]["brain"] = {"amplifier": "AM-6", "from": "screen", "over": "optical", "at": "seat-base-right"}
        job["supply"]["branches"]["brain"] = {"cable_mm2": 10, "run_m": 1, "fuse_a": 30}

    assert "branch to brain" in sheet_text(build_sheet(of_sound(tmp_path, harm)))


def test_a_load_that_no_fuse_carries_is_told(tmp_path: Path) -> None:
    def harm(job: dict[str, Any]) -> None:
        bank = {"channels": 1, "watts": {4: 90_000}, "min_ohm": 2}
        inputs = {"line": {"channels": 2, "min_v": 0.3, "max_v": 6}}
        job["chain"]["low"]["amplifier"] = {"class": "D", "efficiency": 0.8, "banks": [bank], "inputs": inputs}

    found = of_sound(tmp_path, harm).of("falls short")
    told = [finding.because for finding in found if finding.rule.name == "branch-fuse-carries-its-amplifier"]
    assert len(told) == 1
    assert told[0].endswith("no single standard fuse carries the load.")


def test_an_input_that_no_sheet_mentions_is_left_out_of_the_picture(tmp_path: Path) -> None:
    def harm(job: dict[str, Any]) -> None:
        bank = {"channels": 1, "watts": {4: 280}, "min_ohm": 2}
        inputs = {"speaker": {"channels": 2, "min_v": 2, "max_v": 20}}
        job["chain"]["low"]["amplifier"] = {"class": "D", "efficiency": 0.8, "banks": [bank], "inputs": inputs}

    draw_pictures(of_sound(tmp_path, harm))


def test_a_sheet_tells_what_could_not_be_worked_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = of_sound(tmp_path, lambda job: None)
    asked = found.engine.ask

    def ask(subject: Subject, name: str) -> Reading:
        if name == "main_fuse_a":
            raise BrokenFact("main_fuse_a: ZeroDivisionError")
        return asked(subject, name)

    monkeypatch.setattr(found.engine, "ask", ask)
    assert "which is our fault" in " ".join(sheet_text(build_sheet(found)).split())


def test_a_number_that_rests_on_thousands_of_others_is_not_looked_into_one_by_one(tmp_path):
    data = changed()
    amplifier = data["chain"]["front"]["amplifier"]
    amplifier["banks"] = amplifier["banks"] * 1500
    found = review(tmp_path, data)
    assert found.of("broken") == []
    assert len(found.judge.doubts._turned) < 500
