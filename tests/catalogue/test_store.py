"""What was judged before is not judged again, whatever happened in between; who judges makes no difference."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.store import Store, cache_folder
from advisor.errors import InputError
from advisor.telling.audit.files import FORMS, write_audit
from tests.catalogue.conftest import PACKAGE, PARTS, TODAY, vehicle

ROOT = Path(__file__).parents[2]


def judged(folder: Path, kept: Path) -> int:
    with Store(kept) as store:
        return audit_catalogue(open_catalogue(folder, "small"), TODAY, store).judged


def more_packages(folder: Path, count: int) -> None:
    for number in range(count):
        text = PACKAGE.replace("Two ways", f"Two ways, {number},").replace("2800", f"{2800 + 10 * number}")
        (folder / "packages" / f"more-{number:02d}.yaml").write_text(text, encoding="utf-8")


def test_nothing_is_judged_twice(small, tmp_path):
    assert judged(small, tmp_path / "kept") == 4
    assert judged(small, tmp_path / "kept") == 0


@pytest.mark.parametrize("went", ["part", "vehicle"])
def test_what_a_package_names_and_is_gone_is_told_though_it_was_judged_before(small, tmp_path, went):
    kept = tmp_path / "kept"
    more_packages(small, 2)
    judged(small, kept)
    if went == "part":
        parts = small / "parts" / "parts.yaml"
        parts.write_text(PARTS.replace("W-1:", "W-8:"))
    else:
        (small / "vehicles" / "van.yaml").unlink()
    with pytest.raises(InputError) as caught:
        judged(small, kept)
    code = "W-1" if went == "part" else "van"
    assert {fault.file for fault in caught.value.faults} == {
        f"small/packages/{path.name}" for path in (small / "packages").glob("*.yaml")
    }
    assert all(f"'{code}'" in fault.what for fault in caught.value.faults)


def test_a_package_that_changes_while_it_is_judged_is_told(small, tmp_path):
    package = next((small / "packages").glob("*.yaml"))

    def progress(_done: int, _whole: int) -> None:
        package.write_text(package.read_text() + "# one more line\n")

    with Store(tmp_path / "kept") as store, pytest.raises(InputError, match="changed while it was judged"):
        audit_catalogue(open_catalogue(small, "small"), TODAY, store, progress=progress)


def test_only_what_hangs_on_a_change_is_judged_again(small, tmp_path):
    """One of two sheets: the lines with that choice. One of two vehicles: the lines in it. A comment: nothing."""
    kept = tmp_path / "kept"
    assert judged(small, kept) == 4
    parts = small / "parts" / "parts.yaml"
    parts.write_text(PARTS.replace("cutout_mm: 151", "cutout_mm: 149"))
    assert judged(small, kept) == 2
    (small / "vehicles" / "van.yaml").write_text(vehicle("van", 146, 61))
    assert judged(small, kept) == 2
    (small / "vehicles" / "bus.yaml").write_text(vehicle("bus", 146, 61))
    assert judged(small, kept) == 0
    parts.write_text(parts.read_text() + "  W-7: {kind: fuse, rating_a: 3}\n")
    assert judged(small, kept) == 0
    (small / "shop.yaml").write_text("advisor: 1\nshop: New\nrate_per_h: 90\n")
    assert judged(small, kept) == 4


def test_a_file_that_is_no_store_is_begun_anew(small, tmp_path):
    kept = tmp_path / "kept"
    assert judged(small, kept) == 4
    (kept / "audit.sqlite").write_bytes(b"this is no database" * 400)
    assert judged(small, kept) == 4
    assert judged(small, kept) == 0


def test_it_lies_where_the_system_keeps_such_files(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() == tmp_path / "advisor"


def test_killed_at_any_moment_it_goes_on_from_there(small, tmp_path):
    more_packages(small, 12)
    whole, kept = 4 * 13, tmp_path / "cache" / "advisor"
    environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache"), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "advisor", "audit", str(small)]
    run = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    deadline = time.monotonic() + 120
    while _count(kept / "audit.sqlite") < 4 and run.poll() is None and time.monotonic() < deadline:
        time.sleep(0.01)
    run.send_signal(signal.SIGKILL)
    run.wait()
    there = _count(kept / "audit.sqlite")
    assert there > 0
    opened = sqlite3.connect(kept / "audit.sqlite")
    assert opened.execute("pragma integrity_check").fetchone() == ("ok",)
    opened.close()
    again = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert again.returncode == 1, again.stderr
    told = " ".join(again.stdout.split())
    assert f"{whole - there} judged now, {there} known from before" in told


def _count(path: Path) -> int:
    if not path.exists():
        return 0
    opened = sqlite3.connect(path, timeout=5)
    try:
        return int(opened.execute("select count(*) from rows").fetchone()[0])
    except sqlite3.Error:
        return 0
    finally:
        opened.close()


@pytest.mark.parametrize("workers", [2, 3])
def test_several_processes_write_the_same_bytes(small, tmp_path, workers):
    more_packages(small, 4)
    texts = []
    for count in (1, workers):
        with Store(None) as store:
            audit = audit_catalogue(open_catalogue(small, "small"), TODAY, store, count)
            folder = tmp_path / str(count)
            folder.mkdir()
            paths = write_audit(audit, [folder / f"audit{ending}" for ending in FORMS])
            texts.append([path.read_bytes() for path in paths])
    assert texts[0] == texts[1]


def test_a_fault_is_told_the_same_by_several_processes(small):
    more_packages(small, 3)
    (small / "packages" / "more-01.yaml").write_text(PACKAGE.replace("T-1", "T-7"))
    told = []
    for count in (1, 2):
        with Store(None) as store, pytest.raises(Exception, match="no part 'T-7'") as error:
            audit_catalogue(open_catalogue(small, "small"), TODAY, store, count)
        told.append(str(error.value))
    assert told[0] == told[1]
