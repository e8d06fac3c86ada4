"""However much falls short, what is tried comes to an end, and what was not tried is told as that."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.judging import trials as trials_module
from advisor.judging.knobs import hz_step, steps
from advisor.judging.review import review_system
from advisor.judging.trials import Trials
from advisor.reading.reader import OpenJob
from advisor.telling.terminal import review_text
from advisor.telling.ways_out import find_ways_out
from tests.judging.perturbed import TODAY

DRAWER = "job: A drawer\nways:\n" + "".join(
    f"  w {number}: {{driver: {{size_mm: {25 + number}}}, plays: [{200 + 40 * number} LR24, 3200 LR24]}}\n"
    for number in range(12)
)


@pytest.fixture
def drawer(tmp_path: Path) -> Trials:
    (tmp_path / "job.yaml").write_text(DRAWER, encoding="utf-8")
    job = OpenJob(tmp_path / "job.yaml", "job.yaml")
    return Trials(review_system(job.system, TODAY), job, TODAY)


def test_all_is_tried_in_a_job_of_common_size(drawer: Trials) -> None:
    ways = find_ways_out(drawer)
    assert ways
    assert not drawer.exhausted
    assert not any(way.cut_short for way in ways.values())


def test_nothing_more_is_tried_once_so_much_was(drawer: Trials, monkeypatch: pytest.MonkeyPatch) -> None:
    subjects = len(drawer.review.chain.subjects)
    monkeypatch.setattr(trials_module, "MOST_WORK", 8 * subjects)
    ways = find_ways_out(drawer)
    assert drawer.exhausted
    assert drawer._work <= (8 + 5) * subjects  # a rerun and its chain were begun below the bound
    late = [way for way in ways.values() if way.cut_short]
    assert late
    assert all(not way.conflict for way in late)
    assert "not everything was tried" in " ".join(review_text(drawer.review, ways).split())


def test_an_absurd_frequency_has_neighbours_too() -> None:
    up, down = steps(1e9, hz_step, 2.5e8, 4e9)
    assert up[0] > 1e9 > down[0]
    assert max(len(up), len(down)) <= 400
