"""The examples as the tests of telling use them: reviewed once, on one day, whatever the working directory."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from advisor.judging.remedies import Place, WayOut
from advisor.judging.review import Review, review_system
from advisor.judging.trials import Trials
from advisor.reading.reader import OpenJob
from advisor.telling.pictures.canvas import Picture
from advisor.telling.report import draw_pictures, html_report, markdown_report
from advisor.telling.ways_out import find_ways_out

ROOT = Path(__file__).parents[2]
JOBS = sorted(path.stem for path in (ROOT / "examples" / "jobs").glob("*.yaml"))
TODAY = date(2026, 11, 25)


def path_of(job: str) -> Path:
    return ROOT / "examples" / "jobs" / f"{job}.yaml"


@functools.cache
def opened(job: str) -> OpenJob:
    return OpenJob(path_of(job), f"examples/jobs/{job}.yaml")


@functools.cache
def reviewed(job: str) -> Review:
    return review_system(opened(job).system, TODAY)


@functools.cache
def ways_out(job: str) -> Mapping[Place, WayOut]:
    return find_ways_out(Trials(reviewed(job), opened(job), TODAY))


@functools.cache
def pictures(job: str) -> list[Picture]:
    return draw_pictures(reviewed(job))


@functools.cache
def markdown(job: str) -> str:
    return markdown_report(reviewed(job), pictures(job), job, ways_out(job))


@functools.cache
def without_ways_out(job: str) -> str:
    """The report with what was found alone: a way out speaks of another job, which was reviewed by itself."""
    return markdown_report(reviewed(job), pictures(job), job)


@functools.cache
def page(job: str) -> str:
    return html_report(reviewed(job), pictures(job), ways_out(job))
