"""A review made again after an edit is the one a fresh reading would give: same findings, numbers, words and places."""

from __future__ import annotations

import copy
import functools
import gc
import weakref
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import AdvisorError
from advisor.facts.reading import Reading
from advisor.judging.again import review_again
from advisor.judging.differences import Index, names_of, names_read
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


def _waive(rule: str, at: str) -> dict[str, Any]:
    return {"rule": rule, "at": at, "reason": "known", "until": "2030-01-01", "by": "us"}


SEQUENCES: dict[str, tuple[str, list[tuple[str, str, Any]]]] = {
    "a waiver that met nothing comes to meet": (
        "base",
        [
            ("job", "waive", [_waive("job-keeps-to-the-budget", "job")]),
            ("job", "customer.budget", 100),
            ("job", "customer.budget", 9000),
        ],
    ),
    "a part without a price gets another title": (
        "sound",
        [("parts/mids.yaml", "parts.M-80A.price", None), ("parts/mids.yaml", "parts.M-80A.title", "The dear one")],
    ),
    "a sheet turns out to be estimated, then measured": (
        "sound",
        [("parts/mids.yaml", "parts.M-80A.data", "estimated"), ("parts/mids.yaml", "parts.M-80A.data", "measured")],
    ),
    "a value says how far it may be off": (
        "sound",
        [
            ("parts/mids.yaml", "parts.M-80A.fs_hz", {"value": 110, "within": "20 %"}),
            ("parts/mids.yaml", "parts.M-80A.fs_hz", {"value": 110, "within": "2 %"}),
            ("parts/mids.yaml", "parts.M-80A.fs_hz", 110),
        ],
    ),
    "a place gets roomier": (
        "faults",
        [("vehicles/camper-swb.yaml", "locations.kitchen-block.space_mm", [600, 500, 400])],
    ),
    "a place is gone and comes back": (
        "faults",
        [
            ("vehicles/camper-swb.yaml", "locations.mirror-triangle", None),
            ("vehicles/camper-swb.yaml", "locations.mirror-triangle", {"zone": "front", "pair": True}),
        ],
    ),
    "a way changes what its neighbours hand over to": (
        "sound",
        [("job", "ways.mid.plays", ["900 LR24", "3200 LR12"]), ("job", "ways.mid", None), ("job", "chain.split", None)],
    ),
    "a default is written out": ("sound", [("job", "chain.low.fan", "none"), ("job", "ways.sub.count", 1)]),
    "an input nobody gave is given, and taken away": (
        "quick",
        [("job", "air_c", 30), ("job", "ways.sub.box", {"closed_l": 20}), ("job", "ways.sub.box", None)],
    ),
    "the shop changes a limit and a rate": (
        "sound",
        [
            ("shop.yaml", "rate_per_h", 99),
            ("shop.yaml", "limits", {"way-reaches-its-low-edge": {"reach_ratio": 1.2}}),
            ("shop.yaml", "shop", "Another name"),
        ],
    ),
}


@pytest.mark.parametrize("name", SEQUENCES)
def test_what_reads_more_than_one_sees_is_noted(tmp_path: Path, name: str) -> None:
    job, edits = SEQUENCES[name]
    data = copy.deepcopy(_shipped(next(path for path in JOBS if path.stem == job)))
    for file, values in data.items():
        save(place(tmp_path, file), yaml.safe_dump(values, allow_unicode=True, sort_keys=False))
    watcher = Watcher(tmp_path)
    before = watcher.look()
    assert before == fresh(tmp_path) and not isinstance(before, str)
    for file, path, value in edits:
        *way, last = path.split(".")
        holder = data[file]
        for step in way:
            holder = holder[step]
        if value is None:
            holder.pop(last)
        else:
            holder[last] = value
        save(place(tmp_path, file), yaml.safe_dump(data[file], allow_unicode=True, sort_keys=False))
        assert watcher.look() == fresh(tmp_path)


def test_all_that_is_read_is_known_to_whoever_looks_for_changes() -> None:
    for job in JOBS:
        review = review_job(job, "job.yaml", TODAY)
        index, judge = Index(review.chain), review.judge
        read = set().union(*judge.engine._read_for.values(), *judge._rests_on.values(), judge.engine._known)
        for *holder, name in (key for key in read if key[0] != "assumed"):
            if holder[0] == "given":
                assert name in names_of(index.specs[tuple(holder)])
            else:
                assert tuple(holder) in index.subjects and name in names_read(holder[0])


def test_what_did_not_change_is_not_worked_out_again(tmp_path: Path) -> None:
    data = _shipped(ROOT / "examples" / "jobs" / "sound.yaml")
    for file, values in data.items():
        save(place(tmp_path, file), yaml.safe_dump(values, allow_unicode=True, sort_keys=False))
    watcher = Watcher(tmp_path)
    watcher.look()
    whole = watcher.review.engine.computed
    save(tmp_path / "job.yaml", "# a remark\n" + yaml.safe_dump(data["job"], allow_unicode=True, sort_keys=False))
    watcher.look()
    assert whole > 500 and watcher.review.engine.computed == 0


def test_reviews_before_the_last_are_let_go(tmp_path: Path) -> None:
    data = copy.deepcopy(_shipped(ROOT / "examples" / "jobs" / "sound.yaml"))
    for file, values in data.items():
        save(place(tmp_path, file), yaml.safe_dump(values, allow_unicode=True, sort_keys=False))
    watcher, engines = Watcher(tmp_path), []
    for driver in ("M-80A", "M-80B") * 3:  # what rests on a network's parts comes and goes with it
        data["job"]["ways"]["mid"]["driver"] = driver
        save(tmp_path / "job.yaml", yaml.safe_dump(data["job"], allow_unicode=True, sort_keys=False))
        watcher.look()
        assert watcher.review is not None
        engines.append(weakref.ref(watcher.review.engine))
    gc.collect()
    assert [engine() is None for engine in engines] == [True] * 5 + [False]
