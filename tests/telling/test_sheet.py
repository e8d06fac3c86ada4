"""The bench sheet: every number on it is a fact found by its address, and what is not known says what is missing."""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Iterator

import pytest
from click.testing import CliRunner

import advisor.reading.reader
from advisor.chain.subject import Subject
from advisor.cli import main
from advisor.facts.reading import Reading
from advisor.judging.formats import with_unit
from advisor.telling.groups import tell
from advisor.telling.sheet.build import build_sheet
from advisor.telling.sheet.cells import NONE_HERE, NOT_KNOWN, Cell, Sheet, Table, amount
from advisor.telling.sheet.text import sheet_text
from advisor.telling.sheet.write import sheet_html, sheet_page
from tests.facts.jobs import changed, review
from tests.telling.examples import JOBS, path_of, reviewed

NUMBER = re.compile(r"(?<![\w.+])[0-9]+(?:[.,][0-9]+)?")
FED = [job for job in JOBS if job != "quick"]


@functools.cache
def sheet(job: str) -> Sheet:
    return build_sheet(reviewed(job))


def cells(made: Sheet) -> Iterator[tuple[str, str, Cell]]:
    """Yield every cell with the table and column it stands in."""
    for section in made.sections:
        for table in section.tables:
            for row in table.rows:
                yield from ((table.name, column, cell) for column, cell in zip(table.columns, row, strict=True))


def table(made: Sheet, name: str) -> Table:
    return next(one for section in made.sections for one in section.tables if one.name == name)


def column(made: Sheet, name: str, title: str) -> dict[str, Cell]:
    found = table(made, name)
    return {row[0].text: row[found.columns.index(title)] for row in found.rows}


# -- numbers -----------------------------------------------------------------------------------------------------


def names(job: str) -> list[str]:
    """What has digits in it and is no number: names, outputs by number, titles of files."""
    system, subjects = reviewed(job).system, reviewed(job).chain.subjects
    found = [one.name for one in subjects] + [str(one.own.get("code", "")) for one in subjects]
    found += [str(getattr(one.specs.get("part"), "title", "")) for one in subjects]
    found += [str(getattr(one.specs.get("box"), "title", "")) for one in subjects]
    found += [place.title for place in system.vehicle.locations.values()]
    found += [operation.title for operation in system.shop.operations.values()]
    return [name for name in found if NUMBER.search(name)]


def written(reading: Reading, currency: str) -> Iterator[str]:
    """Every way the sheet writes a value."""
    value = reading.value
    if isinstance(value, tuple):
        yield from (re.sub(r" (left|right):", ":", str(one)) for one in value)
        yield from map(str, value)
    elif reading.unit == "ms":
        yield f"{value:.2f} ms"
    elif reading.unit in ("money", "money/h"):
        yield f"{amount(value)} {currency}"
    else:
        yield with_unit(value, reading.unit)


@pytest.mark.parametrize("job", JOBS)
def test_every_number_is_that_of_a_reading(job):
    currency = str(reviewed(job).system.shop.currency)
    devices = [one.name for kind in ("source", "interface", "processor", "amplifier")
               for one in reviewed(job).chain.of_kind(kind)]  # fmt: skip
    output = re.compile(rf"\b(?:{'|'.join(map(re.escape, devices)) or 'none'})(?: in|, output|, input)? \d+(?:\+\d+)?")
    for name, title, cell in cells(sheet(job)):
        text = cell.text
        pieces = [piece for reading in cell.readings for piece in written(reading, currency)]
        for piece in sorted([*pieces, *names(job)], key=len, reverse=True):
            text = text.replace(piece.replace("-", "−") if piece.startswith("-") else piece, "·")
        text = output.sub("·", text)
        assert not NUMBER.findall(text), (name, title, cell.text)


@pytest.mark.parametrize("job", JOBS)
def test_every_reading_is_found_by_its_address(job):
    engine = reviewed(job).engine
    readings = sheet(job).readings
    assert len(readings) > (150 if job in FED else 5)
    for reading in readings:
        assert reading.kind == "fact", reading.name
        again = engine.ask(*engine.find(reading.name))
        assert (again.key, again.value, again.unit) == (reading.key, reading.value, reading.unit)
        assert reading.says and reading.source and reading.inputs


@pytest.mark.parametrize("job", ["sound", "quick"])
def test_why_tells_what_stands_on_the_sheet(job, monkeypatch):
    read = advisor.reading.reader.read_job(path_of(job))
    monkeypatch.setattr("advisor.reading.reader.read_job", lambda path: read)
    for reading in sheet(job).readings[::6]:
        result = CliRunner().invoke(main, ["why", str(path_of(job)), reading.name, "--json"])
        assert result.exit_code == 0, result.output
        data = json.loads(result.stdout)
        assert (data["name"], data["unit"]) == (reading.name, reading.unit)
        assert data["derivation"]


@pytest.mark.parametrize("job", JOBS)
def test_asterisks_mark_rules_of_thumb(job):
    for name, _, cell in cells(sheet(job)):
        if len(cell.readings) == 1:
            assert ("*" in cell.text) == (cell.readings[0].basis == "rule of thumb"), (name, cell.text)


@pytest.mark.parametrize("job", JOBS)
def test_what_is_not_known_names_what_is_missing_and_nothing_is_guessed(job):
    told = sheet_text(sheet(job))
    for name, _, cell in cells(sheet(job)):
        assert (NOT_KNOWN in cell.text and not cell.readings) <= bool(cell.missing), (name, cell.text)
        assert cell.text or cell.to_write
        if cell.missing:
            assert " ".join(cell.missing.split())[:40] in " ".join(told.split())
    if job == "quick":
        assert NOT_KNOWN in told


