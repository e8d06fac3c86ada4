"""What is told of a job that is edited: cells taken over from a review before read as if written anew."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from advisor.judging.again import review_again
from advisor.judging.review import review_system
from advisor.reading.rereading import JobOnDisk
from advisor.telling.changes import Teller
from advisor.telling.figures import tables
from tests.bench.review_again import EDITS

EXAMPLES = Path(__file__).parents[2] / "examples"
TODAY = date(2026, 11, 25)
CURRENCY = ("library/shop.yaml", "rate_per_h: 72", "currency: CHF\nrate_per_h: 72")


def test_cells_that_are_taken_over_read_as_if_written_anew(tmp_path):
    for part in ("jobs", "library"):
        shutil.copytree(EXAMPLES / part, tmp_path / part)
    job = JobOnDisk(tmp_path / "jobs" / "sound.yaml", "jobs/sound.yaml")
    review = review_system(job.read(), TODAY)
    teller = Teller(review)
    for path, old, new in [*EDITS.values(), CURRENCY]:
        text = (tmp_path / path).read_text(encoding="utf-8")
        assert old in text
        (tmp_path / path).write_text(text.replace(old, new), encoding="utf-8")
        review = review_again(review, job.read(), TODAY)
        said = teller.tell(review)
        assert teller._tables == tables(review)
    assert " EUR → " in said and "CHF" in said
