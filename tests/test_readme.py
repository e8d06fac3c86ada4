"""The README's examples are run, and what they print is what it shows."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
TOUR = re.findall(r"```console\n\$ advisor (.*)\n([\s\S]*?)```", TEXT)


@pytest.mark.parametrize(("command", "shown"), TOUR, ids=[command for command, _ in TOUR])
def test_the_tour_shows_what_is_printed(command: str, shown: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    printed = CliRunner().invoke(main, shlex.split(command)).stdout
    position = 0
    for piece in shown.split("…\n"):
        found = printed.find(piece, position)
        assert found >= 0, f"not printed (or not in this order):\n{piece}\nbut:\n{printed}"
        position = found + len(piece)


def test_the_quick_check_is_a_valid_job(tmp_path: Path) -> None:
    job = re.search(r"```yaml\n([\s\S]*?)```", TEXT)
    assert job is not None
    path = tmp_path / "quick.yaml"
    path.write_text(job[1], encoding="utf-8")
    result = CliRunner().invoke(main, ["review", str(path)])
    assert result.exit_code == 1
    assert "mid is asked to play from 200 Hz" in result.stdout


def test_there_are_exactly_two_set_up_commands() -> None:
    commands = re.findall(r"^    (python3 -m venv .*)$", TEXT, re.MULTILINE)
    assert len(commands) == 2
    assert "advisor review examples/" in commands[0]
    assert commands[1].endswith("-m pytest -n auto")
