"""Parts and vehicles are looked up by code, stay inside their folder, and know where each value was written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from advisor.reading.reader import read_job


def test_every_value_knows_its_file_line_and_column(desk):
    system = desk.read()
    part = system.ways["mid"].part
    assert part.origin.child("fs_hz").place == "library/parts/all.yaml:6:43"
    assert part.origin.child("fs_hz").dotted == "parts.MID.fs_hz"
    assert system.ways["mid"].at.location.origin.child("hole_mm").place == "library/vehicles/van.yaml:4:44"
    assert system.devices["front"].part.banks[0].origin.place == "library/parts/all.yaml:5:54"
    assert system.job.ways["mid"].origin.child("plays").child(0).place == "job.yaml:10:66"
    assert system.job.ways["mid"].origin.child("plays").child(0).dotted == "ways.mid.plays.1"
    assert part.origin.child("qts") is None


def test_paths_are_shown_as_the_user_knows_them(desk, monkeypatch):
    desk.write("jobs/one.yaml", (desk.folder / "job.yaml").read_text().replace("[library]", "[../library]"))
    desk.change("fs_hz: 110", "fs_hz: 0", "library/parts/all.yaml")
    monkeypatch.chdir(desk.folder)
    assert desk.fault(lambda: read_job(Path("jobs/one.yaml"))).file == "library/parts/all.yaml"
    monkeypatch.chdir(desk.folder / "jobs")
    assert desk.fault(lambda: read_job(Path("one.yaml"))).file == "../library/parts/all.yaml"


def test_a_part_that_no_job_uses_is_not_checked(desk):
    desk.write("library/parts/other.yaml", "parts:\n  ODD: {kind: driver, nonsense: 1}\n")
    assert desk.read().ways["mid"].code == "MID"


def test_a_code_stands_once(desk):
    desk.write("library/parts/other.yaml", "parts:\n  MID: {kind: driver}\n")
    fault = desk.fault()
    assert (fault.file, fault.line, fault.column) == ("library/parts/other.yaml", 2, 3)
    assert fault.what == "'MID' is also in library/parts/all.yaml:6:8"


def test_a_vehicle_stands_once(desk):
    desk.write("library/vehicles/zvan.yaml", "vehicle: van\n")
    assert desk.fault().what == "the vehicle 'van' is also in library/vehicles/van.yaml"


def test_a_code_of_digits_is_a_code(desk):
    desk.write(
        "library/parts/other.yaml", "parts:\n  010: {kind: driver, size_mm: 25}\n  1e3: {kind: fan, flow_m3_h: x}\n"
    )
    desk.change("driver: MID", "driver: '010'")
    system = desk.read()
    assert system.ways["mid"].part.origin.place == "library/parts/other.yaml:2:8"
    desk.change("driver: '010'", "driver: 010")
    assert "quote it if it is all digits" in desk.fault().what
    desk.change("driver: 010", "driver: '010'")
    desk.change("job: Short", "job: Short\nextras: {'1e3': 1}")
    assert desk.fault().where == "parts.1e3.flow_m3_h"


def test_a_part_of_another_kind_is_refused_with_its_place(desk):
    desk.change("driver: MID", "driver: AMP")
    fault = desk.fault()
    assert fault.what == "'AMP' is a part of kind amplifier, not driver (library/parts/all.yaml:5:8)"
    assert (fault.file, fault.line) == ("job.yaml", 10)


def test_a_part_written_out_as_another_kind_is_refused(desk):
    desk.change("driver: MID", "driver: {kind: box}")
    assert desk.fault().what == "a part of kind driver belongs here, not 'box'"


@pytest.mark.parametrize("kind", ["", "kind: drivr", "kind: 7", "kind: [driver]"])
def test_a_part_says_its_kind(desk, kind):
    desk.change("MID: {kind: driver", "MID: {" + (kind or "title: x"), "library/parts/all.yaml")
    fault = desk.fault()
    assert (fault.file, fault.line, fault.column) == ("library/parts/all.yaml", 6, 3)


@pytest.mark.parametrize("text", ["- 1\n", "parts: [1]\n", "part: {}\n", "parts:\n", "7\n"])
def test_a_parts_file_of_another_form_is_told_so(desk, text):
    desk.write("library/parts/other.yaml", text)
    fault = desk.fault()
    assert fault.file == "library/parts/other.yaml"
    assert fault.what.startswith("a parts file holds 'parts:'")


@pytest.mark.parametrize("text", ["vehicle: 7\n", "title: x\n", "- 1\n", "vehicle: [x]\n"])
def test_a_vehicle_file_begins_with_its_code(desk, text):
    desk.write("library/vehicles/other.yaml", text)
    assert desk.fault().what == "a vehicle file begins with 'vehicle:' and its code"


@pytest.mark.parametrize("name", ["library/parts/link.yaml", "library/vehicles/link.yaml", "library/shop.yaml"])
def test_a_link_out_of_the_library_is_refused(desk, name):
    outside = desk.write("outside.yaml", "shop: elsewhere\n")
    (desk.folder / name).symlink_to(outside)
    fault = desk.fault()
    assert (fault.file, fault.what) == (name, "this link leads out of its library")


def test_a_link_inside_the_library_is_followed(desk):
    desk.write("library/kept/more.yaml", "parts:\n  SUB: {kind: driver, size_mm: 250}\n")
    (desk.folder / "library/parts/link.yaml").symlink_to("../kept/more.yaml")
    desk.change("driver: MID", "driver: SUB")
    assert desk.read().ways["mid"].part.size_mm == 250


def test_a_folder_of_parts_that_is_a_link_outwards_is_refused(desk):
    desk.write("outside/x.yaml", "parts:\n  SUB: {kind: driver}\n")
    (desk.folder / "library/parts/all.yaml").rename(desk.folder / "outside/all.yaml")
    (desk.folder / "library/parts").rmdir()
    (desk.folder / "library/parts").symlink_to(desk.folder / "outside")
    assert {fault.what for fault in desk.faults()} >= {"this link leads out of its library"}


@pytest.mark.parametrize("make", ["loop", "gone", "pipe", "folder"])
def test_what_is_no_file_in_a_library_is_told_so(desk, make):
    odd = desk.folder / "library/parts/odd.yaml"
    {
        "loop": lambda: odd.symlink_to("odd.yaml"),
        "gone": lambda: odd.symlink_to("gone.yaml"),
        "pipe": lambda: os.mkfifo(odd),
        "folder": lambda: odd.mkdir(),
    }[make]()
    if make == "folder":
        assert desk.read()
    else:
        assert desk.fault().file == "library/parts/odd.yaml"


def test_a_shop_puts_its_figures_over_the_shipped_ones(desk):
    desk.write("library/shop.yaml", "shop: ours\nrate_per_h: 99\noperations:\n  weld: {h: 2}\n")
    system = desk.read()
    assert system.shop.rate_per_h == 99
    assert system.shop.origin.child("rate_per_h").place == "library/shop.yaml:2:13"
    assert {"weld", "damp-door"} <= set(system.shop.operations)
