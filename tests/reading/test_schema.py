"""The schemas for editors are those of the dataclasses, in words of draft-07, and judge as the program does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from advisor.reading.schema import DRAFT, schemas, write_schemas
from advisor.reading.source import read_source

ROOT = Path(__file__).parent.parent.parent
COMMITTED = ROOT / "advisor" / "schemas"
LATER = {
    "$defs",
    "$dynamicRef",
    "$anchor",
    "prefixItems",
    "unevaluatedProperties",
    "unevaluatedItems",
    "dependentRequired",
    "dependentSchemas",
    "minContains",
    "maxContains",
    "written_out",
}

FILES = [("job", path) for path in sorted((ROOT / "examples" / "jobs").glob("*.yaml"))]
FILES += [("job", path) for path in sorted((ROOT / "rules" / "bases").glob("*.yaml"))]
FILES += [("parts", path) for path in sorted((ROOT / "examples" / "library" / "parts").glob("*.yaml"))]
FILES += [("vehicle", path) for path in sorted((ROOT / "examples" / "library" / "vehicles").glob("*.yaml"))]
FILES += [("shop", ROOT / "examples" / "library" / "shop.yaml"), ("shop", ROOT / "rules" / "shop-defaults.yaml")]
FILES += [("package", path) for path in sorted((ROOT / "examples" / "catalogue" / "packages").glob("*.yaml"))]
FILES += [
    (kind + "s" * (kind == "part"), ROOT / "advisor" / "starters" / f"{kind}.yaml")
    for kind in ("job", "part", "vehicle", "package")
]


def as_editors_see(value: Any) -> Any:
    """JSON knows no keys but texts."""
    return json.loads(json.dumps(value))


def wrong(kind: str, value: Any) -> list[str]:
    schema = json.loads((COMMITTED / f"{kind}.json").read_text(encoding="utf-8"))
    return [error.message for error in jsonschema.Draft7Validator(schema).iter_errors(as_editors_see(value))]


def keywords(schema: Any) -> set[str]:
    """Every keyword used: keys of schemas, not the names of properties or definitions."""
    if isinstance(schema, list):
        return set().union(*(keywords(item) for item in schema))
    if not isinstance(schema, dict):
        return set()
    found = set(schema)
    for key, value in schema.items():
        inner = value.values() if key in ("properties", "definitions") else [value]
        found = found.union(*(keywords(item) for item in inner))
    return found


def test_the_committed_schemas_are_current(tmp_path):
    written = write_schemas(tmp_path)
    assert sorted(path.name for path in written) == sorted(path.name for path in COMMITTED.iterdir())
    for path in written:
        committed = (COMMITTED / path.name).read_text(encoding="utf-8")
        assert path.read_text(encoding="utf-8") == committed, "run advisor.reading.schema.write_schemas"


@pytest.mark.parametrize("kind", ["job", "package", "parts", "vehicle", "shop"])
def test_a_schema_is_draft_07_and_complete(kind):
    schema = schemas()[kind]
    assert schema["$schema"] == DRAFT
    jsonschema.Draft7Validator.check_schema(schema)
    assert not keywords(schema) & LATER
    text = json.dumps(schema)
    for name in schema["definitions"]:
        assert f'"#/definitions/{name}"' in text
    assert text.count('"$ref"') == text.count('"#/definitions/')


@pytest.mark.parametrize(("kind", "path"), FILES, ids=lambda value: value.stem if isinstance(value, Path) else value)
def test_a_good_file_passes(kind, path):
    assert wrong(kind, read_source(path).data) == []


GOOD_JOB = {"job": "x", "ways": {"mid": {"driver": {"size_mm": 80}}}}


@pytest.mark.parametrize(
    "change",
    [
        {"ways": {}},
        {"ways": {"mid": {}}},
        {"ways": {"mid": {"driver": 7}}},
        {"wayz": {}},
        {"advisor": 2},
        {"job": 7},
        {"ways": {"mid": {"driver": {"size": 80}}}},
        {"ways": {"mid": {"driver": {"size_mm": "80 mm"}}}},
        {"ways": {"mid": {"driver": {"size_mm": -1}}}},
        {"ways": {"mid": {"driver": {"kind": "box"}}}},
        {"ways": {"mid": {"driver": "MID", "plays": ["fast", "open"]}}},
        {"ways": {"mid": {"driver": "MID", "plays": ["open"]}}},
        {"ways": {"mid": {"driver": "MID", "at": {"hole": 1}}}},
        {"vehicle": {"cabin": {"length": 3}}},
        {"vehicle": 7},
        {"customer": {"budget": "much"}},
        {"customer": {"seats": [1]}},
        {"chain": {"front": {"amplifier": {"banks": []}}}},
        {"chain": {"front": {"from": []}}},
        {"library": "here"},
        {"waive": [{"rule": "x"}]},
        {"supply": {"fuse_a": 0}},
        {"chain": {"front": {"amplifier": "A", "over": "air"}}},
    ],
)
def test_a_job_that_is_wrong_does_not_pass(change):
    assert wrong("job", GOOD_JOB) == []
    assert wrong("job", GOOD_JOB | change) != []


GOOD_PACKAGE = {"package": "x", "vehicles": ["a"], "customers": {"b": {}}, "ways": GOOD_JOB["ways"]}


@pytest.mark.parametrize(
    "change",
    [
        {"vehicles": []},
        {"customers": {}},
        {"vehicle": "a"},
        {"customer": {}},
        {"vehicles": {"one of": ["a", "b"]}},
        {"ways": {"mid": {"driver": {"one of": ["A"]}}}},
        {"ways": {"mid": {"driver": {"one of": ["A", "B"], "coice": "x"}}}},
        {"ways": {"mid": {"driver": "A", "plays": ["fast", "open"]}}},
    ],
)
def test_a_package_that_is_wrong_does_not_pass(change):
    assert wrong("package", GOOD_PACKAGE) == []
    assert wrong("package", GOOD_PACKAGE | {"ways": {"mid": {"one of": [{"driver": "A"}, {"driver": "B"}]}}}) == []
    assert wrong("package", GOOD_PACKAGE | change) != []


@pytest.mark.parametrize(
    "part",
    [
        {},
        {"size_mm": 25},
        {"kind": "speaker"},
        {"kind": "driver", "sise_mm": 25},
        {"kind": "fuse"},
        {"kind": "box", "closed_l": 0},
        {"kind": "driver", "type": "horn"},
        {"kind": "cable", "outer_mm": [1, 2]},
        7,
    ],
)
def test_a_part_that_is_wrong_does_not_pass(part):
    assert wrong("parts", {"parts": {"A": {"kind": "driver", "outer_mm": [1, 2, 3]}}}) == []
    assert wrong("parts", {"parts": {"A": part}}) != []


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("parts", {}),
        ("parts", {"parts": [], "x": 1}),
        ("vehicle", {"title": "no code"}),
        ("vehicle", []),
        ("vehicle", {"vehicle": "v", "locations": {"door": {"zone": "up"}}}),
        ("shop", {"rate_per_h": 0}),
        ("shop", {"operations": {"weld": {}}}),
        ("shop", {"levels": {"some-rule": "maybe"}}),
    ],
)
def test_a_file_that_is_wrong_does_not_pass(kind, value):
    assert wrong(kind, value) != []


def test_keys_are_described_with_their_unit():
    driver = schemas()["parts"]["definitions"]["Driver"]["properties"]
    assert driver["power_w"]["description"] == "Rated (long-term) power handling. [W]"
    assert driver["price"]["description"] == "To the customer, each. [money]"
    assert driver["kind"] == {"const": "driver"}
