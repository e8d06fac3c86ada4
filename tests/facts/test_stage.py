"""Facts of the system as one listener has it, against the facts they are made of and against sums done by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import yaml

from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.facts.reading import Missing, NotDefined
from advisor.reading.reader import read_job
from tests.facts.jobs import EXAMPLES, ROOT
from tests.printed import printed

SOUND = ROOT / "examples" / "jobs" / "sound.yaml"
JOBS = [pytest.param(path, id=path.stem) for path in EXAMPLES]


def engine_of(path: Path) -> Engine:
    return Engine(build_chain(read_job(path)))


def edited(tmp_path: Path, edit: dict[str, object]) -> Engine:
    """Return the engine of the sound job with values changed, by dotted path."""
    data = yaml.safe_load(SOUND.read_text(encoding="utf-8"))
    data["library"] = [str(ROOT / "examples" / "library")]
    for path, value in edit.items():
        here = data
        *steps, last = path.split(".")
        for step in steps:
            here = here[step]
        here[last] = value
    path = tmp_path / "job.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    return engine_of(path)


def job_fact(engine: Engine, name: str) -> float:
    return float(engine.ask(engine.chain.of_kind("job")[0], name).value)


@pytest.mark.parametrize("path", JOBS)
def test_all_reach_what_the_weakest_reaches(path: Path) -> None:
    engine = engine_of(path)
    loud = [one for one in engine.chain.of_kind("driver") if engine.ask(one, "has_to_be_loud").value]
    try:
        levels = [engine.ask(one, "loudest_db").value for one in loud]
    except Missing:
        with pytest.raises(Missing):
            job_fact(engine, "loudest_db")
        return
    assert job_fact(engine, "loudest_db") == min(levels)
    for driver in loud:
        level, power = (engine.ask(driver, name).value for name in ("loudest_db", "power_limited_db"))
        assert level <= power
        if not engine.ask(driver, "is_tweeter").value:
            assert level == min(power, engine.ask(driver, "travel_limited_db").value)


def test_more_power_is_louder_by_the_definition_of_the_decibel(tmp_path: Path) -> None:
    part = yaml.safe_load((ROOT / "examples/library/parts/mids.yaml").read_text(encoding="utf-8"))["parts"]["M-80A"]
    levels = []
    for power in (20, 40):
        engine = edited(tmp_path, {"ways.mid.driver": {**part, "power_w": power}})
        driver = next(one for one in engine.chain.of_kind("driver") if one.name == "mid left")
        levels.append(engine.ask(driver, "power_limited_db").value)
    assert levels[1] - levels[0] == printed("3.01", source="definition of the decibel: twice the power")


def test_travel_at_an_open_edge_agrees_with_the_formula_at_that_edge(tmp_path: Path) -> None:
    closed = {"closed_l": 26, "price": 0, "fit_h": 0}
    open_edge = edited(tmp_path, {"ways.sub.plays": ["open", "75 LR24"], "ways.sub.box": closed})
    sub = next(one for one in open_edge.chain.of_kind("driver") if one.name == "sub")
    bottom = open_edge.ask(sub, "plays_down_to_hz").value
    with_edge = edited(tmp_path, {"ways.sub.plays": [f"{bottom:.6f} LR24", "75 LR24"], "ways.sub.box": closed})
    same = next(one for one in with_edge.chain.of_kind("driver") if one.name == "sub")
    here, there = (engine.ask(one, "travel_limited_db").value for engine, one in ((open_edge, sub), (with_edge, same)))
    assert here == pytest.approx(there, abs=0.1)  # the one by the cone's motion, the other by its displacement


@pytest.mark.parametrize("path", JOBS)
def test_the_widest_hole_is_that_of_a_crossing(path: Path) -> None:
    engine = engine_of(path)
    widths = [engine.ask(one, "hole_octaves").value for one in engine.chain.of_kind("crossing")]
    assert job_fact(engine, "widest_hole_octaves") == max(widths)


def test_the_voice_is_shared_by_octaves() -> None:
    engine = engine_of(SOUND)
    low, mid, top = math.log2(380 / 300), math.log2(3200 / 380), math.log2(3400 / 3200)
    assert low + mid + top == pytest.approx(math.log2(3400 / 300))
    assert job_fact(engine, "voice_from_below_percent") == pytest.approx(100 * low / (low + mid + top))


def test_without_a_surveyed_place_nobody_knows_from_where_voices_come() -> None:
    with pytest.raises(NotDefined):
        job_fact(engine_of(ROOT / "examples" / "jobs" / "quick.yaml"), "voice_from_below_percent")


@pytest.mark.parametrize("path", JOBS)
def test_days_are_booked_by_halves_and_never_too_few(path: Path) -> None:
    engine = engine_of(path)
    try:
        days = job_fact(engine, "labour_days")
    except Missing:
        return
    booked = job_fact(engine, "booked_days")
    assert booked * 2 == int(booked * 2) and 0 <= booked - days < 0.5
