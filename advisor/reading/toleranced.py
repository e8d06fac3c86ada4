"""Tolerances in files: `fs_hz: {value: 62, within: 15 %}` is read as 62 that may be 15 % off either way."""

from __future__ import annotations

import functools
import typing
from typing import Any, cast

from advisor.errors import Fault, shortened
from advisor.reading.origin import Origin
from advisor.reading.quantities import unit_of
from advisor.reading.shorthand import Edge
from advisor.reading.sides import Delay, Trim
from advisor.reading.spec import Spec, Steps
from advisor.reading.within import Within, read_within

_HOLDS = (dict, list)
FORM = "{value: 62, within: 15 %}"


def mentions(data: Any) -> bool:
    """Tell whether some mapping below has a key `within`: hardly any file does, and then there is nothing to do."""
    if isinstance(data, dict):
        if "within" in data:
            return True
        data = data.values()
    elif not isinstance(data, list):
        return False
    for item in data:  # noqa: SIM110 - every file goes through here, and `any` takes twice as long
        if isinstance(item, _HOLDS) and mentions(item):
            return True
    return False


def taken_out(
    cls: type[Spec], data: Any, origin: Origin, faults: list[Fault]
) -> tuple[Any, dict[Steps, Within], set[Steps]]:
    """Return plain values with every `{value: …, within: …}` replaced by its value, the tolerances, and what failed.

    What the annotations say is a mapping of names stays one, whatever its keys are; what is written out in place
    of a code is looked at when it is built itself.
    """
    taker = _Taker(origin, faults)
    return taker.take(cls, data, ()), taker.found, taker.failed


class _Taker:
    def __init__(self, origin: Origin, faults: list[Fault]) -> None:
        self.origin, self.faults = origin, faults
        self.found: dict[Steps, Within] = {}
        self.failed: set[Steps] = set()

    def take(self, annotation: Any, data: Any, path: Steps) -> Any:
        annotation = unwrapped(annotation)
        if annotation is Any:
            return data
        is_mapping = typing.get_origin(annotation) is dict
        if isinstance(annotation, type) and issubclass(annotation, Spec):
            if not isinstance(data, dict):
                return data
            hints = hints_of(cast(type, annotation))
            return {key: self.take(_hint(hints, key), item, (*path, key)) for key, item in data.items()}
        if isinstance(data, dict) and "within" in data and not is_mapping:
            return self.taken(annotation, data, path)
        if isinstance(data, dict) and (is_mapping or annotation in (Trim, Delay)):
            inner = typing.get_args(annotation)[1] if is_mapping else float
            return {key: self.take(inner, item, (*path, key)) for key, item in data.items()}
        if isinstance(data, list) and typing.get_origin(annotation) is tuple:
            kinds = typing.get_args(annotation)
            inners = kinds if len(kinds) == len(data) and Ellipsis not in kinds else (kinds[0],) * len(data)
            pairs = enumerate(zip(inners, data, strict=True))
            return [self.take(inner, item, (*path, index)) for index, (inner, item) in pairs]
        return data

    def taken(self, annotation: Any, data: dict[Any, Any], path: Steps) -> Any:
        here = self.origin.down(path)[0]
        for key in data:
            if key not in ("value", "within"):
                what = f"unknown key '{shortened(str(key))}' beside a tolerance"
                self.faults.append((here.child(key) or here).fault(what, f"write {FORM}", at_key=True))
        if "value" not in data:
            self.failed.add(path)
            self.faults.append(here.fault("'value' is missing beside 'within'", f"write {FORM}", at_key=True))
            return data
        value = data["value"]
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if annotation not in (float, Trim, Delay) and not (annotation is Edge and is_number):
            what = "only a measure can have a tolerance" + ("; this is a count" if annotation is int else "")
            self.failed.add(path)
            self.faults.append(here.fault(what, "write the value alone", at_key=True))
            return value
        try:
            self.found[path] = read_within(data["within"], _unit(path))
        except ValueError as error:
            shown = "nothing" if data["within"] is None else shortened(str(data["within"]))
            place = here.child("within") or here
            self.faults.append(place.fault(f"'{shown}' {error}"))
        return value


def _unit(path: Steps) -> str:
    """The unit of the innermost key that has one: `watts: {4: …}` are of the key above them."""
    words = [str(step) for step in path if isinstance(step, str)]
    return next((unit for word in reversed(words) if (unit := unit_of(word))), "W" if "watts" in words else "")


def _hint(hints: dict[str, Any], key: Any) -> Any:
    return hints.get(str(key), hints.get(f"{key}_", Any))


@functools.cache
def hints_of(cls: type) -> dict[str, Any]:
    """Return the annotations of a dataclass, by attribute."""
    return typing.get_type_hints(cls)


def unwrapped(annotation: Any) -> Any:
    """Return `X` for `X | None`."""
    options = [option for option in typing.get_args(annotation) if option is not type(None)]
    is_union = type(None) in typing.get_args(annotation)
    return options[0] if is_union and options else annotation
