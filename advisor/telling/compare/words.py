"""What an aspect of a design is in one option and in another, in words."""

from __future__ import annotations

import dataclasses
from typing import Any

from advisor.judging.formats import listed, plain, with_unit
from advisor.reading.parts import Box, Driver
from advisor.reading.quantities import unit_of
from advisor.reading.shorthand import Feed
from advisor.reading.spec import Spec
from advisor.reading.system import PlacedDevice, PlacedWay, System
from advisor.telling.compare.aspects import Aspect, is_there

_SUBJECTS = {
    "part": "the {name} is",
    "box": "the box of the {name} is",
    "at": "the {name} sits at",
    "plays": "the {name} plays",
    "speaker_cable": "the cable of the {name} has",
    "count": "drivers a side of the {name}:",
    "fan": "the fan of the {name}:",
    "coils": "the coils of the {name} are in",
    "joined": "the drivers of the {name} are in",
    "from_": "the {name} is fed by",
    "over": "the {name} is fed over",
    "supply": "the supply has",
    "cabin": "the cabin has",
    "electrics": "the vehicle has",
    "customer": "the customer has",
}


def in_words(aspect: Aspect, here: System, there: System, read: frozenset[str] = frozenset()) -> str:
    """Say what an aspect is there instead of here; nothing where both are called the same.

    Of a mapping only the values that were `read` are told, where any of them differs.
    """
    if aspect.holder in ("way", "device") and not (is_there(here, aspect) and is_there(there, aspect)):
        gone = not is_there(there, aspect)
        return f"the {_called(aspect, here if gone else there)} is {'left out' if gone else 'added'}"
    if aspect.what == "work":
        return _work(aspect, here, there)
    one, other = _Said(aspect, here), _Said(aspect, there)
    fields = one.differs_from(other)
    first, second = (said.text(fields & read or fields) for said in (one, other))
    return f"{_subject(aspect, here)} {second} instead of {first}" if first != second else ""


def _called(aspect: Aspect, system: System) -> str:
    placed = system.ways[aspect.name] if aspect.holder == "way" else system.devices[aspect.name]
    part, name = _part(placed), _name(aspect, system)
    return f"{name} ({part.replace(' (', ', ').rstrip(')')})" if part else name


def _name(aspect: Aspect, system: System) -> str:
    """Return what it goes by: a way by its name, a device by what it is as well."""
    if aspect.holder == "device":
        return f"{system.devices[aspect.name].kind} {aspect.name}"
    return aspect.name or "job"


def _subject(aspect: Aspect, system: System) -> str:
    words = _SUBJECTS.get(aspect.what, f"{aspect.what.replace('_', ' ')} of the {{name}}:")
    return words.format(name=_name(aspect, system))


def _work(aspect: Aspect, here: System, there: System) -> str:
    """Say which operations are added and which left out, as the shop calls them."""
    one, other = (_holder(aspect, system).work for system in (here, there))
    said = []
    for mine, others, system, how in ((one, other, here, "left out"), (other, one, there, "added")):
        names = [name for name in mine if name not in others]
        titles = [f"\u201c{system.shop.operations[name].title or name}\u201d" for name in names]
        if titles:
            said.append(f"the work {listed(titles)} is {how}")
    where = f" at the {aspect.name}" if aspect.name else ""
    return f"{' and '.join(said)}{where}" if said else ""


def _holder(aspect: Aspect, system: System) -> Any:
    if aspect.holder in ("way", "device"):
        return (system.ways if aspect.holder == "way" else system.devices)[aspect.name].spec
    return system.job if aspect.holder == "job" else system.vehicle


class _Said:
    """What an aspect is in one option."""

    def __init__(self, aspect: Aspect, system: System) -> None:
        self.what = aspect.what
        self.placed: PlacedWay | PlacedDevice | None = None
        if aspect.holder in ("way", "device"):
            self.placed = (system.ways if aspect.holder == "way" else system.devices)[aspect.name]
        self.value = getattr(_holder(aspect, system), aspect.what, None)

    def differs_from(self, other: _Said) -> frozenset[str]:
        """Return the fields of a mapping that are not the same in the other."""
        if not isinstance(self.value, Spec) or not isinstance(other.value, type(self.value)):
            return frozenset()
        fields: Any = dataclasses.fields(self.value)
        return frozenset(f.name for f in fields if getattr(self.value, f.name) != getattr(other.value, f.name))

    def text(self, fields: frozenset[str]) -> str:
        """Write it; of a mapping only some fields."""
        if self.placed and self.what == "part":
            return _part(self.placed)
        if isinstance(self.placed, PlacedWay) and self.what == "box":
            return _box(self.placed.box) if self.placed.box else "no box"
        if self.placed and self.what == "at":
            return self.placed.at.name if self.placed.at else "no place that is named"
        if isinstance(self.value, Spec):
            told = [f"{_key(name)} {_value(getattr(self.value, name), name)}" for name in sorted(fields)]
            return ", ".join(told) or "the same"
        return _value(self.value, self.what)


def _key(name: str) -> str:
    words = name.rstrip("_").split("_")
    return " ".join(words[:-1] if len(words) > 1 and unit_of(words[-1]) else words)


def _part(placed: PlacedWay | PlacedDevice) -> str:
    part = placed.part
    if part is None:
        return "made for the job"
    coded = part.origin is not None and part.origin.path[:1] == ("parts",)
    title = part.title
    if not title and isinstance(part, Driver):
        size, unit = (part.size_in, "-inch") if part.size_in else (part.size_mm, " mm")
        title = f"a driver of {size:g}{unit}" if size else "a driver"
    return f"{placed.code} ({title})" if coded and title else placed.code if coded else title or "one without a name"


def _box(box: Box) -> str:
    litres = box.vented_l if box.vented_l is not None else box.closed_l
    size = f"{plain(litres)} L " if litres is not None else ""
    if box.vented_l is None:
        return f"{size}closed"
    return f"{size}vented" + (f" and tuned to {plain(box.tuned_hz)} Hz" if box.tuned_hz else "")


def _value(value: Any, name: str) -> str:
    if name == "plays" and isinstance(value, tuple):
        return " – ".join(map(str, value))
    if value is None or value in ((), {}):
        return "not said"
    if isinstance(value, Feed):
        return listed(value.ports)
    return with_unit(value, unit_of(name))
