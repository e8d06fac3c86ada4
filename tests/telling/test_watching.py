"""Watching a job: what is told at first, on saves, of faulty files, and what the command ends with."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.telling.watching import Watch
from tests.judging.edits import save
from tests.telling.examples import ROOT

JOB = """\
advisor: 1
job: Two ways
library: [lib]
ways:
  mid: {driver: MD, plays: [400 LR24, open]}
  sub: {driver: {type: sub, size_in: 10}, plays: [30 LR24, 400 LR24]}
"""
PART = "advisor: 1\nparts:\n  MD: {kind: driver, size_in: 3, price: 40}\n"
LOW = JOB.replace("400 LR24, open", "60 LR24, open")
FAULTY = JOB.replace("driver: MD", "driver: MDD")


class Bench:
    """A folder with a job in it, and a watch over it that meets one edit each time it looks around."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(folder)
        self.job = Path("job.yaml")
        save(self.job, JOB)
        save(Path("lib/parts/mids.yaml"), PART)
        self.told: list[str] = []
        self.faults: list[str] = []

    def watch(self, *edits: Callable[[], object]) -> Watch:
        """Watch until all edits were made, one at each rest, and there was time to see the last."""
        steps: Iterator[Callable[[], object]] = iter(edits)
        rests = [0]

        def sleep(seconds: float) -> None:
            rests[0] += 1
            if rests[0] % 5:  # in between it has all the time it wants
                return
            step = next(steps, None)
            if step is None:
                raise KeyboardInterrupt
            step()

        watch = Watch(self.job, self.told.append, self.faults.append, sleep)
        watch.run()
        return watch

    def save(self, text: str, path: str = "job.yaml") -> Callable[[], None]:
        return lambda: save(Path(path), text)


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    return Bench(tmp_path, monkeypatch)


def test_at_first_the_whole_review_is_told_then_nothing_until_a_save(bench: Bench) -> None:
    watch = bench.watch()
    assert "Two ways" in bench.told[0] and "checks held" in bench.told[0]
    assert "Ctrl-C ends" in bench.told[1] and len(bench.told) == 2
    assert bench.faults == [] and watch.exit_code("must") == 0


def test_a_save_tells_what_is_new_and_the_next_what_is_gone(bench: Bench) -> None:
    watch = bench.watch(bench.save(LOW))
    heading, changes = bench.told[2:]
    assert re.search(r"job\.yaml.*: reviewed again in [0-9]+ ms", heading)
    assert "+ mid" in plain(changes) and "way-reaches-its-low-edge" in changes
    assert "Before, it held." in changes and "asked from 400 Hz → 60 Hz" in changes
    bench.told.clear()
    bench.watch(bench.save(JOB))
    assert "Gone" in plain(bench.told[3]) and "- mid" in plain(bench.told[3]) and "holds now" in bench.told[3]
    assert watch.exit_code("trade-off") == 1


def test_a_save_that_changes_nothing_says_so(bench: Bench) -> None:
    bench.watch(bench.save("# a remark\n" + JOB))
    assert "Nothing the review tells has changed." in bench.told[3]


def test_a_save_of_the_library_counts(bench: Bench) -> None:
    bench.watch(bench.save(PART.replace("size_in: 3", "size_in: 8"), "lib/parts/mids.yaml"))
    assert "mids.yaml" in bench.told[2] and "mid" in bench.told[3]


def test_a_new_file_of_the_library_counts(bench: Bench) -> None:
    bench.watch(bench.save("advisor: 1\nparts: {MD: {kind: driver}}\n", "lib/parts/more.yaml"))
    assert "'MD' is also in lib/parts/mids.yaml:3:7" in bench.faults[0] and "more.yaml" in bench.faults[0]


