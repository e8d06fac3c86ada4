"""What `advisor sheet` promises a shell: where text goes, which files it writes, what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from tests.telling.examples import path_of


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def run(*arguments: str | Path) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert "Traceback" not in result.output
    return result


def left_behind() -> set[str]:
    return {path.name for path in Path().iterdir()}


def test_without_a_file_it_is_shown_and_nothing_is_left():
    result = run("sheet", path_of("sound"))
    assert result.exit_code == 0
    assert result.stdout.startswith("Bench sheet: Short-wheelbase camper")
    assert "front 5 > midwoof left" in result.stdout
    assert result.stderr == ""
    assert left_behind() == set()


def test_every_kind_of_file_is_written_and_named():
    result = run("sheet", path_of("sound"), "-o", "a.md", "-o", "b.html", "-o", "c.csv")
    assert result.exit_code == 0
    assert result.stdout == ""
    assert left_behind() == {"a.md", "a-time.svg", "a-money.svg", "b.html", "c.csv"}
    assert [line.removeprefix("wrote ") for line in result.stderr.splitlines()] == [
        "a-time.svg", "a-money.svg", "a.md", "b.html", "c.csv"
    ]  # fmt: skip
    assert "](a-time.svg)" in Path("a.md").read_text(encoding="utf-8")
    assert Path("b.html").read_text(encoding="utf-8").count("<svg") == 2
    assert Path("c.csv").read_bytes().startswith(b"\xef\xbb\xbfsection,")


def test_a_design_that_fails_still_has_its_sheet_and_says_so():
    result = run("sheet", path_of("faults"), "-o", "faults.md")
    assert result.exit_code == 0
    assert "Do not build from this sheet yet" in Path("faults.md").read_text(encoding="utf-8")


def test_another_ending_is_refused_before_anything_is_read():
    result = run("sheet", "no-such-job.yaml", "-o", "sheet.xls")
    assert result.exit_code == 2
    assert "none of .md, .html and .csv" in result.stderr


def test_a_job_that_cannot_be_read_is_told_of():
    result = run("sheet", "no-such-job.yaml")
    assert result.exit_code == 2
    assert "no-such-job.yaml" in result.stderr
    assert result.stdout == ""


def test_a_place_that_cannot_be_written_leaves_what_was_there():
    Path("there").mkdir()
    result = run("sheet", path_of("quick"), "-o", "nowhere/sheet.csv")
    assert result.exit_code == 2
    assert "nowhere/sheet.csv" in result.stderr
    assert left_behind() == {"there"}


def test_two_runs_write_the_same_bytes():
    for name in ("one", "two"):
        run("sheet", path_of("sound"), "-o", f"{name}.html", "-o", f"{name}.csv")
    assert Path("one.html").read_bytes() == Path("two.html").read_bytes()
    assert Path("one.csv").read_bytes() == Path("two.csv").read_bytes()
