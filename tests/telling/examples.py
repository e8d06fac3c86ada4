"""The examples as the tests of telling use them: reviewed once, on one day, whatever the working directory."""

from __future__ import annotations

import functools
from datetime import date
from pathlib import Path

from advisor.judging.review import Review, review_job
from advisor.telling.pictures.canvas import Picture
from advisor.telling.report import draw_pictures, html_report, markdown_report

ROOT = Path(__file__).parents[2]
JOBS = sorted(path.stem for path in (ROOT / "examples" / "jobs").glob("*.yaml"))
TODAY = date(2026, 11, 25)


def path_of(job: str) -> Path:
    return ROOT / "examples" / "jobs" / f"{job}.yaml"


@functools.cache
def reviewed(job: str) -> Review:
    return review_job(path_of(job), f"examples/jobs/{job}.yaml", TODAY)


@functools.cache
def pictures(job: str) -> list[Picture]:
    return draw_pictures(reviewed(job))


@functools.cache
def markdown(job: str) -> str:
    return markdown_report(reviewed(job), pictures(job), job)


@functools.cache
def page(job: str) -> str:
    return html_report(reviewed(job), pictures(job))
