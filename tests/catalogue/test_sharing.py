"""Sharing work between lines changes nothing that is found, and spares most of it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from advisor.catalogue import bench
from advisor.catalogue.bench import Bench, head_of
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.row import packed
from tests.catalogue.conftest import TODAY, write_small
from tests.catalogue.invented import write_big

EXAMPLE = Path(__file__).parents[2] / "examples" / "catalogue"


def rows(judging: Bench, packages: list[str], vehicles: list[str]) -> list[str]:
    found = []
    for path in judging.catalogue.packages:
        if path.stem not in packages:
            continue
        package = judging.catalogue.package(path)
        found += [packed(judging.row(package, line)) for line in head_of(package).lines if line.vehicle in vehicles]
    return found


@pytest.mark.parametrize(
    "packages", [["bass-boxes", "bass-dual", "street-2"], ["club-1", "club-3", "tour-2", "bass-doors"]]
)
def test_each_line_is_as_if_it_had_been_judged_alone(packages):
    catalogue = open_catalogue(EXAMPLE, "catalogue")
    vehicles = ["family-estate", "panel-camper"]
    shared = Bench(catalogue, TODAY)
    assert rows(shared, packages, vehicles) == rows(Bench(catalogue, TODAY, sharing=False), packages, vehicles)
    assert shared.traces.taken > shared.traces.made


def test_designs_of_all_kinds_one_after_another_are_as_if_each_line_had_been_judged_alone():
    """What was found for one design is gone on with in the next: other links, other vehicles, other customers."""
    catalogue = open_catalogue(EXAMPLE, "catalogue")
    everything = [path.stem for path in catalogue.packages], list(catalogue.library.vehicles)
    shared = rows(Bench(catalogue, TODAY), *everything)
    assert len(shared) > 150
    assert shared == rows(Bench(catalogue, TODAY, sharing=False), *everything)


def test_what_is_dropped_for_want_of_room_is_worked_out_again(monkeypatch):
    catalogue = open_catalogue(EXAMPLE, "catalogue")
    packages, vehicles = ["street-1", "street-2"], ["family-estate", "panel-camper"]
    plenty = Bench(catalogue, TODAY)
    monkeypatch.setattr(bench, "FINDINGS_KEPT", 60)
    shared = Bench(catalogue, TODAY)
    assert rows(shared, packages, vehicles) == rows(plenty, packages, vehicles)
    held = [len(one.found) + len(one.before) for entries in shared.traces.questions.values() for one in entries.known]
    assert 0 < sum(held) <= 60
    assert shared.traces.made > plenty.traces.made


def test_what_names_a_line_of_a_file_is_told_of_its_own_file(tmp_path):
    """The small catalogue lacks much: its findings say where that would be written, each in its own package."""
    folder = write_small(tmp_path / "small")
    package = folder / "packages" / "front.yaml"
    text = package.read_text().split("waive:")[0]
    package.write_text(text)
    (folder / "packages" / "other.yaml").write_text("# a line more\n" + text)
    catalogue = open_catalogue(folder, "small")
    both = ["front", "other"], ["hatch", "van"]
    assert rows(Bench(catalogue, TODAY), *both) == rows(Bench(catalogue, TODAY, sharing=False), *both)


def test_a_catalogue_of_one_making_is_mostly_shared(tmp_path):
    write_big(tmp_path, 6, 2)
    shared = Bench(open_catalogue(tmp_path, "big"), TODAY)
    names = [path.stem for path in shared.catalogue.packages]
    vehicles = list(shared.catalogue.library.vehicles)
    rows(shared, names[:5], vehicles)
    shared.traces.taken = shared.traces.made = 0
    rows(shared, names[5:], vehicles)
    assert shared.traces.taken > 3 * shared.traces.made


def test_lines_of_a_big_catalogue_are_as_if_each_had_been_judged_alone(tmp_path):
    write_big(tmp_path, 9, 3)
    catalogue = open_catalogue(tmp_path, "big")
    everything = [path.stem for path in catalogue.packages], list(catalogue.library.vehicles)
    assert rows(Bench(catalogue, TODAY), *everything) == rows(Bench(catalogue, TODAY, sharing=False), *everything)


def test_a_part_that_says_the_same_is_the_same_to_what_does_not_name_it(tmp_path):
    """A twin under another code: nothing is worked out again but what tells its name, its price or facts of its own."""
    write_big(tmp_path, 1, 2)
    parts, package = tmp_path / "parts" / "twin.yaml", next((tmp_path / "packages").glob("*.yaml"))
    data = yaml.safe_load((tmp_path / "parts" / "amplifiers.yaml").read_text())
    written = package.read_text()
    code = re.search(r"amplifier: (AM-6\w*)", written)[1]
    twin = {**data["parts"][code], "title": "Twin of another", "price": 1234}
    parts.write_text(yaml.safe_dump({"advisor": 1, "parts": {"TWIN-1": twin}}))
    (package.parent / "z.yaml").write_text(re.sub(rf"amplifier: {code}\b", "amplifier: TWIN-1", written))
    catalogue = open_catalogue(tmp_path, "twins")
    vehicles = list(catalogue.library.vehicles)
    shared = Bench(catalogue, TODAY)
    rows(shared, [package.stem], vehicles)
    shared.traces.taken = shared.traces.made = 0
    found = rows(shared, ["z"], vehicles)
    assert found == rows(Bench(catalogue, TODAY, sharing=False), ["z"], vehicles)
    assert 0 < shared.traces.made < 0.1 * shared.traces.taken
