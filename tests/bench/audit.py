"""Measures an audit of a big catalogue against parsing its package files, side by side in one run.

    python -m tests.bench.audit [packages] [vehicles] [workers]

Writes an invented catalogue, then measures: PyYAML's C loader alone over the package files; a cold audit; a warm one;
one after a single datasheet was corrected. Prints seconds of the clock and of the processors, ratios of both, lines
judged, and the peak memory of the largest process. Where others share the machine the processors' seconds tell more:
divided by the cores they are what the clock would show on an idle one.

Nothing is asserted: a test that looks at the clock fails on a busy day.
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


def parsed(folder: Path) -> tuple[float, float]:
    """Return how long PyYAML's C loader takes for all package files, by clock and processor [s], the best of three."""
    texts = [path.read_text(encoding="utf-8") for path in sorted((folder / "packages").glob("*.yaml"))]
    taken = []
    for _ in range(3):
        start, own = time.perf_counter(), time.process_time()
        for text in texts:
            yaml.load(text, Loader=yaml.CSafeLoader)
        taken.append((time.perf_counter() - start, time.process_time() - own))
    return min(taken)


def audited(folder: Path, cache: Path, workers: int) -> tuple[float, float, str, float]:
    """Return how long an audit takes by clock and processors [s], how many lines were judged, its peak memory [MB]."""
    command = [sys.executable, "-m", "advisor", "audit", str(folder), "--workers", str(workers), "--fail-on", "never"]
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    start, own = time.perf_counter(), _processors()
    run = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=True)
    taken, own = time.perf_counter() - start, _processors() - own
    judged = re.search(r"(\d+) judged now, (\d+)\s+known", " ".join(run.stdout.split()))
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return taken, own, f"{judged[1]} judged, {judged[2]} known" if judged else "?", peak


def _processors() -> float:
    """Return what children took of the processors so far [s], their own children included."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main() -> None:
    given = [int(word) for word in sys.argv[1:]]
    packages, vehicles, workers = (given + [500, 20, 2][len(given) :])[:3]
    with tempfile.TemporaryDirectory() as place:
        folder, cache = Path(place, "catalogue"), Path(place, "cache")
        write_big(folder, packages, vehicles)
        floor, own_floor = parsed(folder)
        print(f"{packages} packages × {vehicles} vehicles, {workers} workers on {os.cpu_count()} cores")  # noqa: T201
        print(f"{'parsing the files alone':<24} {floor:8.2f} s of the clock, {own_floor:8.2f} s of processors")  # noqa: T201
        cold = 0.0
        for name in ("cold", "warm", "one datasheet corrected"):
            if name == "one datasheet corrected":
                sheet = folder / "parts" / "tweeters.yaml"
                text = sheet.read_text(encoding="utf-8")
                assert CORRECTED[0] in text
                sheet.write_text(text.replace(*CORRECTED, 1), encoding="utf-8")
            taken, own, judged, peak = audited(folder, cache, workers)
            cold = cold or own
            times = f"{taken:8.2f} s of the clock ({taken / floor:.1f} × parsing), {own:8.2f} s of processors"
            ratios = f"({own / own_floor:.1f} × parsing, {own / cold:.3f} × cold)"
            print(f"{name:<24} {times} {ratios}; {judged}; peak {peak:.0f} MB", flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
