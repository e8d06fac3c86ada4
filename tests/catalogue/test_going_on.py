"""Designs that differ a little, judged one after the other in vehicles and of parts that lack much.

Each goes on with what was found for the one before; all of it has to come out as if it had been judged alone.
"""

from __future__ import annotations

import copy
import functools
import random
from operator import or_
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.catalogue.bench import Bench, head_of
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.lending import LendingEngine
from advisor.catalogue.row import packed
from advisor.catalogue.traces import Line
from advisor.facts.reading import Missing
from advisor.facts.views import View
from tests.catalogue.conftest import TODAY
from tests.catalogue.invented import parts, write, write_big
from tests.catalogue.invented_packages import big_packages
from tests.catalogue.invented_vehicles import more_vehicles
from tests.facts.jobs import work_out_by

SELDOM_KNOWN = (
    "sensitivity_db", "qes", "qts", "qms", "vas_l", "xmax_mm", "power_w", "depth_mm", "outer_mm", "hole_mm", "price",
    "efficiency", "idle_a", "weight_kg", "noise_uv", "le_mh", "sd_cm2", "fit_h", "draws_a", "longest_delay_ms",
)  # fmt: skip
NOT_TAPED = ("hole_mm", "depth_mm", "off_axis_deg", "height_m", "zone", "holds_kg", "front_mm", "window_mm")
ELECTRICS = ("standby_a", "alternator_idle_a", "own_draw_a", "battery_ah")


def lacking(dice: random.Random, data: dict[str, Any], keys: tuple[str, ...], share: float) -> None:
    """Take out some of some keys, at any depth."""
    for key, value in list(data.items()):
        if key in keys and dice.random() < share:
            del data[key]
        elif isinstance(value, dict):
            lacking(dice, value, keys, share)


def edited(dice: random.Random, package: dict[str, Any]) -> dict[str, Any]:
    """Return a package with one or two things otherwise."""
    new = copy.deepcopy(package)
    ways, customer, chain = new["ways"], new["customers"]["everyday"], new["chain"]
    way = dice.choice(list(ways.values()))
    edits = (
        lambda: new["supply"].update(run_m=dice.choice((3.0, 4.4, 6.5))),
        lambda: new["supply"]["branches"]["front"].update(run_m=dice.choice((0.5, 0.8, 2.5))),
        lambda: new.update(extras={**new["extras"], "FN-80": dice.choice((1, 2, 3))}),
        lambda: way["speaker_cable"].update(run_m=dice.choice((1.1, 2.7, 5.2))),
        lambda: ways["midwoof"].update(plays=["80 LR24", ways["mid"]["plays"][0].split()[0] + " LR12"]),
        lambda: ways["sub"]["plays"].__setitem__(1, dice.choice(("70 LR24", "80 LR24", "120 BW12"))),
        lambda: ways["sub"]["box"].update(closed_l=dice.choice((18, 24, 30))),
        lambda: way.update(trim_db=dice.choice((-3, 0, 2))),
        lambda: way.update(work=way["work"][: dice.randrange(len(way["work"]) + 1)]),
        lambda: customer.update(loudness_db=dice.choice((88, 94, 101))),
        lambda: customer.update(seats=dice.choice((["driver"], ["passenger", "driver"], ["driver", "passenger"]))),
        lambda: customer.update(budget=dice.choice((2000, 9000))),
        lambda: chain["front"].update(fan=dice.choice(("thermostatic", "none"))),
        lambda: chain["low"].update(at=dice.choice(("boot-wall", "seat-base"))),
    )
    for edit in dice.sample(edits, dice.choice((1, 1, 2))):
        edit()
    return new


@pytest.mark.parametrize("seed", range(6))
def test_what_is_gone_on_with_is_what_would_be_found_anew(tmp_path: Path, seed: int):
    dice = random.Random(seed)
    vehicles, library = more_vehicles(3, dice), parts()
    for data in library.values():
        lacking(dice, data, SELDOM_KNOWN, 0.12)
    for vehicle in vehicles.values():
        lacking(dice, vehicle, (*NOT_TAPED, *ELECTRICS), 0.15)
    (package,) = big_packages(1, list(vehicles), dice).values()
    packages = {}
    for number in range(9):
        packages[f"p{number}"] = copy.deepcopy(package)
        package = edited(dice, package)
    write(tmp_path, packages, vehicles, library)
    catalogue = open_catalogue(tmp_path, "going-on")
    shared, alone = Bench(catalogue, TODAY), Bench(catalogue, TODAY, sharing=False)
    compared = 0
    for path in catalogue.packages:
        read = catalogue.package(path)
        for line in head_of(read).lines:
            assert packed(shared.row(read, line)) == packed(alone.row(read, line)), (path.stem, line)
            compared += 1
    assert compared == 27
    assert shared.traces.taken > shared.traces.made
    for plan in shared._plans.values():  # what was read and is kept is looked at before the next design goes on with it
        index = plan.tokens.index
        for past in plan.pasts.values():
            read = [index[key] for key in (*past.facts.written, *past.facts.drawn)]
            assert len(read) > 10
            assert not functools.reduce(or_, read) & index.leaves & ~index.vehicle & ~plan.leaves


def test_a_catalogue_that_lacks_much_is_still_a_catalogue(tmp_path: Path):
    """What the test above takes out leaves files that can be read: else it would compare errors."""
    dice = random.Random(0)
    library = parts()
    for data in library.values():
        lacking(dice, data, SELDOM_KNOWN, 0.12)
    write(tmp_path, {}, more_vehicles(1, dice), library)
    assert yaml.safe_load((tmp_path / "parts" / "tweeters.yaml").read_text())["parts"]
    (tmp_path / "packages" / "any.yaml").write_text("advisor: 1\n")
    assert not [fault for fault in open_catalogue(tmp_path, "lacking").faults() if "parts" in fault.file]


def test_what_was_read_for_a_fact_that_is_missing_is_looked_at_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Its value is kept as it was read; the next design must not go on with it where the file says something else."""
    write_big(tmp_path, 1, 1)
    bench = Bench(open_catalogue(tmp_path, "big"), TODAY)
    package = bench.catalogue.package(bench.catalogue.packages[0])
    bench.row(package, head_of(package).lines[0])
    (plan,) = bench._plans.values()
    (past,) = plan.pasts.values()

    def reads_and_misses(job: View) -> float:
        assert job.customer.loudness_db
        raise Missing("something else", None)

    work_out_by(monkeypatch, "job", "total_cost", reads_and_misses)
    past.facts.leaves, past.facts.facts, past.facts.written = 0, {}, {}
    engine = LendingEngine(plan.seating.chain, bench.facts, Line(plan.tokens, past.vehicle), past.facts)
    with pytest.raises(Missing):
        engine.ask(plan.seating.job, "total_cost")
    (read,) = past.facts.written
    assert read[2] == "loudness_db"
    assert engine.index[read] & past.facts.leaves
    assert ("job", "job", "total_cost") not in past.facts.facts
