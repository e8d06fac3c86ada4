"""JSON Schemas (draft-07) of the files people write, made from the dataclasses: editors check and complete by them."""

from __future__ import annotations

import ast
import inspect
import json
import re
import textwrap
from dataclasses import fields
from pathlib import Path
from typing import Any

from advisor.reading.choices import KEY, OPEN
from advisor.reading.job import Job
from advisor.reading.package import Package
from advisor.reading.parts import KINDS
from advisor.reading.quantities import Angle, Celsius, NotNegative, Positive, Share, unit_of
from advisor.reading.shop import Shop
from advisor.reading.spec import Spec
from advisor.reading.vehicle import Location, Seat, Vehicle

DRAFT = "http://json-schema.org/draft-07/schema#"

_NUMBERS = {"Positive": Positive, "NotNegative": NotNegative, "Share": Share, "Celsius": Celsius, "Angle": Angle}

_WITHIN: dict[str, Any] = {
    "description": "By how much the value may be off either way: in its own unit, or as 15 % of it.",
    "anyOf": [
        {"type": "number", "minimum": 0},
        {"type": "string", "pattern": r"^\s*([0-9]+(\.[0-9]*)?|\.[0-9]+)\s*[^\s0-9]*\s*$"},
    ],
}

_ONE_OF: dict[str, Any] = {
    "description": "A choice left open; choices of one name are made together.",
    "type": "object",
    "properties": {
        "choice": {"type": "string"},
        KEY: {"anyOf": [{"type": "array", "minItems": 2}, {"type": "object", "minProperties": 2}]},
    },
    "required": [KEY],
    "additionalProperties": False,
}

_ROOTS: tuple[type[Spec], ...] = (Job, Package, Shop, Vehicle, Location, Seat, *KINDS.values())


def schemas() -> dict[str, dict[str, Any]]:
    """Return the schema of every kind of file: job, package, parts, vehicle, shop."""
    known = _definitions()
    vehicle = {**known["Vehicle"], "required": ["vehicle"]}  # in a file; written out in a job it needs no code
    files = {"job": known["Job"], "parts": _parts_file(), "vehicle": vehicle, "shop": known["Shop"]}
    found = {name: _whole(name, schema, known) for name, schema in files.items()}
    return {**found, "package": _open(_whole("package", known["Package"], known))}


def write_schemas(folder: Path) -> list[Path]:
    """Write every schema into a folder, `job.json` and so on, and return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, schema in schemas().items():
        path = folder / f"{name}.json"
        path.write_text(json.dumps(schema, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        written.append(path)
    return written


def _whole(name: str, schema: dict[str, Any], known: dict[str, Any]) -> dict[str, Any]:
    """Return one file's schema with the definitions it refers to, directly or through others, and no more."""
    needed: set[str] = set()
    waiting = _references(schema)
    while waiting:
        needed |= waiting
        waiting = {more for one in waiting for more in _references(known[one])} - needed
    head = {"$schema": DRAFT, "title": f"{name} file"}
    return {**head, **schema, "definitions": {one: known[one] for one in sorted(needed)}}


