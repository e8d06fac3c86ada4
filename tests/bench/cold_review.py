"""Measures a cold review against the bare imports it cannot do without, side by side in one run.

    python -m tests.bench.cold_review [rounds]

Prints the median of each and their ratio. Nothing is asserted: a test that looks at the clock fails on a busy day.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
IMPORTS = "import yaml, click, jinja2, numpy, pydantic"
COMMANDS = {
    "bare imports": [sys.executable, "-c", IMPORTS],
    "numpy alone": [sys.executable, "-c", "import numpy"],
    "review, no pictures": [sys.executable, "-m", "advisor", "review", "examples/jobs/sound.yaml"],
    "review, with pictures": [
        sys.executable, "-m", "advisor", "review", "examples/jobs/sound.yaml", "-o", "{folder}/report.html"
    ],
    "rule page": [sys.executable, "-m", "advisor", "rule", "way-reaches-its-low-edge"],
}  # fmt: skip


def measure(rounds: int, folder: str) -> dict[str, float]:
    """Run every command in turn, so that a slow moment of the machine touches all, and return medians [s]."""
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(rounds):
        for name, command in COMMANDS.items():
            start = time.perf_counter()
            subprocess.run([part.format(folder=folder) for part in command], cwd=ROOT, capture_output=True, check=True)
            taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def main() -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        medians = measure(int(sys.argv[1]) if len(sys.argv) > 1 else 7, folder)
    floor = medians["bare imports"]
    for name, median in medians.items():
        print(f"{name:<22} {median:6.3f} s   {median / floor:5.2f} × bare imports")  # noqa: T201


if __name__ == "__main__":
    main()
