"""Doubts: tolerances carried up to facts agree with chance, and the input that is named really decides most."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.chain.build import build_chain
from advisor.facts import registry
from advisor.facts.doubts import SIGMAS, Doubt, Doubts, Input
from advisor.facts.engine import Engine
from advisor.facts.numbers import with_number
from advisor.facts.reading import NotDefined, Reading
from advisor.reading.reader import read_job
from tests.facts.jobs import ROOT, changed, engine, value, work_out_by

SAMPLES = 100_000

SAMPLED = [
    ("sound", "supply.drop_v"),
    ("sound", "supply.source_mohm"),
    ("sound", "front.loaded_v"),
    ("sound", "front.peak_current_a"),
    ("sound", "front.branch_percent"),
    ("sound", "tweeter left.sensitivity_1w_db"),
    ("sound", "tweeter left.motional_peak_ohm"),
    ("sound", "tweeter left.reference_efficiency"),
    ("sound", "mid/tweeter left.arrival_gap_ms"),
    ("all-active", "midwoof left.thermal_limited_db"),
    ("all-active", "midwoof left.reference_efficiency"),
    ("faults", "supply.drop_percent"),
    ("faults", "front.1.gain_db"),
]
"""Facts of several themes whose functions take arrays as they take numbers."""


class _AsItIs(type):
    def __instancecheck__(cls, value: object) -> bool:
        return isinstance(value, float)


class lenient(float, metaclass=_AsItIs):  # noqa: N801 - stands in for `float`
    """What facts call to make plain numbers of numbers, letting arrays through."""

    def __new__(cls, value):
        return value if isinstance(value, np.ndarray) else float(value)


@pytest.fixture
def arrays(monkeypatch):
    """Let facts work arrays out as they work numbers out; formulas in `physics` take both anyway."""
    for name in registry.MODULES:
        monkeypatch.setattr(f"advisor.facts.{name}.float", lenient, raising=False)


@pytest.fixture(scope="module")
def engines() -> dict[str, Engine]:
    names = {job for job, _ in SAMPLED}
    return {name: Engine(build_chain(read_job(ROOT / "examples" / "jobs" / f"{name}.yaml"))) for name in names}


def sampled(engine: Engine, inputs: list[Input], address: str) -> np.ndarray:
    """Work a fact out for many draws of all its inputs at once: arrays in place of numbers."""
    chance = np.random.default_rng(20261125)
    given = {}
    for each in inputs:
        assert not each.whole
        draws = each.value + chance.normal(0, each.within / SIGMAS, SAMPLES)
        given[each.reading.key] = with_number(given.get(each.reading.key, each.reading.value), each.path, draws)
    subject, name = engine.find(address)
    result = engine.what_if(given).ask(subject, name).value
    assert result.shape == (SAMPLES,)
    return result


def doubt_of(engine: Engine, address: str) -> tuple[Reading, Doubt]:
    reading = engine.ask(*engine.find(address))
    doubt = Doubts(engine).of_reading(reading)
    assert doubt is not None
    return reading, doubt


@pytest.mark.parametrize(("job", "address"), SAMPLED)
def test_propagation_agrees_with_a_hundred_thousand_draws(engines, arrays, job, address):
    reading, doubt = doubt_of(engines[job], address)
    draws = sampled(engines[job], Doubts(engines[job]).inputs([reading]), address)
    assert doubt.within > 0
    assert doubt.within / SIGMAS == pytest.approx(draws.std(), rel=0.05)


def test_a_closed_box_agrees_with_draws_through_its_closed_form(engines):
    reading, doubt = doubt_of(engines["sound"], "midwoof left.plays_down_to_hz")

    def six_db_down(fs, q):
        middle = (1 / q**2 - 2) / 2
        return fs / np.sqrt(np.sqrt(middle**2 + 10**0.6 - 1) - middle)

    inputs = {each.reading.key[-1]: each for each in Doubts(engines["sound"]).inputs([reading])}
    assert set(inputs) == {"fs_hz", "qts"}
    chance = np.random.default_rng(20261125)
    fs, q = (inputs[name].value + chance.normal(0, inputs[name].within / SIGMAS, SAMPLES) for name in ("fs_hz", "qts"))
    assert six_db_down(inputs["fs_hz"].value, inputs["qts"].value) == pytest.approx(reading.value, rel=2e-3)
    assert doubt.within / SIGMAS == pytest.approx(six_db_down(fs, q).std(), rel=0.05)


NAMED = [
    ("sound", "supply.drop_v"),
    ("sound", "sub.plays_down_to_hz"),
    ("sound", "front.thermal_margin_k"),
    ("all-active", "mid left.beams_above_hz"),
    ("faults", "low.thermal_margin_k"),
]


@pytest.mark.parametrize(("job", "address"), NAMED)
def test_no_other_input_brings_more_than_the_one_that_is_named(engines, job, address):
    """Each input alone made certain: the doubt shrinks most by the one worth measuring first."""
    reading, doubt = doubt_of(engines[job], address)
    doubts, subject = Doubts(engines[job]), engines[job].find(address)[0]
    left = {}
    for sure in doubts.inputs([reading]):
        others = Doubts(engines[job])
        others._inputs = {leaf.key: () for leaf in reading.walk()}
        for each in doubts.inputs([reading]):
            if each.key != sure.key:
                others._inputs[each.reading.key] += (each,)
        left[sure.key] = others.of([reading], lambda e: e.ask(subject, reading.key[2]).value).within
    assert doubt.first is not None
    assert min(left, key=left.__getitem__) == doubt.first.input.key
    assert left[doubt.first.input.key] == pytest.approx(doubt.within * math.sqrt(1 - doubt.first.share))
    assert sum(cause.share for cause in doubt.causes) == pytest.approx(1)
    assert [cause.amount for cause in doubt.causes] == sorted((cause.amount for cause in doubt.causes), reverse=True)


def test_a_tolerance_written_beside_a_value_goes_before_the_usual_one(tmp_path):
    driver = changed()["ways"]["midwoof"]["driver"]
    whole = driver | {
        "fs_hz": {"value": driver["fs_hz"], "within": "1 Hz"},
        "qts": {"value": driver["qts"], "within": 0},
    }
    reading, doubt = doubt_of(engine(tmp_path, changed(ways__midwoof__driver=whole)), "midwoof left.box_resonance_hz")
    assert [(cause.input.reading.key[-1], cause.input.within) for cause in doubt.causes] == [("fs_hz", 1.0)]
    assert doubt.within == pytest.approx(1.0)
    assert reading.value == driver["fs_hz"]


def test_what_the_job_decides_has_no_doubt_unless_it_says_so(tmp_path):
    assert doubt_of(engine(tmp_path, changed()), "midwoof left.low_edge_hz")[1] == Doubt(0.0)
    data = changed(ways__sub__plays=[{"value": 30, "within": "10 %"}, "75 LR24"])
    made = engine(tmp_path, data)
    assert doubt_of(made, "sub.low_edge_hz")[1].within == pytest.approx(3.0)
    assert value(made, "sub.low_edge_hz") == 30


@pytest.mark.parametrize(
    ("least", "most", "within"), [(0, 1, 0.124), (0, 0.62, 0.124), (0.62, 1, 0.124), (0.62, 0.62, None)]
)
def test_where_one_side_has_no_value_the_other_serves_and_where_neither_has_it_is_said(
    tmp_path, monkeypatch, least, most, within
):
    def doubled(driver):
        if not least <= driver.part.qts <= most:
            raise NotDefined("past the end")
        return 2 * driver.part.qts

    work_out_by(monkeypatch, "driver", "total_q", doubled)
    reading, doubt = doubt_of(engine(tmp_path, changed()), "midwoof left.total_q")
    assert reading.value == pytest.approx(1.24)
    assert doubt.within == pytest.approx(within or 0)  # a tenth, as sheets are
    assert [each.reading.key[-1] for each in doubt.unturned] == ([] if within else ["qts"])


def test_what_a_rough_look_worked_out_is_not_worked_out_again(tmp_path):
    made = engine(tmp_path, changed())
    reading, doubt = doubt_of(made, "supply.drop_v")
    subject, asked = made.find("supply.drop_v")[0], []

    def worth(engine):
        asked.append(engine)
        return engine.view(subject).drop_v

    doubts, touched = Doubts(made), set()
    inputs = doubts.inputs([reading])
    rough = doubts.roughly(inputs, reading.value, worth, touched)
    assert len(asked) == len(set(asked)) == len(inputs)
    whole = doubts.of([reading], worth, touched)
    assert whole == doubt
    assert rough == pytest.approx(doubt.within, rel=0.05)
    assert len(asked) == len(set(asked)) == 2 * len(inputs) + 1  # each way once, and as it is
    assert {each.reading.key for each in inputs} <= touched
