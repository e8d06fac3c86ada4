"""The sheet as a table file, read back by another library as a spreadsheet program would."""

from __future__ import annotations

import io

import pandas
import pytest

from advisor.telling.sheet.build import build_sheet
from advisor.telling.sheet.cells import Sheet
from advisor.telling.sheet.table_file import COLUMNS, FORMULA, sheet_csv
from tests.facts.jobs import changed, review
from tests.telling.examples import JOBS, reviewed

TEXTS = [name for name in COLUMNS if name not in ("value", "line")]


def frame_of(made: Sheet, currency: str = "EUR") -> pandas.DataFrame:
    return pandas.read_csv(io.BytesIO(sheet_csv(made, currency).encode("utf-8")), encoding="utf-8-sig")


@pytest.fixture(scope="module", params=JOBS)
def job(request):
    return request.param


@pytest.fixture(scope="module")
def frame(job):
    return frame_of(build_sheet(reviewed(job)))


def test_columns_are_typed(frame):
    assert tuple(frame.columns) == COLUMNS
    assert frame["value"].dtype == "float64"
    assert frame["line"].dtype == "float64"
    for name in TEXTS:
        assert all(isinstance(value, str) for value in frame[name].dropna())


def test_numbers_are_those_of_the_facts_with_the_unit_in_its_own_column(job, frame):
    engine = reviewed(job).engine
    numbers = frame[frame["value"].notna()]
    assert len(numbers) > (150 if job != "quick" else 5)
    for row in numbers.itertuples():
        reading = engine.ask(*engine.find(row.fact))
        assert row.value == pytest.approx(reading.value, abs=1e-6)
        unit = reading.unit.replace("money", "EUR")
        assert (row.unit if isinstance(row.unit, str) else "") == unit
        assert not isinstance(row.words, str)


def test_what_is_not_known_is_no_number(frame):
    unknown = frame[frame["not known"].notna()]
    assert unknown["value"].isna().all()
    assert (unknown["words"].str.contains("not known|–")).all()


def test_every_line_of_a_table_can_be_put_together_again(frame):
    placed = frame[frame["table"].notna()]
    for _, lines in placed.groupby(["section", "table", "line"]):
        assert lines["row"].dropna().nunique() <= 1


def test_text_of_users_is_no_formula(tmp_path):
    cells = {"ways__sub__driver__title": "=cmd|' /C calc'!A0", "ways__tweeter__driver__title": "@SUM(1+1)"}
    cells |= {"ways__midwoof__driver__title": "-2+3\tx", "job": "+1", "chain__brain__service_lead": "\r=1+1"}
    text = sheet_csv(build_sheet(review(tmp_path, changed(**cells))), "EUR")
    frame = pandas.read_csv(io.StringIO(text.removeprefix("\ufeff")), dtype=str)
    for name in TEXTS:
        assert not [value for value in frame[name].dropna() if value.startswith(FORMULA)], name
    assert "'=cmd" in text and "'@SUM" in text and "'-2+3 x" in text and "'=1+1" in text


def test_a_comma_or_quote_in_a_title_moves_no_column(tmp_path):
    title = 'He said "12, fine", and left; twice'
    frame = frame_of(build_sheet(review(tmp_path, changed(ways__sub__driver__title=title))))
    assert title in set(frame["words"].dropna())
