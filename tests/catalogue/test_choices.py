"""Choices left open in a package, and the faults of its file."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.store import Store
from advisor.errors import Fault, InputError
from advisor.reading.package import PackageFile, read_package
from advisor.reading.reader import JobReader
from advisor.reading.source import read_source
from tests.catalogue.conftest import PACKAGE, TODAY

PLAIN = PACKAGE.replace("{one of: [W-1, W-2]}", "W-1")


def read(folder: Path, text: str) -> tuple[PackageFile | None, list[str]]:
    path = folder / "p.yaml"
    path.write_text(text, encoding="utf-8")
    faults: list[Fault] = []
    found = read_package(read_source(path, "p.yaml"), "p", faults)
    return found, [f"{fault.line}:{fault.column} {fault.what}" for fault in faults]


def test_a_choice_is_named_by_its_place_and_answered_each_way(tmp_path):
    package, faults = read(tmp_path, PACKAGE)
    assert not faults
    assert package is not None
    assert package.ways_to_settle == [(("midwoof.driver", "W-1"),), (("midwoof.driver", "W-2"),)]
    for way, label in zip(package.ways_to_settle, ("W-1", "W-2"), strict=True):
        job = package.job(way, "quiet", "van")
        assert job.data["ways"]["midwoof"]["driver"] == label
        assert job.data["vehicle"] == "van"
        assert job.data["customer"] == {"loudness_db": 90}
        assert not {"vehicles", "customers", "line", "package"} & set(job.data)


def test_every_value_of_the_job_stands_where_the_package_has_it(small):
    catalogue = open_catalogue(small, "small")
    package = catalogue.package(catalogue.packages[0])
    system = JobReader(package.file.path, "p", catalogue.library).system(
        package.job((("midwoof.driver", "W-2"),), "quiet", "van")
    )
    text = PACKAGE.splitlines()
    for origin, word in (
        (system.ways["midwoof"].spec.origin.child("driver"), "W-2"),
        (system.job.customer.origin.child("loudness_db"), "90"),
        (system.job.origin.child("vehicle"), "van"),
        (system.job.origin.child("job"), "Two ways"),
    ):
        _, line, column = origin.place.rsplit(":", 2)
        assert text[int(line) - 1][int(column) - 1 :].startswith(word)


def test_choices_of_one_name_are_made_together(tmp_path):
    both = PLAIN.replace("driver: W-1", "driver: {choice: size, one of: {small: W-1, big: W-2}}").replace(
        "plays: [80 LR24, 2800 LR24]",
        "plays: {choice: size, one of: {small: [90 LR24, 2800 LR24], big: [70 LR24, 2800 LR24]}}",
    )
    package, faults = read(tmp_path, both)
    assert not faults
    assert package is not None
    jobs = [package.job(way, "quiet", "van").data["ways"]["midwoof"] for way in package.ways_to_settle]
    assert [(job["driver"], job["plays"][0]) for job in jobs] == [("W-1", "90 LR24"), ("W-2", "70 LR24")]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("driver: W-1", "driver: {one of: [W-1]}", "9:30 'one of' offers at least two"),
        ("driver: W-1", "driver: {one of: [W-1, W-1]}", "9:30 the same is offered twice"),
        ("driver: W-1", "driver: {one of: [W-1, W-2], wen: x}", "unknown key 'wen'"),
        ("driver: W-1", "driver: {one of: [W-1, {one of: [W-2, W-9]}]}", "a choice within a choice"),
        ("vehicles: [hatch, van]", "vehicles: {one of: [hatch, van]}", "4:11 nothing can be left open here"),
        ("vehicles: [hatch, van]", "vehicles: [hatch, hatch]", "4:19 the vehicle 'hatch' is listed twice"),
        ("line: Small", "lime: Small", "3:1 unknown key 'lime'"),
        ("package: Two", "packages: Two", "'package' is missing"),
        ("vehicles: [hatch, van]", "vehicles: []", "4:11 a list has the wrong length"),
        ("loudness_db: 90", "loudness_db: loud", "6:24 'loud' is not a number"),
        ("driver: T-1", "driver: {choice: a, one of: [T-1, W-1]}", ""),
    ],
)
def test_a_fault_of_a_package_stands_at_its_place(tmp_path, old, new, fault):
    assert old in PLAIN
    _, faults = read(tmp_path, PLAIN.replace(old, new))
    assert any(fault in told for told in faults) if fault else not faults


def test_labels_of_one_name_have_to_agree(tmp_path):
    text = PLAIN.replace("driver: T-1", "driver: {choice: a, one of: [T-1, W-1]}").replace(
        "driver: W-1, at", "driver: {choice: a, one of: [W-1, W-2]}, at"
    )
    _, faults = read(tmp_path, text)
    assert any("the choice 'a' offers W-1, W-2, but T-1, W-1 at p.yaml:8:21" in told for told in faults)


def test_too_many_choices_are_refused(tmp_path):
    seven = ", ".join(f"{{one of: [{n} LR24, {n + 5} LR24]}}" for n in range(80, 87))
    text = PLAIN.replace("plays: [80 LR24, 2800 LR24]", f"plays: [{seven}]")
    _, faults = read(tmp_path, text)
    assert any("128 ways, and 64 are judged at most" in told for told in faults)


def test_a_package_made_for_nobody_names_what_is_unknown(small):
    """A code no file has, and a waiver of no rule, are faults of a file; a place a vehicle has not is a claim."""
    path = small / "packages" / "front.yaml"
    path.write_text(PACKAGE.replace("W-1, W-2", "W-1, W-3").replace("way-fits-its-depth", "way-fits-its-dept"))
    with Store(None) as store, pytest.raises(InputError) as error:
        audit_catalogue(open_catalogue(small, "small"), TODAY, store)
    told = str(error.value)
    assert "small/packages/front.yaml:9:36: ways.midwoof.driver: no part 'W-3' in the library" in told
    assert "there is no rule 'way-fits-its-dept'" in told


def test_faults_of_unused_parts_and_of_all_packages_are_told_at_once(small):
    parts = small / "parts" / "parts.yaml"
    parts.write_text(parts.read_text().replace("price: 10", "prize: 10"))
    (small / "packages" / "second.yaml").write_text("advisor: 1\npackage: Nothing\n")
    with Store(None) as store, pytest.raises(InputError) as error:
        audit_catalogue(open_catalogue(small, "small"), TODAY, store)
    assert "unknown key 'prize'" in str(error.value)
    assert "small/packages/second.yaml:1:1: 'vehicles' is missing" in str(error.value)


@pytest.mark.parametrize(("gone", "what"), [("packages", "no folder 'packages'"), ("", "no such folder")])
def test_what_is_no_catalogue_is_said(small, tmp_path, gone, what):
    import shutil

    shutil.rmtree(small / gone)
    with pytest.raises(InputError, match=what):
        open_catalogue(small)
