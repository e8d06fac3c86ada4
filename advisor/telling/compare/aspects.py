"""What of a design a value belongs to: the driver of a way, its box, its place, an amplifier, the supply.

An aspect is what a fitter exchanges as one: a dozen figures of a datasheet are one driver.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.reading import Reading
from advisor.reading.system import System
from advisor.telling.compare.leaves import bare


@dataclass(frozen=True)
class Aspect:
    """Something of a design that can be one thing in one option and another in the other.

    `holder` is way, device, job or vehicle; `name` the way's or device's; `what` the attribute.
    """

    holder: str
    name: str
    what: str
    field: str = field(default="", compare=False)
    """Which value of a mapping was read; an aspect is the same whichever it was."""


_WAY_RECORDS = {"part": "part", "box": "box", "location": "at", "reach": "at", "cable": "cable"}
_KEPT_BY_PYTHON = ("from", "class")
_JOB_RECORDS = {
    "customer": ("job", "", "customer"),
    "cabin": ("vehicle", "", "cabin"),
    "electrics": ("vehicle", "", "electrics"),
}


def aspect_of(chain: Chain, leaf: Reading, above: str) -> Aspect | None:
    """Return what a value belongs to, seen from the subject whose fact read it; none for what no option chooses."""
    if leaf.kind == "assumed":
        return None
    if leaf.kind == "chain":
        return _of_name(chain.system, leaf.key[1], "there")
    found = _holders(chain, leaf.key[1])
    if not found:
        return None
    subject, record = min(found, key=lambda pair: (bare(pair[0].name) != bare(above), pair[0].kind == "extra"))
    name = leaf.key[2]
    return _aspect(chain.system, subject, record, name if name not in _KEPT_BY_PYTHON else f"{name}_")


def _holders(chain: Chain, identity: str) -> list[tuple[Subject, str]]:
    """Return the subjects that have the mapping of a file in which a value stands, and as what."""
    found = []
    for subject in chain.subjects:
        for record, spec in subject.specs.items():
            if spec.origin is not None and _covers(spec.origin.identity, identity):
                found.append((subject, record, len(spec.origin.identity)))
    longest = max((length for _, _, length in found), default=0)
    return [(subject, record) for subject, record, length in found if length == longest]


def _covers(outer: str, inner: str) -> bool:
    return inner == outer or (not outer.endswith("#") and inner.startswith(f"{outer}."))


def _aspect(system: System, subject: Subject, record: str, name: str) -> Aspect | None:
    if subject.kind == "job":
        if record in _JOB_RECORDS:
            return Aspect(*_JOB_RECORDS[record], name)
        return Aspect("job", "", name) if record == "spec" else None
    if subject.kind == "supply":
        return Aspect("job", "", "supply", name)
    if subject.kind == "driver" and record == "way":
        return Aspect("way", bare(subject.name), name)
    if subject.kind == "cable":
        return Aspect("way", bare(subject.name.removesuffix(" cable")), "speaker_cable", name)
    if subject.kind == "location":
        holder = next((name for name in subject.own["holds"]), "")
        return _of_name(system, holder, "at")
    if subject.kind == "channel":
        return _of_name(system, subject.name.partition(".")[0], "part")
    what = _WAY_RECORDS.get(record, name)
    return _of_name(system, subject.name, what)


def _of_name(system: System, name: str, what: str) -> Aspect | None:
    name = bare(name)
    if name in system.ways:
        return Aspect("way", name, what)
    if name in system.devices:
        return Aspect("device", name, what)
    return None


def is_there(system: System, aspect: Aspect) -> bool:
    """Tell whether an option has the way or device that an aspect belongs to."""
    if aspect.holder in ("way", "device"):
        return aspect.name in (system.ways if aspect.holder == "way" else system.devices)
    return True


def whole_aspects(here: System, there: System) -> Iterator[Aspect]:
    """Yield everything in which two options differ and that costs money or time."""
    for holder, mine, others in (("way", here.ways, there.ways), ("device", here.devices, there.devices)):
        for name in dict.fromkeys([*mine, *others]):
            if not (name in mine and name in others):
                yield Aspect(holder, name, "there")
            else:
                for what in ("part", "box", "speaker_cable", "work", "count") if holder == "way" else ("part",):
                    yield Aspect(holder, name, what)
    for what in ("work", "supply", "extras"):
        yield Aspect("job", "", what)


# -- one option with an aspect of another --------------------------------------------------------------------------


def with_aspect_of(into: System, source: System, aspect: Aspect) -> System | None:
    """Return an option in which one aspect is as in the other; none where it cannot be taken over by itself."""
    if aspect.holder == "job":
        job = _changed(into.job, {aspect.what: getattr(source.job, aspect.what)})
        cable = source.supply_cable if aspect.what == "supply" else into.supply_cable
        return replace(into, job=job, supply_cable=cable)
    if aspect.holder == "vehicle":
        vehicle = _changed(into.vehicle, {aspect.what: getattr(source.vehicle, aspect.what)})
        return replace(into, vehicle=vehicle)
    held, others = _held(into, aspect), _held(source, aspect)
    changed = dict(held)
    if aspect.name not in others:
        del changed[aspect.name]
    elif aspect.name not in held:
        changed[aspect.name] = others[aspect.name]
    else:
        changed[aspect.name] = _exchanged(held[aspect.name], others[aspect.name], aspect.what)
    return replace(into, ways=changed) if aspect.holder == "way" else replace(into, devices=changed)


def _held(system: System, aspect: Aspect) -> dict[str, Any]:
    return dict(system.ways) if aspect.holder == "way" else dict(system.devices)


def _exchanged(mine: Any, other: Any, what: str) -> Any:
    if what == "part":
        return replace(mine, part=other.part, code=other.code)
    if what in ("box", "at"):
        return replace(mine, **{what: getattr(other, what)})
    if what in ("cable", "speaker_cable"):
        spec = _changed(mine.spec, {"speaker_cable": other.spec.speaker_cable})
        return replace(mine, spec=spec, cable=other.cable)
    if what in {one.name for one in dataclasses.fields(mine.spec)}:
        return replace(mine, spec=_changed(mine.spec, {what: getattr(other.spec, what)}))
    return mine


def _changed(spec: Any, changes: dict[str, Any]) -> Any:
    """Return a mapping of a file with other values, still knowing where it stands."""
    new = replace(spec, **changes)
    object.__setattr__(new, "origin", spec.origin)
    object.__setattr__(new, "elsewhere", spec.elsewhere)
    return new
