"""A job that is read again: which files are read, which readings follow, and what a faulty save leaves alone."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path
from typing import Any

import pytest

from advisor.errors import InputError
from advisor.reading import files
from advisor.reading.rereading import JobOnDisk
from advisor.reading.source import SourceFile
from tests.judging.edits import save

JOB = """\
advisor: 1
job: Two ways
library: [lib]
shop: shop.yaml
ways:
  mid: {driver: MD, plays: [400 LR24, open]}
  sub: {driver: {type: sub, size_in: 10}, plays: [30 LR24, 400 LR24]}
"""
MIDS = "advisor: 1\nparts:\n  MD: {kind: driver, size_in: 3}\n"
SUBS = "advisor: 1\nparts:\n  SB: {kind: driver, size_in: 10}\n"


@pytest.fixture
def job(tmp_path: Path) -> JobOnDisk:
    save(tmp_path / "job.yaml", JOB)
    save(tmp_path / "shop.yaml", "advisor: 1\nshop: Ours\n")
    save(tmp_path / "lib" / "parts" / "mids.yaml", MIDS)
    save(tmp_path / "lib" / "parts" / "subs.yaml", SUBS)
    return JobOnDisk(tmp_path / "job.yaml", "job.yaml")


@pytest.fixture
def names(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that are read from disk."""
    read: list[str] = []

    def noted(path: Path, name: str) -> Any:
        read.append(path.name)
        return real(path, name)

    real = files.read_source
    monkeypatch.setattr(files, "read_source", noted)
    return read


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("job.yaml", JOB.replace("400", "500")),
        ("lib/parts/mids.yaml", MIDS.replace("3", "4")),
        ("lib/parts/more.yaml", "advisor: 1\nparts: {}\n"),
        ("shop.yaml", "advisor: 1\nshop: Theirs\n"),
    ],
)
def test_only_what_changed_is_read_again(job: JobOnDisk, names: list[str], path: str, text: str) -> None:
    job.read()
    assert sorted(names) == ["job.yaml", "mids.yaml", "shop-defaults.yaml", "shop.yaml", "subs.yaml"]
    names.clear()
    job.read()
    assert names == []
    save(job.path.parent / path, text)
    job.read()
    assert names == [Path(path).name]


def test_parts_of_a_library_that_did_not_change_are_the_same_objects(job: JobOnDisk) -> None:
    before = job.read().ways["mid"].part
    save(job.path, "# a remark\n" + JOB)
    assert job.read().ways["mid"].part is before


def test_places_of_older_readings_follow_through_several_edits(job: JobOnDisk) -> None:
    older = [job.read()]
    for text in ("\n" + JOB, "# a remark\n\n" + JOB.replace("mid: {driver: MD,", "mid: { driver: MD,"), JOB):
        save(job.path, text)
        older.append(job.read())
        line = 1 + text[: text.index("driver: MD")].count("\n")
        for system in older:
            origin = system.ways["mid"].spec.origin
            assert origin and origin.child("driver")
            assert {str(origin.child("driver").place)} == {older[-1].ways["mid"].spec.origin.child("driver").place}
            assert origin.place.startswith(f"job.yaml:{line}:")


def test_what_is_no_longer_written_is_told_where_it_was_written(job: JobOnDisk) -> None:
    origin = job.read().ways["mid"].spec.origin
    assert origin and origin.child("plays")
    gone = origin.child("plays")
    save(job.path, "\n" + JOB.replace(", plays: [400 LR24, open]", ""))
    job.read()
    assert gone.place == "job.yaml:7:8"  # of the way it belonged to


def test_a_faulty_save_moves_nothing(job: JobOnDisk) -> None:
    origin = job.read().ways["mid"].spec.origin
    assert origin
    before = origin.place
    save(job.path, "\n\n" + JOB.replace("MD", "NO"))
    for _ in range(2):  # told again as long as it is there
        with pytest.raises(InputError, match="no part 'NO'"):
            job.read()
    assert origin.place == before
    save(job.path, "\n\n" + JOB)
    job.read()
    assert origin.place == "job.yaml:8:8"


def test_a_part_at_fault_is_told_each_time_until_it_is_mended(job: JobOnDisk) -> None:
    place = job.path.parent / "lib" / "parts" / "mids.yaml"
    save(place, MIDS.replace("size_in", "size_im"))
    for _ in range(2):
        with pytest.raises(InputError, match="size_im"):
            job.read()
    save(job.path, "# a remark\n" + JOB)
    with pytest.raises(InputError, match="size_im"):
        job.read()
    save(place, MIDS)
    assert job.read().ways["mid"].part.size_in == 3


@pytest.mark.parametrize("name", ["job.yaml", "shop.yaml", "lib/parts/mids.yaml"])
def test_a_file_that_is_gone_is_a_fault_until_it_is_back(job: JobOnDisk, name: str) -> None:
    job.read()
    path = job.path.parent / name
    text = path.read_text(encoding="utf-8")
    path.unlink()
    with pytest.raises(InputError):
        job.read()
    asked = job.files.asked
    save(path, text)
    assert job.files.look() != asked
    assert job.read().ways["mid"].part.size_in == 3
    assert job.files.look() == job.files.asked


def test_another_list_of_libraries_is_looked_up_anew(job: JobOnDisk) -> None:
    job.read()
    save(job.path.parent / "other" / "parts" / "mids.yaml", MIDS.replace("3", "5"))
    save(job.path, JOB.replace("[lib]", "[other]"))
    assert job.read().ways["mid"].part.size_in == 5


def test_what_was_read_between_is_not_kept(job: JobOnDisk) -> None:
    first = job.read()
    between = []
    for number in range(3):
        save(job.path, "\n" * number + JOB)
        between.append(weakref.ref(job.read().job))
    gc.collect()
    assert [one() is None for one in between] == [True, True, True]
    assert first.job.origin and first.job.origin.place == "job.yaml:3:1"
    files_alive = [one for one in gc.get_objects() if isinstance(one, SourceFile) and one.name == "job.yaml"]
    assert len({id(one) for one in files_alive if one.path == job.path}) == 2
