"""A review made again after an edit is the one a fresh reading would give: same findings, numbers, words and places."""

from __future__ import annotations

import copy
import functools
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import AdvisorError
from advisor.facts.reading import Reading
from advisor.judging.again import review_again
from advisor.judging.review import Review, review_job, review_system
from advisor.reading.rereading import JobOnDisk
from advisor.telling.data import review_data
from tests.facts.jobs import BASE, EXAMPLES, ROOT, TODAY
from tests.judging.edits import Editor, save

JOBS = [*EXAMPLES, BASE]
LIBRARY = ROOT / "examples" / "library"


@functools.cache
def _shipped(job: Path) -> dict[str, Any]:
    """Return the data of a job and of the files it may name, by path below a folder of their own."""
    read = {"job": yaml.safe_load(job.read_text(encoding="utf-8"))}
    for path in sorted(LIBRARY.rglob("*.yaml")):
        read[str(path.relative_to(LIBRARY))] = yaml.safe_load(path.read_text(encoding="utf-8"))
    if "library" in read["job"]:
        read["job"]["library"] = ["library"]
    return read


def place(folder: Path, name: str) -> Path:
    return folder / "job.yaml" if name == "job" else folder / "library" / name


def everything(review: Review) -> dict[str, Any]:
    """Return all that is told of a review, and all that its findings were made of, down to the places."""
    seen: dict[int, Reading] = {}
    waiting = [reading for finding in review.findings for reading in finding.readings]
    while waiting:
        reading = waiting.pop()
        if id(reading) not in seen:
            seen[id(reading)] = reading
            waiting += reading.inputs
    made_of = {
        (below.name, below.kind, below.basis, below.unit, below.place, str(below.value))
        for below in seen.values()
        if " at 0x" not in str(below.value)  # a curve is a function
    }
    return {**review_data(review), "made of": sorted(made_of)}


def fresh(folder: Path) -> Any:
    try:
        return everything(review_job(folder / "job.yaml", "job.yaml", TODAY))
    except AdvisorError as error:
        return str(error)


class Watcher:
    """Reviews a job again and again, as the command does."""

    def __init__(self, folder: Path) -> None:
        self.job = JobOnDisk(folder / "job.yaml", "job.yaml")
        self.review: Review | None = None

    def look(self) -> Any:
        try:
            system = self.job.read()
            if self.review is None:
                self.review = review_system(system, TODAY)
            else:
                self.review = review_again(self.review, system, TODAY)
        except AdvisorError as error:
            return str(error)
        return everything(self.review)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 10**9), lengths=st.lists(st.sampled_from(["job", "job", "job", "other"]), max_size=6))
def test_any_sequence_of_edits_gives_what_a_fresh_review_gives(
    tmp_path_factory: pytest.TempPathFactory, job: Path, seed: int, lengths: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("edited")
    editor = Editor(seed, copy.deepcopy(_shipped(job)))
    for name in editor.data:
        save(place(folder, name), editor.text(name))
    watcher = Watcher(folder)
    assert watcher.look() == fresh(folder)
    for which in lengths:
        name = "job" if which == "job" else editor.random.choice([name for name in editor.data if name != "job"])
        before = copy.deepcopy(editor.data[name])
        said = editor.edit(name)
        save(place(folder, name), editor.text(name))
        again, anew = watcher.look(), fresh(folder)
        assert again == anew, said
        if isinstance(anew, str) and editor.random.random() < 0.7:  # faulty: mended, mostly
            editor.data[name] = before
