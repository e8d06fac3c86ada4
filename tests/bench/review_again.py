"""Measures reviews again after edits against a review by a process of its own, side by side in one run.

    python -m tests.bench.review_again [rounds]

For each edit of the sound example: the time to read what changed, review again and say what changed, as `--watch`
does it, and how many times longer a cold process takes for the edited job. Findings of both are compared on the way.
Nothing is asserted of the clock: a test that looks at it fails on a busy day.
"""

from __future__ import annotations

import gc
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from advisor.judging.again import review_again
from advisor.judging.review import Review, review_system
from advisor.reading.rereading import JobOnDisk
from advisor.telling.changes import Teller
from advisor.telling.data import review_data

ROOT = Path(__file__).parents[2]
HERE = {**os.environ, "PYTHONPATH": str(ROOT)}
COLD = [sys.executable, "-m", "advisor", "review", "jobs/sound.yaml"]
EDITS = {
    "a remark": ("jobs/sound.yaml", "advisor: 1", "# a remark\nadvisor: 1"),
    "budget": ("jobs/sound.yaml", "budget: 5900", "budget: 5000"),
    "fuse": ("jobs/sound.yaml", "fuse_a: 100", "fuse_a: 80"),
    "litres of the box": ("jobs/sound.yaml", "vented_l: 36", "vented_l: 40"),
    "an edge of two ways": ("jobs/sound.yaml", "380 LR24", "420 LR24"),
    "another place": ("jobs/sound.yaml", "at: kitchen-block", "at: seat-base-right"),
    "another mid": ("jobs/sound.yaml", "driver: M-80A", "driver: M-80B"),
    "a price in the library": ("library/parts/subs.yaml", "price: 2", "price: 3"),
}  # fmt: skip


def again(job: JobOnDisk, before: Review, teller: Teller) -> tuple[Review, float]:
    """Review again and return how long it took [s]; garbage is left lying, as in the command."""
    start = time.perf_counter()
    review = review_again(before, job.read(), date.today())
    teller.tell(review)
    return review, time.perf_counter() - start


def cold(folder: Path) -> float:
    start = time.perf_counter()
    run = subprocess.run(COLD, cwd=folder, env=HERE, capture_output=True, check=False)
    took_s = time.perf_counter() - start
    assert run.returncode in (0, 1), run.stderr.decode()
    return took_s


def same(folder: Path, review: Review) -> bool:
    """Whether a process of its own finds the same."""
    code = (
        "import json; from pathlib import Path; from advisor.judging.review import review_job;"
        "from advisor.telling.data import review_data;"
        "print(json.dumps(review_data(review_job(Path('jobs/sound.yaml')))))"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=folder, env=HERE, capture_output=True, check=True)
    return bool(json.loads(run.stdout) == json.loads(json.dumps(review_data(review))))


def measure(folder: Path, rounds: int) -> None:
    job = JobOnDisk(folder / "jobs" / "sound.yaml", "jobs/sound.yaml")
    review = review_system(job.read(), date.today())
    teller = Teller(review)
    for name, (path, old, new) in EDITS.items():
        place = folder / path
        text = place.read_text(encoding="utf-8")
        assert old in text, name
        times, colds = [], []
        for _ in range(rounds):
            for version in (text.replace(old, new), text):
                place.write_text(version, encoding="utf-8")
                time.sleep(0.02)  # two states of a file are told apart by the time it was written
                review, took_s = again(job, review, teller)
                times.append(took_s)
                gc.collect()
            colds.append(cold(folder))
        place.write_text(text.replace(old, new), encoding="utf-8")
        review, _ = again(job, review, teller)
        equal = "same findings" if same(folder, review) else "OTHER FINDINGS"
        place.write_text(text, encoding="utf-8")
        review, _ = again(job, review, teller)
        taken, whole = statistics.median(times), statistics.median(colds)
        print(f"{name:<24} {taken * 1000:6.1f} ms   cold {whole:6.3f} s   {whole / taken:5.1f} times faster, {equal}")  # noqa: T201


def main() -> None:
    gc.disable()
    with tempfile.TemporaryDirectory() as folder:
        for part in ("jobs", "library"):
            shutil.copytree(ROOT / "examples" / part, Path(folder) / part)
        measure(Path(folder), int(sys.argv[1]) if len(sys.argv) > 1 else 5)


if __name__ == "__main__":
    main()
