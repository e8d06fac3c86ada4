"""What a fact gives stands by itself: a curve kept for later must not read the engine of a job that is gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import partial
from pathlib import Path
from types import FunctionType, MethodType
from typing import Any

import pytest

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.facts.views import SpecView, View
from advisor.judging.review import review_job

JOBS = sorted((Path(__file__).parents[2] / "examples" / "jobs").glob("*.yaml"))


def held_by(value: Any, seen: set[int]) -> Iterator[Any]:
    """Yield everything that a value holds on to, itself included."""
    if id(value) in seen:
        return
    seen.add(id(value))
    yield value
    inner: list[Any] = []
    if isinstance(value, dict):
        inner = [*value.keys(), *value.values()]
    elif isinstance(value, tuple | list | set | frozenset):
        inner = list(value)
    elif isinstance(value, partial):
        inner = [value.func, *value.args, *value.keywords.values()]
    elif isinstance(value, MethodType):
        inner = [value.__self__, value.__func__]
    elif isinstance(value, FunctionType):
        inner = [*[cell.cell_contents for cell in value.__closure__ or ()], *(value.__defaults__ or ())]
    elif is_dataclass(value) and not isinstance(value, type):
        inner = [getattr(value, field.name) for field in fields(value)]
    for one in inner:
        yield from held_by(one, seen)


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_no_fact_holds_on_to_the_engine_it_was_worked_out_in(job):
    review = review_job(job)
    checked, holding = 0, []
    for subject in review.chain.subjects:
        for kind, name in review.engine.facts:
            if kind != subject.kind:
                continue
            try:
                value = review.engine.ask(subject, name).value
            except (Missing, NotDefined, BrokenFact):
                continue
            checked += 1
            if any(isinstance(one, View | SpecView | Engine | Subject) for one in held_by(value, set())):
                holding.append(f"{kind}.{name}")
    assert checked > 100
    assert sorted(set(holding)) == []


def test_a_curve_that_would_read_later_is_found_out():
    review = review_job(JOBS[0])
    view = review.engine.view(review.chain.of_kind("driver")[0])
    curves: list[Any] = [lambda hz: view.distance_m * hz, partial(max, view), {"a": (1, [view])}]
    for curve in curves:
        assert any(isinstance(one, View) for one in held_by(curve, set()))
