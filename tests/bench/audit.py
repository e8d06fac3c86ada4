"""Measures an audit of a big catalogue against parsing its package files, side by side in one run.

    python -m tests.bench.audit [packages] [vehicles] [workers]

Writes an invented catalogue, then measures: PyYAML's C loader alone over the package files; a cold audit; a warm one;
one after a single datasheet was corrected. Prints seconds, ratios, lines judged, and the peak memory of the audit's
process. Nothing is asserted: a test that looks at the clock fails on a busy day.
"""

from __future__ import annotations

import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import yaml

from tests.catalogue.invented import write_big

ROOT = Path(__file__).parents[2]
CORRECTED = ("sensitivity_db: 91.9", "sensitivity_db: 91.8")


def parsed(folder: Path) -> float:
    """Return how long PyYAML's C loader takes for all package files [s], the best of three."""
    texts = [path.read_text(encoding="utf-8") for path in sorted((folder / "packages").glob("*.yaml"))]
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        for text in texts:
            yaml.load(text, Loader=yaml.CSafeLoader)
        taken.append(time.perf_counter() - start)
    return min(taken)


def audited(folder: Path, cache: Path, workers: int) -> tuple[float, str, float]:
    """Return how long an audit takes [s], how many lines were judged, and its peak memory [MB]."""
    command = [sys.executable, "-m", "advisor", "audit", str(folder), "--workers", str(workers), "--fail-on", "never"]
    start = time.perf_counter()
    run = subprocess.run(
        command,
        cwd=ROOT,
        env={**os.environ, "XDG_CACHE_HOME": str(cache)},
        capture_output=True,
        text=True,
        check=True,
    )
    taken = time.perf_counter() - start
    judged = re.search(r"(\d+) judged now, (\d+)\s+known", " ".join(run.stdout.split()))
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return taken, f"{judged[1]} judged, {judged[2]} known" if judged else "?", peak


def main() -> None:
    given = [int(word) for word in sys.argv[1:]]
    packages, vehicles, workers = (given + [500, 20, 2][len(given) :])[:3]
    with tempfile.TemporaryDirectory() as place:
        folder, cache = Path(place, "catalogue"), Path(place, "cache")
        write_big(folder, packages, vehicles)
        floor = parsed(folder)
        print(f"{packages} packages × {vehicles} vehicles; parsing the package files alone: {floor:.3f} s")  # noqa: T201
        cold = 0.0
        for name in ("cold", "warm", "one datasheet corrected"):
            if name == "one datasheet corrected":
                sheet = folder / "parts" / "tweeters.yaml"
                text = sheet.read_text(encoding="utf-8")
                assert CORRECTED[0] in text
                sheet.write_text(text.replace(*CORRECTED, 1), encoding="utf-8")
            taken, judged, peak = audited(folder, cache, workers)
            cold = cold or taken
            ratios = f"{taken / floor:8.1f} × parsing, {taken / cold:5.2f} × cold"
            print(f"{name:<24} {taken:8.2f} s {ratios}; {judged}; peak {peak:.0f} MB")  # noqa: T201


if __name__ == "__main__":
    main()
