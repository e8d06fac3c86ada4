"""Which steps of price are said to buy nothing."""

from __future__ import annotations

import pytest

from advisor.catalogue.bench import FIGURES, Head, Line
from advisor.catalogue.gist import Gist
from advisor.catalogue.steps import Steps

COST, LOUD, DEEP, HOLE, VOICE, DAYS = (name for name, *_ in FIGURES)
CHEAP = {COST: 2000.0, LOUD: 101.0, DEEP: 40.0, HOLE: 0.2, VOICE: 10.0, DAYS: 4.0}


def offer(label: str, figures: dict[str, float], against: int = 0, vehicle: str = "hatch") -> tuple[Line, Gist]:
    settled = (("sub.driver", label),) if label else ()
    return Line(settled, "quiet", vehicle), Gist("holds", "", None, (against, 0, 0, 0), figures)


def head(*labels: str, line: str = "") -> Head:
    ways = [(("sub.driver", label),) if label else () for label in labels]
    return Head("A title", line, "p:1:1", tuple(Line(way, "quiet", "hatch") for way in ways), dict.fromkeys(ways, ()))


def choices(dear: dict[str, float], *, cheap_against: int = 0, dear_against: int = 0) -> list[tuple[str, str]]:
    steps = Steps()
    steps.line(*offer("SMALL", CHEAP, cheap_against))
    steps.line(*offer("BIG", {**CHEAP, **dear}, dear_against))
    steps.close("p", head("SMALL", "BIG"))
    return [(cheap, told) for cheap, told, _, _ in steps.vain()]


VAIN = [("p: SMALL", "p: BIG")]


@pytest.mark.parametrize(
    ("dear", "vain"),
    [
        ({COST: 2300.0}, VAIN),
        ({COST: 2010.0}, []),  # hardly dearer
        ({COST: 2300.0, LOUD: 101.3}, VAIN),  # nobody hears that
        ({COST: 2300.0, LOUD: 102.0}, []),
        ({COST: 2300.0, DEEP: 39.5}, VAIN),
        ({COST: 2300.0, DEEP: 36.0}, []),
        ({COST: 2300.0, DEEP: 44.0}, VAIN),
        ({COST: 2300.0, DAYS: 3.0}, []),
    ],
)
def test_a_dearer_choice_has_to_be_better_by_what_one_notices(dear, vain):
    assert choices(dear) == vain


def test_fewer_things_against_it_are_worth_money():
    assert choices({COST: 2300.0}, cheap_against=1) == []
    assert choices({COST: 2300.0}, dear_against=1) == VAIN


def test_it_is_enough_to_be_better_in_one_vehicle():
    steps = Steps()
    for vehicle, loud in (("hatch", 101.0), ("van", 103.0)):
        steps.line(*offer("SMALL", CHEAP, vehicle=vehicle))
        steps.line(*offer("BIG", {**CHEAP, COST: 2300.0, LOUD: loud}, vehicle=vehicle))
    steps.close("p", head("SMALL", "BIG"))
    assert list(steps.vain()) == []


def test_packages_of_a_line_are_held_against_each_other_and_no_others():
    steps = Steps()
    for code, cost, line in (("one", 2000.0, "A"), ("two", 2200.0, "A"), ("other", 2400.0, "B")):
        steps.line(*offer("", {**CHEAP, COST: cost}))
        steps.close(code, head("", line=line))
    assert [(cheap, dear) for cheap, dear, _, _ in steps.vain()] == [("one", "two")]


def test_what_costs_nobody_knows_is_no_step():
    assert choices({COST: 2300.0}) == VAIN
    steps = Steps()
    steps.line(*offer("SMALL", {LOUD: 101.0}))
    steps.line(*offer("BIG", {**CHEAP, COST: 2300.0}))
    steps.close("p", head("SMALL", "BIG"))
    assert list(steps.vain()) == []
