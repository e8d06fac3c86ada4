"""What a given value is within, on what ground it stands, and where one that is absent would be written."""

from __future__ import annotations

from typing import Any

from advisor.chain.subject import Subject
from advisor.facts.reading import Missing
from advisor.reading.origin import Spot, Unwritten
from advisor.reading.spec import Spec, Steps
from advisor.reading.within import Within


def said_within(spec: Spec, attribute: str) -> dict[Steps, Within] | None:
    """Return what a value, or each number in it, was said to be within; hardly ever anything."""
    if not spec.tolerances:
        return None
    name = attribute.rstrip("_")
    return {path[1:]: within for path, within in spec.tolerances.items() if path[0] == name} or None


def spot_of(spec: Spec, attribute: str, name: str, said: dict[Steps, Within] | None) -> Spot:
    """Return where a value is written; of one with its tolerance beside it, the value."""
    child = spec.elsewhere.get(attribute) or (spec.origin.child(name) if spec.origin else None)
    if said and () in said and child:
        child = child.child("value") or child
    return child or Unwritten(spec.origin)


def given_key(spec: Spec, subject: Subject, record: str, name: str) -> tuple[str, ...]:
    """Return the key of a given value: where it is written, so that all who share a part share it."""
    if spec.origin is not None:
        return ("given", spec.origin.identity, name)
    return ("given", f"{subject.name}.{record}", name)


def holds_specs(value: Any) -> bool:
    """Tell whether a list or mapping holds mappings of a file."""
    items = value.values() if isinstance(value, dict) else value if isinstance(value, tuple) else ()
    return any(isinstance(item, Spec) for item in items)


_STATED = ("price", "fit_h", "channels", "coils", "discontinued", "title", "factory", "kind")


def basis_of(spec: Spec, name: str) -> str:
    """Tell on what ground a written value stands: whose it is, and whether it is a measure or a decision."""
    module = type(spec).__module__.rpartition(".")[2]
    if module == "vehicle":
        return "measured"
    if module != "parts" or name in _STATED:
        return "computed"
    said = str(getattr(spec, "data", "datasheet"))
    return "rule of thumb" if said == "estimated" else said


def absent(subject: Subject, name: str) -> Missing:
    """Return what is told of a spec or tie that a subject could have and has not."""
    ways_out = {
        "location": "say where it sits: at", "reach": "survey the place: left and right with distance_m",
        "channel": "say what feeds it: from", "amplifier": "say what feeds it: from", "box": "say its box",
        "bank": "the amplifier has no such channel", "offer": "say what the sender puts out",
        "take": "say what the receiver takes in", "cable": "say its speaker_cable", "part": "name a part",
    }  # fmt: skip
    return Missing(f"{subject.name}: {name}", subject.origin, ways_out.get(name, ""))
