"""Processes that judge: whoever ends early is noticed, and nobody is left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from advisor.catalogue.crew import Crew, WorkerLost
from tests.catalogue.test_store import ROOT, _count, more_packages

LINUX = pytest.mark.skipif(sys.platform != "linux", reason="looks for processes where Linux lists them")
BOTH = pytest.mark.parametrize("copies", [False, pytest.param(True, marks=LINUX)])


def begin():
    return work


def work(number: int) -> int:
    if number == 13:
        os.kill(os.getpid(), signal.SIGKILL)
    if number == 12:
        raise LookupError("no twelve here")
    return number * number


def told(numbers: list[int], copies: bool) -> str:
    """What a crew of two answers, in a process of its own: this one has threads of libraries, and is not copied."""
    script = f"from tests.catalogue.test_workers import answers; print(answers({numbers}, {copies}))"
    run = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    return run.stdout.strip()


def answers(numbers: list[int], copies: bool) -> str:
    try:
        with Crew(begin, 2, copies=copies) as crew:
            for place, number in enumerate(numbers):
                crew.ask(place % 2, number)
            return str(sorted(crew.answers()))
    except (WorkerLost, LookupError) as error:
        return f"{type(error).__name__}: {error}; {'in work' in ''.join(getattr(error, '__notes__', ()))}"


@BOTH
def test_each_answers_what_it_was_asked(copies):
    assert told([1, 2, 3, 4, 5], copies) == str([(0, 1), (0, 9), (0, 25), (1, 4), (1, 16)])


@BOTH
def test_one_that_is_killed_is_told(copies):
    assert "WorkerLost: a process that judges ended by signal 9 before it was done" in told([1, 13, 3, 4], copies)


@BOTH
def test_what_goes_wrong_in_one_is_thrown_here_with_where_it_was(copies):
    assert told([1, 2, 12, 4], copies) == "LookupError: no twelve here; True"


@LINUX
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_however_an_audit_is_ended_its_workers_end(small, tmp_path, how):
    more_packages(small, 60)
    environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "advisor", "audit", str(small), "--workers", "2"]
    run = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    deadline = time.monotonic() + 120
    while _count(tmp_path / "advisor" / "audit.sqlite") < 4 and run.poll() is None and time.monotonic() < deadline:
        time.sleep(0.01)
    workers = Path(f"/proc/{run.pid}/task/{run.pid}/children").read_text().split()
    assert len(workers) == 2
    run.send_signal(how)
    _, said = run.communicate(timeout=60)
    assert run.returncode != 0
    assert "Traceback" not in said
    while any(map(runs, workers)) and time.monotonic() < deadline:
        time.sleep(0.01)
    assert not any(map(runs, workers))


def runs(pid: str) -> bool:
    try:
        return Path("/proc", pid, "stat").read_text().rpartition(")")[2].split()[0] != "Z"  # one nobody asked after
    except OSError:
        return False


@LINUX
def test_the_command_has_copies_of_itself_judge(small, tmp_path):
    """It loads nothing that runs threads of its own; else each worker would read and load everything anew."""
    more_packages(small, 2)
    script = (
        "import sys, advisor.catalogue.crew as crew, advisor.cli\n"
        "crew._serve = lambda begin, *rest, serve=crew._serve: "
        "(print(f\"copied {'numpy' in sys.modules}\\n\", end='', flush=True), serve(begin, *rest))\n"
        f"sys.argv = ['advisor', 'audit', {str(small)!r}, '--workers', '2', '--fail-on', 'never']\n"
        "advisor.cli.run()\n"
    )
    environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path), "PYTHONPATH": str(ROOT)}
    run = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True)
    assert run.stdout.count("copied True") == 2
