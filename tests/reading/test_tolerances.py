"""Tolerances beside values: any measure of any file may carry one, and what is wrong with one is told at its place."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, get_args, get_origin

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import InputError
from advisor.facts.tolerances import tolerances
from advisor.reading.parts import KINDS, Bank, LegPart, Signal
from advisor.reading.toleranced import hints_of, unwrapped
from advisor.reading.vehicle import Cabin, Electrics, Location, Reach, Seat
from advisor.reading.within import Within, read_within
from tests.reading.conftest import PARTS
from tests.reading.test_schema import wrong

UNITS = {"": [""], "Hz": ["", "Hz", "hz"], "dB": ["", "dB"], "°C": ["", "°C", "K", "C"], "Ω": ["", "ohm"]}
SIZES = st.floats(0, 1e6, allow_nan=False).map(lambda size: round(size, 6))


@given(size=SIZES, unit=st.sampled_from(sorted(UNITS)), which=st.integers(0, 3), gap=st.sampled_from(["", " ", "  "]))
def test_an_amount_may_be_a_number_or_one_with_the_values_own_unit(size, unit, which, gap):
    said = UNITS[unit][which % len(UNITS[unit])]
    assert read_within(size, unit) == Within(size)
    assert read_within(f"{size:.6f}{gap}{said}", unit) == Within(size)


@given(percent=st.floats(0, 99.9).map(lambda size: round(size, 3)), gap=st.sampled_from(["", " "]))
def test_a_share_is_of_the_value(percent, gap):
    within = read_within(f"{percent:.3f}{gap}%", "Hz")
    assert within.share and within.of(-200) == pytest.approx(2 * percent)
    for unit in ("dB", "°C"):
        with pytest.raises(ValueError, match="says nothing of a value"):
            read_within(f"{percent:.3f}{gap}%", unit)
    assert read_within(f"{percent:.3f} %", "%") == Within(percent)  # of percent, percent are an amount


@given(raw=st.one_of(st.text(max_size=12), st.none(), st.booleans(), st.lists(st.integers(), max_size=2), st.floats()))
def test_anything_else_is_refused_in_words_and_never_otherwise(raw):
    try:
        within = read_within(raw, "Hz")
    except ValueError as error:
        assert str(error).startswith(("is ", "could"))
    else:
        assert 0 <= within.size <= 1e9


FAULTS = [
    ("{value: 110, within: -3}", "'-3' is negative", "within: -3}", 8),
    ("{value: 110, within: -3 %}", "'-3 %' is negative", "within", 8),
    ("{value: 110, within: a bit}", "'a bit' is not a number", "within", 8),
    ("{value: 110, within: 3 kg}", "'3 kg' is in 'kg', the value is in Hz", "within", 8),
    ("{value: 110, within: 100 %}", "'100 %' is all of the value or more", "within", 8),
    ("{value: 110, within: [3]}", "'[3]' is not a tolerance", "within", 8),
    ("{value: 110, within: }", "'nothing' is not a tolerance", "within", 8),
    ("{value: 110, within: 1, of: 2}", "unknown key 'of' beside a tolerance", "of", 0),
    ("{value: low, within: 3}", "'low' is not a number", "low", 0),
    ("{within: 3}", "'value' is missing beside 'within'", "fs_hz: {within", 0),
    ("{value: -110, within: 3}", "'-110' must be greater than 0", "-110", 0),
]


@pytest.mark.parametrize(("written", "what", "at", "after"), FAULTS)
def test_what_is_wrong_with_a_tolerance_is_told_at_its_place(desk, written, what, at, after):
    desk.change("fs_hz: 110", f"fs_hz: {written}", "library/parts/all.yaml")
    fault = desk.fault()
    assert fault.what.startswith(what)
    line = (desk.folder / "library/parts/all.yaml").read_text().splitlines()[fault.line - 1]
    assert fault.file == "library/parts/all.yaml" and fault.column == line.index(at) + after + 1


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("kind: cable", "title: {value: 3, within: 1}, kind: cable", "library/parts/all.yaml"),
        ("{channels: 4, watts", "{channels: {value: 4, within: 1}, watts", "library/parts/all.yaml"),
        ("plays: [300 LR24, open]", "plays: [{value: 300 LR24, within: 9}, open]", "job.yaml"),
        ("zone: front", "zone: {value: front, within: 1}", "library/vehicles/van.yaml"),
    ],
)
def test_only_a_measure_can_have_one(desk, old, new, name):
    if "cable" in old:
        desk.change("plays: [300 LR24, open]", "plays: [300 LR24, open], speaker_cable: {cable: WIRE, run_m: 2}")
    desk.change(old, new, name)
    assert desk.fault().what.startswith("only a measure can have a tolerance")


def test_any_number_of_any_file_may_carry_one(desk):
    desk.change("fs_hz: 110", "fs_hz: {value: 110, within: 15 %}", "library/parts/all.yaml")
    desk.change("watts: {4: 50}", "watts: {4: {value: 50, within: 2 W}}", "library/parts/all.yaml")
    desk.change("hole_mm: 90", "hole_mm: {value: 90, within: 1}", "library/vehicles/van.yaml")
    desk.change("[300, 200, 90]", "[300, {value: 200, within: 5}, 90]", "library/vehicles/van.yaml")
    desk.change("job: Short", "job: Short\nair_c: {value: 20, within: 4}\nshop: own.yaml")
    desk.change("open], work", "open], trim_db: {left: {value: -3, within: 0.5}, right: -3}, work")
    desk.write(
        "own.yaml",
        "shop: Own\nrate_per_h: {value: 60, within: 10 %}\noperations: {damp-door: {h: {value: 2, within: 1}}}\n",
    )
    system = desk.read()
    assert system.ways["mid"].part.fs_hz == 110
    assert system.ways["mid"].part.tolerances == {("fs_hz",): Within(0.15, share=True)}
    assert system.ways["mid"].spec.tolerances == {("trim_db", "left"): Within(0.5)}
    assert system.devices["front"].part.banks[0].tolerances == {("watts", 4): Within(2)}
    assert system.vehicle.locations["door"].tolerances == {("hole_mm",): Within(1)}
    assert system.vehicle.locations["shelf"].tolerances == {("space_mm", 1): Within(5)}
    assert system.job.tolerances == {("air_c",): Within(4)}
    assert system.shop.tolerances == {("rate_per_h",): Within(0.1, share=True)}
    assert system.shop.operations["damp-door"].tolerances == {("h",): Within(1)}


def test_names_that_look_like_a_tolerance_stay_names(desk):
    desk.change("{driver: {}, passenger: {}}", "{value: {}, within: {}}", "library/vehicles/van.yaml")
    desk.change("pair: true", "pair: true, distance_m: {value: 1.2, within: 0.9}", "library/vehicles/van.yaml")
    desk.change("ways:\n  mid:", "ways:\n  within: {driver: {size_in: 8}}\n  value:")
    system = desk.read()
    assert [*system.ways] == ["within", "value"] and [*system.vehicle.seats] == ["value", "within"]
    assert system.vehicle.locations["door"].distance_m == {"value": 1.2, "within": 0.9}
    assert system.vehicle.locations["door"].tolerances == {}


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    value=st.one_of(SIZES, st.integers(-5, 5), st.text("abc", max_size=2)),
    within=st.one_of(SIZES, st.text("0123456789.% Hz-", max_size=6), st.integers(-3, 3)),
)
def test_schema_and_reader_are_of_one_mind(desk, value, within):
    data = {"parts": {"D": {"kind": "driver", "fs_hz": {"value": value, "within": within}}}}
    try:
        desk.write("library/parts/all.yaml", PARTS)
        desk.change(
            "fs_hz: 110", f"fs_hz: {{value: {as_yaml(value)}, within: {as_yaml(within)}}}", "library/parts/all.yaml"
        )
        desk.read()
    except InputError:
        return  # the schema is content with units that only the reader knows to be of another kind
    assert wrong("parts", data) == []


def as_yaml(value: Any) -> str:
    return f"'{value}'" if isinstance(value, str) else f"{value!r}"


def numeric(annotation: Any) -> bool:
    annotation = unwrapped(annotation)
    if get_origin(annotation) in (dict, tuple):
        return any(numeric(inner) for inner in get_args(annotation)[get_origin(annotation) is dict :])
    return annotation is float


def test_every_number_of_a_part_or_vehicle_is_in_the_table_or_taken_at_its_word():
    known = tolerances()
    classes = [*KINDS.values(), Bank, LegPart, Signal, Cabin, Electrics, Location, Reach, Seat]
    named = {field.name for cls in classes for field in fields(cls) if numeric(hints_of(cls)[field.name])}
    assert named - known.inputs.keys() - known.at_their_word == set()
    assert known.inputs.keys() & known.at_their_word == set()
    assert (known.inputs.keys() | known.at_their_word) - named == set(), "the table names what no file can hold"
    assert all(known.sources.values())
