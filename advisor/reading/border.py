"""The one place where pydantic works: plain values in, frozen dataclasses with positions out, faults in words."""

from __future__ import annotations

import copy
import functools
import os
import typing
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar, cast

from advisor.errors import Fault, did_you_mean, shortened
from advisor.reading.origin import Origin
from advisor.reading.spec import Spec, Steps
from advisor.reading.toleranced import hints_of, mentions, taken_out, unwrapped
from advisor.reading.within import Within

S = TypeVar("S", bound=Spec)
V = TypeVar("V")


def build(cls: type[S], data: Any, origin: Origin, faults: list[Fault], drop: tuple[str, ...] = ()) -> S | None:
    """Check plain values against a dataclass and return it with positions attached.

    Every fault found is added to `faults`; then None is returned. `drop` names keys that were dealt with before.
    """
    result = checked(cls, data, origin, faults, drop)
    if result is not None:
        _attach(result, origin)
    return result


def checked(cls: type[S], data: Any, origin: Origin, faults: list[Fault], drop: tuple[str, ...] = ()) -> S | None:
    """Do the same without attaching positions; `placed` attaches them to copies."""
    from pydantic import ValidationError

    if isinstance(data, dict) and drop:
        data = {key: value for key, value in data.items() if key not in drop}
    known = len(faults)
    tolerances: dict[Steps, Within] = {}
    told: set[Steps] = set()
    if mentions(data):
        data, tolerances, told = taken_out(cls, data, origin, faults)
    try:
        result = cast(S, _adapter(cls).validate_python(data))
    except ValidationError as error:
        wrong = [item for item in error.errors(include_url=False) if not _is_told(item, told)]
        faults += [_fault(cls, item, origin, tolerances) for item in wrong]
        return None
    if len(faults) > known:
        return None
    _attach_tolerances(result, tolerances)
    return result


def salvage(cls: type[S], data: Any, origin: Origin) -> S | None:
    """Return what is left of values that did not pass, without the keys at fault, so that reading can go on.

    Only good for finding further faults. None where too little is left.
    """
    from pydantic import ValidationError

    data = copy.deepcopy(data)
    if mentions(data):
        data = taken_out(cls, data, origin, [])[0]
    for _ in range(8):
        try:
            result = cast(S, _adapter(cls).validate_python(data))
        except ValidationError as error:
            if not all(_prune(data, _steps(item), item["type"]) for item in error.errors(include_url=False)):
                return None
            continue
        _attach(result, origin)
        return result
    return None


def _prune(data: Any, steps: tuple[str | int, ...], kind: str) -> bool:
    """Remove the value at fault; where a key is missing, or a list item is at fault, what holds it."""
    steps = steps[:-1] if kind == "missing" else steps
    while steps:
        holder = data
        for step in steps[:-1]:
            try:
                holder = holder[step]
            except (KeyError, IndexError, TypeError):
                return True  # went with an earlier fault
        if isinstance(holder, dict):
            holder.pop(steps[-1], None)
            return True
        steps = steps[:-1]
    return False


_ADAPTERS: dict[type, Any] = {}


def _adapter(cls: type[Spec]) -> Any:
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # none is wanted, and looking for them takes time
    from pydantic import TypeAdapter

    if cls not in _ADAPTERS:
        _ADAPTERS[cls] = TypeAdapter(cls)
    return _ADAPTERS[cls]


def keys_of(cls: type[Spec]) -> list[str]:
    """Return the keys a mapping of this kind may have in a file."""
    return [field.name.rstrip("_") for field in fields(cls)]


def _attach(value: Any, origin: Origin | None) -> None:
    """Tell every dataclass below a value where it was written."""
    if origin is None:
        return
    if isinstance(value, Spec):
        object.__setattr__(value, "origin", origin)
        held = vars(value)
        for name, step in _steps_of(cast(type, type(value))):
            inner = held[name]
            if isinstance(inner, _HOLDS) and inner:
                _attach(inner, origin.child(step))
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            if isinstance(inner, Spec):
                _attach(inner, origin.child(index))
    elif isinstance(value, dict):
        for key, inner in value.items():
            if isinstance(inner, _BELOW_NAMES):
                _attach(inner, origin.child(str(key)))


def placed(value: V, origin: Origin | None) -> V:
    """Return a copy of what was checked, with positions attached to it and all below."""
    if isinstance(value, Spec):
        copied = object.__new__(type(value))
        held = vars(copied)
        held.update(vars(value))
        if origin is not None:
            held["origin"] = origin
        for name, step in _steps_of(cast(type, type(value))):
            inner = held[name]
            if isinstance(inner, _HOLDS) and inner:
                held[name] = placed(inner, origin and origin.child(step))
        return copied
    found: Any = value
    if isinstance(value, tuple) and any(isinstance(inner, Spec) for inner in value):
        found = tuple([placed(inner, origin and origin.child(index)) for index, inner in enumerate(value)])
    elif isinstance(value, dict):
        found = {
            key: placed(inner, origin and origin.child(str(key))) if isinstance(inner, _BELOW_NAMES) else inner
            for key, inner in value.items()
        }
    return cast(V, found)


_HOLDS, _BELOW_NAMES = (Spec, tuple, dict), (Spec, tuple)


