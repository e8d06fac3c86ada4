"""Jobs of the examples with a few things changed at random, written beside a copy of their library."""

from __future__ import annotations

import random
import shutil
from datetime import date
from pathlib import Path
from typing import Any

from advisor.errors import AdvisorError
from advisor.judging.review import Review, review_system
from advisor.judging.trials import Trials
from advisor.reading.edits import flow
from advisor.reading.reader import OpenJob

EXAMPLES = Path(__file__).parents[2] / "examples"
TODAY = date(2026, 11, 25)
SOUND = ("sound", "all-active")


def shelf(folder: Path) -> Path:
    """Return a folder of jobs beside a copy of the examples' library."""
    shutil.copytree(EXAMPLES / "library", folder / "library")
    jobs = folder / "jobs"
    jobs.mkdir()
    return jobs


def written(jobs: Path, data: Any, name: str = "job.yaml") -> Path:
    """Write a job; values as one line of YAML each, so that every one has a place of its own."""
    path = jobs / name
    path.write_text("".join(f"{flow({key: value})[1:-1]}\n" for key, value in data.items()), encoding="utf-8")
    return path


def opened(path: Path) -> tuple[OpenJob, Review, Trials]:
    """Open a job, review it, and be ready to try changes on it."""
    job = OpenJob(path, "job.yaml")
    review = review_system(job.system, TODAY)
    return job, review, Trials(review, job, TODAY)


def perturbed(jobs: Path, seed: int) -> tuple[OpenJob, Review, Trials]:
    """Return a sound job of the examples with one to three things changed at random, the same for the same seed."""
    draw = random.Random(seed)
    while True:
        source = OpenJob(EXAMPLES / "jobs" / f"{draw.choice(SOUND)}.yaml")
        data = _copied(source.source.data)
        for _ in range(draw.randint(1, 3)):
            draw.choice((_a_number, _an_edge, _a_driver, _a_device, _a_place, _a_cable, _work_left_out))(
                data, source, draw
            )
        try:
            return opened(written(jobs, data))
        except AdvisorError:  # a change that no file may hold
            continue


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _a_number(data: Any, source: OpenJob, draw: random.Random) -> None:
    holder, name = draw.choice(
        [
            (data["customer"], "budget"),
            (data["customer"], "loudness_db"),
            (data["supply"], "run_m"),
            (data["supply"], "fuse_a"),
            (data["supply"], "fuse_from_battery_m"),
            *(
                (way["box"], key)
                for way in data["ways"].values()
                if isinstance(way.get("box"), dict)
                for key in ("closed_l", "vented_l", "tuned_hz", "port_mm")
            ),
        ]
    )
    if isinstance(holder.get(name), int | float):
        factor = draw.uniform(0.94, 1.1) if name == "loudness_db" else draw.choice((0.3, 0.5, 0.7, 1.4, 2.0, 3.0))
        holder[name] = round(holder[name] * factor, 2)


def _an_edge(data: Any, source: OpenJob, draw: random.Random) -> None:
    way = draw.choice([way for way in data["ways"].values() if way.get("plays")])
    index = draw.randrange(2)
    words = str(way["plays"][index]).split()
    if words[0] != "open":
        hz = round(float(words[0]) * draw.choice((0.4, 0.6, 0.8, 1.25, 1.6, 2.5)))
        way["plays"] = [*way["plays"]]
        way["plays"][index] = " ".join([str(hz), *words[1:]])


def _a_driver(data: Any, source: OpenJob, draw: random.Random) -> None:
    draw.choice(list(data["ways"].values()))["driver"] = draw.choice(source.library.codes("driver"))


def _a_device(data: Any, source: OpenJob, draw: random.Random) -> None:
    device = draw.choice(list(data["chain"].values()))
    kind = next((kind for kind in ("amplifier", "processor") if kind in device), None)
    if kind is not None:
        device[kind] = draw.choice(source.library.codes(kind))


def _a_place(data: Any, source: OpenJob, draw: random.Random) -> None:
    taker = draw.choice([*data["ways"].values(), *data["chain"].values()])
    if "at" in taker:
        taker["at"] = draw.choice(list(source.system.vehicle.locations))


def _a_cable(data: Any, source: OpenJob, draw: random.Random) -> None:
    holders = [data["supply"], *(way["speaker_cable"] for way in data["ways"].values() if "speaker_cable" in way)]
    draw.choice(holders)["cable"] = draw.choice(source.library.codes("cable"))


def _work_left_out(data: Any, source: OpenJob, draw: random.Random) -> None:
    draw.choice(list(data["ways"].values())).pop("work", None)