def test_faults_are_told_and_the_last_good_review_is_what_the_next_is_held_against(bench: Bench) -> None:
    watch = bench.watch(bench.save(FAULTY), bench.save(LOW))
    assert len(bench.faults) == 1 and "no part 'MDD'" in bench.faults[0] and "job.yaml:5:17" in bench.faults[0]
    assert "mended and reviewed again" in bench.told[2] and "+ mid" in plain(bench.told[3])
    assert watch.exit_code("must") in (0, 1)


def test_ended_while_faulty_it_is_2(bench: Bench) -> None:
    assert bench.watch(bench.save(FAULTY)).exit_code("never") == 2


def test_a_job_that_is_faulty_from_the_start_is_waited_for(bench: Bench) -> None:
    save(bench.job, FAULTY)
    bench.watch(bench.save(JOB))
    assert "no part 'MDD'" in bench.faults[0] and "Two ways" in bench.told[0]


def test_a_library_that_comes_to_be_there_is_seen(bench: Bench) -> None:
    save(bench.job, JOB.replace("[lib]", "[lib, other]"))
    bench.watch(bench.save("advisor: 1\nparts: {}\n", "other/parts/none.yaml"))
    assert "no folder 'other'" in bench.faults[0] and "Two ways" in bench.told[0]


def test_a_waiver_of_nothing_is_a_fault_like_any_other(bench: Bench) -> None:
    waiver = "waive: [{rule: no-such-rule, at: mid, reason: none, until: 2030-01-01, by: us}]\n"
    bench.watch(bench.save(JOB + waiver), bench.save("# mended\n" + JOB))
    assert "there is no rule 'no-such-rule'" in bench.faults[0]
    assert "Nothing the review tells has changed." in bench.told[3]


@pytest.mark.parametrize("half", ["", LOW[:60]], ids=["emptied", "half written"])
def test_a_file_that_is_being_written_is_not_told_faulty(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, half: str
) -> None:
    bench = Bench(tmp_path, monkeypatch)
    written = iter([bench.save(half), lambda: None, bench.save(LOW), lambda: None, lambda: None, lambda: None])
    watch = Watch(bench.job, bench.told.append, bench.faults.append, lambda _: next(written, interrupt)())
    watch.run()
    assert bench.faults == [] and "+ mid" in plain(bench.told[3])


def test_a_file_moved_into_place_is_seen_when_it_is_there(bench: Bench) -> None:
    def beside() -> None:
        save(Path(".job.yaml.new"), LOW)
        bench.job.unlink()

    steps = iter([beside, lambda: None, lambda: Path(".job.yaml.new").rename(bench.job), *[lambda: None] * 3])
    watch = Watch(bench.job, bench.told.append, bench.faults.append, lambda _: next(steps, interrupt)())
    watch.run()
    assert bench.faults == [] and "+ mid" in plain(bench.told[3])


def interrupt() -> None:
    raise KeyboardInterrupt


def plain(text: str) -> str:
    return re.sub(r"\x1b\[[0-9;]*m", "", text)


@pytest.mark.parametrize("more", [["-o", "x.html"], ["--json"]])
def test_watching_writes_no_reports(bench: Bench, more: list[str]) -> None:
    result = CliRunner().invoke(main, ["review", "job.yaml", "--watch", *more])
    assert result.exit_code == 2 and "--watch" in result.stderr and not Path("x.html").exists()


@pytest.mark.parametrize(("text", "fail_on", "code"), [(JOB, "must", 0), (LOW, "trade-off", 1), (FAULTY, "must", 2)])
def test_the_command_stays_until_it_is_interrupted(bench: Bench, text: str, fail_on: str, code: int) -> None:
    save(bench.job, text)
    command = [sys.executable, "-m", "advisor", "review", "job.yaml", "--watch", "--fail-on", fail_on]
    told = []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:  # fmt: skip
        assert process.stdout
        for line in process.stdout:
            told.append(line)
            if "Ctrl-C ends" in line or "cannot be used" in line:
                process.send_signal(signal.SIGINT)
    assert process.returncode == code
    assert "Traceback" not in "".join(told) and "\x1b" not in "".join(told)