def _open(package: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of a package in which every value of what it is made of may be left open."""
    closed = ("Customer", "Waiver", "Within", *_NUMBERS)
    known = {
        name: schema if name in closed else {**schema, "properties": _or_choice(schema["properties"])}
        for name, schema in package["definitions"].items()
    }
    properties = package["properties"]
    properties |= _or_choice({name: properties[name] for name in OPEN})
    for name in ("ways", "chain"):  # a whole way, a whole device
        holder = properties[name]["anyOf"][0]
        holder["additionalProperties"] = {"anyOf": [holder["additionalProperties"], {"$ref": "#/definitions/OneOf"}]}
    return {**package, "properties": properties, "definitions": {**known, "OneOf": _ONE_OF}}


def _or_choice(properties: dict[str, Any]) -> dict[str, Any]:
    return {name: {"anyOf": [schema, {"$ref": "#/definitions/OneOf"}]} for name, schema in properties.items()}


def _references(schema: Any) -> set[str]:
    return set(re.findall(r'"#/definitions/(\w+)"', json.dumps(schema)))


def _parts_file() -> dict[str, Any]:
    """A parts file maps codes to parts, each of which says its kind."""
    kinds = [{"allOf": [{"$ref": f"#/definitions/{cls.__name__}"}, {"required": ["kind"]}]} for cls in KINDS.values()]
    parts = {"type": "object", "description": "Codes and their parts.", "additionalProperties": {"oneOf": kinds}}
    return {
        "description": "Parts of a library, by code.",
        "type": "object",
        "properties": {"advisor": {"const": 1}, "parts": parts},
        "required": ["parts"],
        "additionalProperties": False,
    }


def _definitions() -> dict[str, dict[str, Any]]:
    """Return the schema of every dataclass that files are read into, by its name."""
    from pydantic import TypeAdapter

    found: dict[str, dict[str, Any]] = {}
    for cls in _ROOTS:
        schema = TypeAdapter(cls).json_schema(by_alias=True, ref_template="#/definitions/{model}")
        found |= schema.pop("$defs", {})
        found[cls.__name__] = schema
    numbers = _numbers()
    classes = {cls.__name__: cls for cls in _below(Spec)}
    found = {name: _described(classes[name], _draft_07(schema, numbers)) for name, schema in found.items()}
    found |= {"Within": _WITHIN, **numbers}
    for kind, cls in KINDS.items():
        schema = found[cls.__name__]
        schema["properties"] = {"kind": {"const": kind}, **schema["properties"]}
    return found


def _below(cls: type[Spec]) -> list[type[Spec]]:
    return [one for sub in cls.__subclasses__() for one in (sub, *_below(sub))]


def _draft_07(schema: Any, numbers: dict[str, dict[str, Any]]) -> Any:
    """Return the same in draft-07's words, without the titles pydantic makes up and defaults of nothing."""
    if isinstance(schema, list):
        return [_draft_07(item, numbers) for item in schema]
    if not isinstance(schema, dict):
        return schema
    if set(schema) == {"written_out"}:
        return {"$ref": f"#/definitions/{schema['written_out']}"}
    result: dict[str, Any] = {}
    for key, value in schema.items():
        if key == "properties":
            result[key] = {name: _draft_07(inner, numbers) for name, inner in value.items()}
        elif key == "prefixItems":
            result["items"] = _draft_07(value, numbers)
        elif key == "default":
            if value not in (None, "", [], {}) and not isinstance(value, dict):
                result[key] = value
        elif key != "title" or not isinstance(value, str):
            result[key] = _draft_07(value, numbers)
    if result.get("type") == "number":
        result = _number(result, numbers)
    if "$ref" in result and len(result) > 1:  # draft-07 looks at nothing that stands beside a reference
        return {"allOf": [{"$ref": result.pop("$ref")}], **result}
    return result


def _numbers() -> dict[str, dict[str, Any]]:
    """Return the schema of every kind of number, by its name: written alone, or with its tolerance."""
    from pydantic import TypeAdapter

    return {name: _or_toleranced(TypeAdapter(kind).json_schema()) for name, kind in _NUMBERS.items()}


def _or_toleranced(number: dict[str, Any]) -> dict[str, Any]:
    whole: dict[str, Any] = {
        "type": "object",
        "properties": {"value": number, "within": {"$ref": "#/definitions/Within"}},
        "required": ["value", "within"],
        "additionalProperties": False,
    }
    return {"anyOf": [number, whole]}


def _number(schema: dict[str, Any], numbers: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """Return what a field says of its number: which kind it is, or its own bounds, and what stands beside them."""
    bounds = {key: value for key, value in schema.items() if key not in ("description", "default")}
    beside = {key: value for key, value in schema.items() if key in ("description", "default")}
    name = next((name for name, known in numbers.items() if known["anyOf"][0] == bounds), "")
    told = {"$ref": f"#/definitions/{name}"} if name else _or_toleranced(bounds)
    return told | beside


def _described(cls: type[Spec], schema: dict[str, Any]) -> dict[str, Any]:
    """Add to every key what the dataclass says of it, and its unit."""
    notes: dict[str, str] = {}
    for owner in reversed(cls.__mro__):
        if issubclass(owner, Spec):
            notes |= _field_notes(owner)
    for field in fields(cls):
        key = field.name.rstrip("_")
        unit = unit_of(key)
        words = [notes.get(field.name, ""), f"[{unit}]" if unit else ""]
        if any(words):
            schema["properties"][key]["description"] = " ".join(word for word in words if word)
    return schema


def _field_notes(cls: type[Spec]) -> dict[str, str]:
    """Return the texts that stand below fields in the source of a dataclass."""
    body = ast.parse(textwrap.dedent(inspect.getsource(cls))).body[0]
    assert isinstance(body, ast.ClassDef)
    notes: dict[str, str] = {}
    for above, below in zip(body.body, body.body[1:], strict=False):
        if not isinstance(above, ast.AnnAssign) or not isinstance(above.target, ast.Name):
            continue
        if isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant):
            notes[above.target.id] = " ".join(str(below.value.value).split())
    return notes


if __name__ == "__main__":
    write_schemas(Path(__file__).parents[1] / "schemas")