def test_the_sound_example_lacks_nothing_but_the_cable_to_its_networks():
    lacking = {missing for section in sheet("sound").sections for missing in section.missing}
    assert {missing.split(":")[0] for missing in lacking} == {
        "the cable from front 1 to split left", "the cable from front 2 to split right"
    }  # fmt: skip


# -- what a fitter reads -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("job", FED)
def test_every_driver_hangs_on_two_cores_and_every_label_stands_once(job):
    made = sheet(job)
    cables = table(made, "loudspeaker cables")
    fed = [one for one in reviewed(job).chain.of_kind("driver") if one.own["is_fed"]]
    plus, minus = (
        [row[cables.columns.index(core)].text for row in cables.rows] for core in ("plus core", "minus core")
    )
    for driver in fed:
        ends = [f"to {driver.name} {sign}" for sign in "+−"]
        assert sorted(end for end in ends for core in (*plus, *minus) if core.endswith(end)) == sorted(ends)
    labels = [cell.text for row in table(made, "labels").rows for cell in row if cell.text != NONE_HERE]
    assert len(set(labels)) == len(labels)
    told = [row[0].text for name in ("signal and switching leads", "loudspeaker cables", "supply leads")
            for row in table(made, name).rows]  # fmt: skip
    assert sorted(labels) == sorted(told)


@pytest.mark.parametrize("job", FED)
def test_leads_are_crossed_where_a_driver_differs_from_what_its_channel_is_set_to(job):
    engine, made = reviewed(job).engine, sheet(job)
    cores = {row[0].text.rpartition(" > ")[2]: row[1].text for row in table(made, "loudspeaker cables").rows}
    shared = 0
    for driver in reviewed(job).chain.of_kind("driver"):
        if "network" not in driver.ties or not driver.own["is_fed"]:
            continue
        network = driver.ties["network"]
        assert isinstance(network, Subject)
        lowest = min(network.ties["drivers"], key=lambda one: one.specs["way"].plays[0].hz or 0)  # type: ignore[union-attr]
        same = engine.ask(driver, "polarity_to_set").value == engine.ask(lowest, "polarity_to_set").value
        assert cores[driver.name].endswith("+" if same else "−")
        shared += 1
    assert shared or not reviewed(job).chain.of_kind("network")


def test_a_design_that_falls_short_is_not_built_from():
    faults, sound = sheet("faults"), sheet("sound")
    assert faults.warnings[0].startswith("Do not build from this sheet yet.")
    assert list(faults.warnings[1:]) == [told.says for told in tell(reviewed("faults"), "falls short", "must")]
    assert not sound.warnings[0].startswith("Do not build")


def test_the_battery_is_isolated_first_and_measurements_go_from_cold_to_hot():
    made = sheet("sound")
    assert made.sections[0].heading == "Cautions"
    assert "Isolate the battery" in made.sections[0].words[0]
    measured = next(section for section in made.sections if section.heading == "Measurements")
    order = [one.name for one in measured.tables]
    assert order.index("each loudspeaker") < order.index("each channel") < len(order) - 1
    last = measured.tables[-2]
    assert [row[0].text for row in last.rows][-3:] == ["Case after an hour of loud music"] * 2 + [
        "Current an hour after locking"
    ]
    for one in measured.tables:
        assert all(any(cell.to_write for cell in row) for row in one.rows)


def test_hours_of_stages_and_steps_come_to_all_hours():
    engine = reviewed("all-active").engine
    rows = table(sheet("all-active"), "work").rows
    stages = [row[2].readings[0] for row in rows if row[0].text not in (NONE_HERE, "Together")]
    steps = [row[2].readings[0] for row in rows if row[0].text == NONE_HERE]
    alone = [row[2].readings[0] for row in rows
             if row[0].text not in (NONE_HERE, "Together") and row[1].text != "all of this stage"]  # fmt: skip
    whole = engine.ask(*engine.find("job.labour_h")).value
    assert sum(reading.value for reading in stages) == pytest.approx(whole)
    assert sum(reading.value for reading in (*steps, *alone)) == pytest.approx(whole)


def test_text_is_no_wider_than_a_terminal_and_has_no_colour_where_none_is_wanted(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    text = sheet_text(sheet("sound"))
    assert max(map(len, text.splitlines())) <= 110
    assert "\x1b" not in text


# -- text of users -----------------------------------------------------------------------------------------------

HOSTILE = "<script>alert(1)</script> | **bold** \x1b[31m\u202e"


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    data = changed(job=HOSTILE, ways__sub__driver__title=HOSTILE, ways__sub__box__title="=1+1")
    return build_sheet(review(tmp_path_factory.mktemp("hostile"), data))


def test_text_of_users_stays_text_on_the_page(hostile):
    page = sheet_html(hostile, [])
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert "\x1b" not in page and "\u202e" not in page


def test_text_of_users_stays_text_in_markdown_and_on_the_terminal(hostile):
    text = sheet_page(hostile, []).markdown("sheet")
    assert "<script" not in text.replace(r"\<script", "")
    assert "**bold**" not in text
    assert "\u202e" not in text
    assert "\x1b[31m" not in sheet_text(hostile)
    rows = [line for line in text.splitlines() if line.startswith("| sub | ")]
    heads = [line for line in text.splitlines() if line.startswith("| driver | what it is")]
    unescaped = re.compile(r"(?<!\\)\|")
    assert len(unescaped.findall(rows[0])) == len(unescaped.findall(heads[0]))


def test_the_page_holds_all_and_prints_on_a4():
    page = sheet_html(sheet("sound"), [])
    assert "@page { size: A4" in page
    assert "break-inside: avoid" in page
    assert not re.findall(r"(?:src|href)=\"(?!#)", page)
    assert page.count("<table>") == sum(len(section.tables) for section in sheet("sound").sections)
