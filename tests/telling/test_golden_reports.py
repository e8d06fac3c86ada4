"""The reports of the examples are what they were: our own output, kept to see changes; it proves nothing else."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from tests.telling.examples import JOBS, markdown, path_of
from tests.telling.renew_golden import GOLDEN

RENEW = "If every line of it is meant, renew with: python -m tests.telling.renew_golden"


def test_there_are_examples_and_a_golden_report_of_each_and_no_other() -> None:
    assert len(JOBS) >= 5
    assert sorted(path.stem for path in GOLDEN.glob("*.md")) == JOBS, RENEW


@pytest.mark.parametrize("job", JOBS)
def test_report_is_as_it_was(job: str) -> None:
    before, now = (GOLDEN / f"{job}.md").read_text(encoding="utf-8"), markdown(job)
    if before != now:
        lines = difflib.unified_diff(
            before.splitlines(), now.splitlines(), f"golden/{job}.md", "as written now", lineterm="", n=1
        )
        pytest.fail("\n".join(["the report is no longer as it was:", *lines, RENEW]), pytrace=False)


@pytest.mark.parametrize("job", JOBS)
def test_report_does_not_tell_where_it_was_made(job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.judging.review import review_job
    from advisor.telling.report import markdown_report
    from tests.telling.examples import TODAY, pictures, ways_out

    monkeypatch.chdir(tmp_path)
    again = review_job(path_of(job), f"examples/jobs/{job}.yaml", TODAY)
    text = markdown_report(again, pictures(job), job, ways_out(job))
    assert text == markdown(job)
    assert str(tmp_path) not in text and str(path_of(job).parent) not in text
