"""Pictures of time and money: what they say are facts, bars are as long as their numbers, and they read in grey."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.facts.reading import Missing, NotDefined
from advisor.judging.formats import with_unit
from advisor.reading.reader import read_job
from advisor.telling.pictures.canvas import Picture
from advisor.telling.pictures.money import ROWS, money
from advisor.telling.pictures.time_plan import time_plan

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "examples" / "jobs").glob("*.yaml"))
FED = [job for job in JOBS if job.stem != "quick"]
SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"(?<![\w.])[0-9]+(?: [0-9]{3})*(?:\.[0-9]+)?")
each = pytest.mark.parametrize("job", FED, ids=lambda job: job.stem)


def engine_of(job: Path) -> Engine:
    return Engine(build_chain(read_job(job)))


def drawn(picture: Picture | None) -> Picture:
    assert picture is not None
    return picture


def told(engine: Engine) -> set[str]:
    """Every number of the job as a whole, as written."""
    job = engine.chain.of_kind("job")[0]
    found: set[str] = set()
    for kind, name in engine.facts:
        if kind == "job":
            try:
                reading = engine.ask(job, name)
            except (Missing, NotDefined):
                continue
            if isinstance(reading.value, int | float):
                found |= set(NUMBER.findall(with_unit(reading.value, reading.unit)))
    return found


def texts(picture: Picture) -> list[str]:
    return ["".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]


@each
def test_every_number_they_say_is_a_fact(job):
    engine = engine_of(job)
    facts = told(engine)
    for picture in (drawn(time_plan(engine)), drawn(money(engine))):
        for words in (picture.alt, picture.caption):
            assert set(NUMBER.findall(words)) - facts == set()
    labels = " ".join(texts(drawn(money(engine))))
    assert set(NUMBER.findall(labels)) - facts == set()
    days = {str(day) for day in range(1, 100)}
    assert set(NUMBER.findall(" ".join(texts(drawn(time_plan(engine)))))) - facts - days == set()


@each
def test_they_are_the_same_every_time_and_hold_no_colour(job):
    for draw in (time_plan, money):
        first, second = drawn(draw(engine_of(job))), drawn(draw(engine_of(job)))
        assert first == second
        for colour in set(re.findall(r"#[0-9a-f]{6}", first.svg)):
            assert colour[1:3] == colour[3:5] == colour[5:7], colour


def widths(picture: Picture) -> list[float]:
    """Widths of the bars, in the order they were drawn."""
    found = []
    for path in ElementTree.fromstring(picture.svg).iter(f"{SVG}path"):
        points = [tuple(map(float, pair)) for pair in re.findall(r"[ML] (\S+) (\S+)", path.get("d", ""))]
        if path.get("d", "").rstrip().endswith("z") and len(points) == 4:
            found.append(max(x for x, _ in points) - min(x for x, _ in points))
    return found


@each
def test_bars_of_money_are_as_long_as_what_they_cost(job):
    engine = engine_of(job)
    subject = engine.chain.of_kind("job")[0]
    costs = []
    for _, cost, _ in ROWS:
        try:
            costs.append(float(engine.ask(subject, cost).value))
        except NotDefined:
            continue
    costs = [cost for cost in costs if cost]
    bars = [width for width in widths(drawn(money(engine))) if width < 400][-len(costs) :]
    assert [bar / max(bars) for bar in bars] == pytest.approx([cost / max(costs) for cost in costs], abs=2e-3)


def test_stages_follow_each_other():
    picture = drawn(time_plan(engine_of(ROOT / "examples" / "jobs" / "all-active.yaml")))
    words = [text for text in texts(picture) if not NUMBER.search(text)]
    assert words == ["Take out", "Build", "Seal and damp", "Lay cables", "Fit and connect", "Set up", "Put back"]


def test_nothing_is_drawn_where_nothing_is_known():
    engine = engine_of(ROOT / "examples" / "jobs" / "quick.yaml")
    assert time_plan(engine) is None
    assert money(engine) is None
