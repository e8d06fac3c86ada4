"""`advisor audit` as it is run."""

from __future__ import annotations

import gc
import io
import json
import subprocess
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from advisor.cli import main
from advisor.telling.audit.progress import Progress
from tests.catalogue.conftest import PACKAGE, vehicle

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def run(*words):
    return CliRunner().invoke(main, ["audit", *map(str, words)])


def test_it_prints_the_worst_first_and_ends_with_1(small):
    result = run(small)
    assert result.exit_code == 1
    assert "1 package and 3 vehicles: 2 claims, 2 of them not kept" in " ".join(result.stdout.split())
    assert "front: must be fixed (2); way-fits-its-hole, 3.4 % past its limit\n    in van\n" in result.stdout
    assert "(is 151 mm, wanted at most 146 mm)" in " ".join(result.stdout.split())
    assert result.stderr == ""


def test_several_files_at_once(small, tmp_path):
    paths = [tmp_path / f"a.{ending}" for ending in ("md", "html", "json", "csv", "sarif", "xml")]
    result = run(small, *(word for path in paths for word in ("-o", path)))
    assert all(path.stat().st_size > 100 for path in paths)
    assert [line for line in result.stderr.splitlines() if line] == [f"wrote {path}" for path in paths]


def test_an_unknown_ending_is_refused_before_anything_is_done(small, tmp_path):
    result = run(small, "-o", tmp_path / "a.pdf")
    assert result.exit_code == 2
    assert "is none of .md, .html, .json, .csv, .sarif, .xml" in result.stderr
    assert not (tmp_path / "cache").exists()


def test_exit_codes(small, tmp_path):
    assert run(small, "--fail-on", "never").exit_code == 0
    assert run(tmp_path / "nowhere").exit_code == 2
    known = tmp_path / "known.json"
    assert run(small, "--write-baseline", known).exit_code == 1
    assert run(small, "--baseline", known, "--fail-on", "cannot tell").exit_code == 0
    assert "line" not in json.dumps([list(one) for one in json.loads(known.read_text())["findings"]])
    known.write_text("{}")
    assert run(small, "--baseline", known).exit_code == 2
    (small / "packages" / "front.yaml").write_text(PACKAGE.replace("vehicles", "vehicle"))
    result = run(small)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "did you mean 'vehicles'?" in result.stderr


def test_what_a_change_did_is_told_against_a_folder(small, tmp_path):
    import shutil

    shutil.copytree(small, tmp_path / "before")
    (small / "vehicles" / "hatch.yaml").write_text(vehicle("hatch", 145))
    result = run(small, "--changed-since", tmp_path / "before", "-o", tmp_path / "a.json")
    told = " ".join(result.stdout.split())
    assert "front in hatch for quiet, with midwoof.driver W-2: must be fixed, was" in told
    assert "midwoof left, way-fits-its-hole, falls short" in told
    changed = json.loads((tmp_path / "a.json").read_text())["changes"]
    assert {(one["vehicle"], one["choice"]) for one in changed} == {("hatch", "midwoof.driver W-2")}


def test_what_a_change_did_is_told_against_a_revision(small):
    git = ["git", "-C", str(small), "-c", "user.name=shop", "-c", "user.email=shop@example.invalid"]
    for words in (["init", "-q"], ["add", "."], ["commit", "-q", "-m", "as surveyed"]):
        subprocess.run([*git, *words], check=True)
    (small / "packages" / "front.yaml").write_text(PACKAGE.replace("W-1, W-2", "W-1, W-9"))
    told = " ".join(run(small, "--changed-since", "HEAD").stdout.split())
    assert "with midwoof.driver W-2: gone, was must be fixed" in told
    assert "with midwoof.driver W-9: new," in told
    same = " ".join(run(small, "--changed-since", "HEAD~7").stderr.split())
    assert "HEAD~7:1:1: is neither a folder nor a revision" in same


def test_a_starter_package_is_audited_as_it_stands(tmp_path):
    for name in ("packages", "vehicles", "parts"):
        (tmp_path / "c" / name).mkdir(parents=True)
    made = tmp_path / "c" / "packages" / "mine.yaml"
    assert CliRunner().invoke(main, ["new", "package", "-o", str(made)]).exit_code == 0
    made.write_text(made.read_text().replace("code-of-a-vehicle", "bus"))
    (tmp_path / "c" / "vehicles" / "bus.yaml").write_text(vehicle("bus", 160))
    result = run(tmp_path / "c", "--fail-on", "never", "-o", tmp_path / "a.json")
    assert result.exit_code == 0, result.stderr
    lines = json.loads((tmp_path / "a.json").read_text())["lines"]
    assert {(line["customer"], line["choice"]["sub"]) for line in lines} == {
        (who, size) for who in ("everyday", "loud") for size in ("small", "big")
    }


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_told_on_a_terminal_and_wiped_at_the_end():
    terminal, pipe = Terminal(), io.StringIO()
    for stream in (terminal, pipe):
        progress = Progress("audit", stream)
        progress(1, 4)
        progress(4, 4)
    assert pipe.getvalue() == ""
    assert "1/4 packages" in terminal.getvalue()
    assert " left" in terminal.getvalue()
    assert terminal.getvalue().endswith("\r")


def test_the_hook_for_commits_runs_the_command():
    hooks = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    assert [hook["id"] for hook in hooks] == ["advisor-audit", "advisor-review"]
    for hook in hooks:
        assert hook["language"] == "python"
        assert hook["entry"].split()[0] == "advisor"
        assert hook["entry"].split()[1] in main.commands
    assert hooks[0]["pass_filenames"] is False


def test_an_audit_lets_go_of_what_it_is_done_with(small, monkeypatch):
    """Short commands never look for circles of objects; one that may run for hours has to."""
    monkeypatch.setattr("advisor.catalogue.workers.TIDIED", 1)
    before = gc.get_stats()[2]["collections"]
    gc.disable()
    try:
        run(small)
    finally:
        gc.enable()
    assert gc.get_stats()[2]["collections"] > before
    gc.unfreeze()