@functools.cache
def _steps_of(cls: type) -> tuple[tuple[str, str], ...]:
    """Return the attributes of a mapping that hold other mappings, with the key each is written by."""
    hints = hints_of(cls)
    return tuple((field.name, field.name.rstrip("_")) for field in fields(cls) if _has_mappings(hints[field.name]))


def _has_mappings(annotation: Any) -> bool:
    if isinstance(annotation, type) and issubclass(annotation, Spec):
        return True
    return any(_has_mappings(inner) for inner in typing.get_args(annotation))


def _attach_tolerances(result: Spec, found: dict[Steps, Within]) -> None:
    """Give every tolerance to the innermost mapping that its value stands in."""
    for path, within in found.items():
        here: Any = result
        holder, start = result, 0
        for index, step in enumerate(path):
            if isinstance(here, Spec):
                holder, start = here, index
                here = getattr(here, str(step), None)
            elif isinstance(here, dict):
                here = here.get(step)
            elif isinstance(here, tuple):
                here = here[int(step)]
        object.__setattr__(holder, "tolerances", {**holder.tolerances, path[start:]: within})


def _is_told(error: Any, told: set[Steps]) -> bool:
    """Whether what is at fault, or what holds it, is known to be wrong already."""
    steps = _steps(error)
    return any(steps[: len(path)] == path for path in told)


def _steps(error: Any) -> tuple[str | int, ...]:
    """Return the path to what is at fault; pydantic marks a key, as against its value, by a last step `[key]`."""
    steps: tuple[str | int, ...] = error["loc"]
    return steps[:-1] if _is_of_key(error) else steps


def _is_of_key(error: Any) -> bool:
    named = ("missing", "unexpected_keyword_argument")  # of these the last step is the key's own name
    return error["loc"][-1:] == ("[key]",) and error["type"] not in named


def _fault(cls: type[Spec], error: Any, origin: Origin, tolerances: dict[Steps, Within]) -> Fault:
    steps = _steps(error)
    here, left = origin.down((*steps, "value") if steps in tolerances else steps)
    kind, given = error["type"], error.get("input")
    if kind == "missing":
        return here.fault(f"'{left[0] if left else steps[-1]}' is missing", at_key=True)
    if kind == "unexpected_keyword_argument":
        known = keys_of(_class_at(cls, steps[:-1]) or cls)
        word = str(steps[-1])
        hint = did_you_mean(word, known) or _unit_hint(word, known) or f"known here: {', '.join(known)}"
        return here.fault(f"unknown key '{shortened(word)}'", hint, at_key=True)
    return here.fault(*_words(kind, error, given), at_key=_is_of_key(error) or kind == "invalid_key")


def _words(kind: str, error: Any, given: Any) -> tuple[str, str]:
    context = error.get("ctx", {})
    shown = _shown(given)
    if kind == "value_error":
        return f"{shown} {context['error']}", ""
    if kind == "literal_error":
        expected = str(context["expected"])
        known = [word.strip(" '") for word in expected.replace(" or ", ",").split(",")]
        return f"{shown} is not one of {expected}", did_you_mean(given, known)
    if kind in ("float_type", "int_type"):
        number = "a whole number" if kind == "int_type" else "a number"
        is_measure = isinstance(given, str) and given[:1].isdigit()
        hint = "write the number alone; its unit is in the key" if is_measure else ""
        return f"{shown} is not {number}", hint
    if kind in ("greater_than", "greater_than_equal", "less_than_equal", "less_than"):
        bound = next(iter(context.values()))
        return f"{shown} must be {kind.replace('_', ' ')} {bound:g}", ""
    if kind in ("dataclass_type", "dict_type", "mapping_type"):
        return (
            f"{shown} is not a mapping of keys and values",
            "check the indentation, and the space after ':'",
        )
    if kind == "tuple_type":
        return f"{shown} is not a list", "write [first, second]"
    if kind in ("too_short", "too_long", "string_too_short"):
        return f"{shown} has the wrong length", str(error["msg"]).removeprefix("Value ")
    if kind in ("string_type", "invalid_key"):
        return f"{shown} is not a text", "put it in quotes if it is meant as one"
    return f"{shown}: {error['msg']}", ""


def _shown(given: Any) -> str:
    if given is None:
        return "nothing"
    if isinstance(given, dict | list):
        return "a mapping" if isinstance(given, dict) else "a list"
    text = {True: "true", False: "false"}[given] if isinstance(given, bool) else str(given)
    return f"'{shortened(text)}'"


def _unit_hint(word: str, known: list[str]) -> str:
    """`fs` was meant as `fs_hz`: close matching does not see that short words grew a unit."""
    grown = [name for name in known if name.startswith(word + "_")]
    return f"did you mean '{grown[0]}'?" if grown else ""


def _class_at(cls: Any, steps: tuple[str | int, ...]) -> type[Spec] | None:
    """Follow a path of keys through the dataclasses' annotations to the dataclass found there."""
    here: Any = cls
    for step in steps:
        if is_dataclass(here) and isinstance(here, type):
            hints = hints_of(here)
            here = hints.get(str(step), hints.get(f"{step}_"))
        else:
            here = _inner(here)
        here = unwrapped(here)
    return here if isinstance(here, type) and issubclass(here, Spec) else None


def _inner(annotation: Any) -> Any:
    arguments = [item for item in typing.get_args(annotation) if item is not Ellipsis]
    return arguments[-1] if arguments else None
