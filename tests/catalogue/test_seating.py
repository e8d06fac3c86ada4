"""A chain seated in another vehicle is the chain that would be drawn in it."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from advisor.catalogue.bench import Bench, head_of
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.seating import Body, Seating, places_named
from advisor.catalogue.tokens import Numbers
from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.errors import InputError
from advisor.reading.choices import settle
from tests.catalogue.conftest import TODAY
from tests.catalogue.invented import parts, write, write_big
from tests.catalogue.invented_vehicles import VEHICLES

EXAMPLE = Path(__file__).parents[2] / "examples" / "catalogue"


def bodies(bench: Bench) -> dict[str, Body]:
    found = {code: bench._body(code) for code in bench.catalogue.library.vehicles}
    return {code: body for code, body in found.items() if body is not None}


def as_told(chain: Chain) -> list[object]:
    """Return what a chain holds, by value and by place."""
    found: list[object] = []
    for subject in chain.subjects:
        specs = {record: (spec, spec.origin and spec.origin.place) for record, spec in subject.specs.items()}
        ties = {name: [one.key for one in _tuple(tie)] for name, tie in subject.ties.items()}
        found.append((subject.key, subject.origin and subject.origin.place, specs, ties, subject.own))
    return found


def _tuple(tie: Subject | tuple[Subject, ...]) -> tuple[Subject, ...]:
    return tie if isinstance(tie, tuple) else (tie,)


def lines_by_shape(bench: Bench, path: Path):
    """Yield chains as drawn, in groups of vehicles of one shape."""
    package = bench.catalogue.package(path)
    settled = package.ways_to_settle[0]
    places = places_named(settle(package.file, settled).data)
    known = bodies(bench)
    groups: dict[object, list[tuple[Body, Chain, Chain]]] = {}
    for line in head_of(package).lines:
        if line.settled != settled or line.vehicle not in known:
            continue
        body = known[line.vehicle]
        try:
            (_, chain), (_, again) = (bench._drawn(bench._design_of(package, line), line) for _ in range(2))
        except InputError:  # a claim that fails
            continue
        groups.setdefault((line.customer, body.shape(places)), []).append((body, chain, again))
    return groups.values()


def held_to_what_is_drawn(bench: Bench, paths: list[Path]) -> int:
    compared = 0
    for path in paths:
        for group in lines_by_shape(bench, path):
            body, chain, again = group[0]
            seating = Seating(chain, body)
            for other, drawn in [*[one[:2] for one in group[1:]], (body, again)]:
                assert as_told(seating.seat(other)) == as_told(drawn)
                compared += 1
    return compared


def test_seated_in_each_vehicle_of_the_example_it_is_as_drawn_there():
    bench = Bench(open_catalogue(EXAMPLE, "catalogue"), TODAY)
    assert held_to_what_is_drawn(bench, bench.catalogue.packages[::3]) > 30


def test_vehicles_of_one_making_are_alike_to_nearly_every_design(tmp_path):
    write_big(tmp_path, 2, 14)
    bench = Bench(open_catalogue(tmp_path, "big"), TODAY)
    assert held_to_what_is_drawn(bench, list(bench.catalogue.packages)) == 28
    assert all(len(lines_by_shape(bench, path)) == 1 for path in bench.catalogue.packages)


@pytest.mark.parametrize(
    ("change", "alike"),
    [
        (lambda data: data["locations"]["door-low"].update(depth_mm=61), True),
        (lambda data: data["locations"]["door-low"].update(behind="cavity"), True),
        (lambda data: data["locations"]["door-low"].pop("right"), False),
        (lambda data: data["locations"].pop("door-low"), False),
        (lambda data: data["locations"].pop("boot-side"), True),
        (lambda data: data["seats"].pop("passenger"), False),
        (lambda data: data.pop("electrics"), False),
    ],
    ids=["a number", "a word", "a side", "a place it uses", "a place it does not use", "a seat", "the electrics"],
)
def test_what_a_chain_is_drawn_by_makes_vehicles_unlike(tmp_path, change, alike):
    first = copy.deepcopy(VEHICLES["family-estate"])
    other = copy.deepcopy(first)
    change(other)
    write(tmp_path, {}, {"one": first, "two": other}, parts())
    (tmp_path / "packages" / "any.yaml").write_text("advisor: 1\n")
    library = open_catalogue(tmp_path, "two").library
    numbers = Numbers()
    made = [Body(numbers, code, file, library.vehicle(code, None)) for code, file in library.vehicles.items()]
    shapes = [body.shape(("door-low", "dash-corner")) for body in made]
    assert (shapes[0] == shapes[1]) is alike
