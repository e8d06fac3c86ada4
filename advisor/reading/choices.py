"""Choices left open in a package: `{one of: [A, B]}` in the place of a value, settled one way or another.

Choices of one name are made together: `{choice: sub, one of: {small: SB-200, big: SB-250}}` in two places is one
question with two answers.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml

from advisor.errors import Fault, did_you_mean, shortened
from advisor.reading.origin import Origin, root_of
from advisor.reading.source import SourceFile

KEY = "one of"
MOST = 64
"""Ways to settle all choices of one package; more is a catalogue of its own."""

OPEN = ("chain", "ways", "supply", "work", "extras", "air_c")
"""Keys of a package below which a value may be left open: what it is made of, not what it claims."""

_Path = tuple[str | int, ...]
_HOLDS = (dict, list)

Settled = tuple[tuple[str, str], ...]
"""Each choice by its name, with the label of what was taken."""


@dataclass(frozen=True)
class Choice:
    """One question a package leaves open: its name and the labels of what may be taken."""

    name: str
    labels: tuple[str, ...]
    place: Origin


def choices_of(file: SourceFile, faults: list[Fault]) -> list[Choice]:
    """Return every choice of a package once, in the order they are written; what is wrong with one is noted."""
    found: dict[str, Choice] = {}
    root = root_of(file)
    for path, data in _open_places(file.data, (), []):
        place, left = root.down(path)
        if left:  # below a key that is told otherwise than it is written
            continue
        known = len(faults)
        if not place.path or place.path[0] not in OPEN:
            faults.append(place.fault("nothing can be left open here", f"choices stand below {', '.join(OPEN)}"))
            continue
        _check(place, data, faults)
        if len(faults) > known:
            continue
        choice = Choice(_name(place, data), _labels(data), place)
        other = found.setdefault(choice.name, choice)
        if other.labels != choice.labels:
            what = f"the choice '{choice.name}' offers {_listed(choice)}, but {_listed(other)} at {other.place.place}"
            faults.append(place.fault(what, "choices of one name are made together and offer the same labels"))
    count = 1
    for choice in found.values():
        count *= len(choice.labels)
    if count > MOST:
        what = f"its choices can be settled in {count} ways, and {MOST} are judged at most"
        faults.append(root_of(file).fault(what, "give choices that go together one name, or make two packages"))
    return list(found.values())


def ways_to_settle(choices: list[Choice]) -> list[Settled]:
    """Return every way to answer all choices; one, with nothing in it, where there is none."""
    answers = [[(choice.name, label) for label in choice.labels] for choice in choices]
    return [tuple(way) for way in itertools.product(*answers)]


def settle(file: SourceFile, settled: Settled) -> SourceFile:
    """Return a package file with each choice answered; every value keeps the place it is written at."""
    if not settled:
        return file
    data, node = _settled(file.data, file.root, (), dict(settled))
    return replace(file, data=data, root=node, checked=None)


def _open_places(
    data: Any, path: _Path, found: list[tuple[_Path, dict[str, Any]]]
) -> list[tuple[_Path, dict[str, Any]]]:
    """Return what is left open below, added to what was found before."""
    if isinstance(data, dict) and KEY in data:
        found.append((path, data))
    else:
        for step, inner in data.items() if isinstance(data, dict) else enumerate(data):
            if isinstance(inner, _HOLDS):
                _open_places(inner, (*path, step), found)
    return found


def _check(place: Origin, data: dict[str, Any], faults: list[Fault]) -> None:
    for key in data:
        if key not in ("choice", KEY):
            spot = place.child(key) or place
            faults.append(spot.fault(f"unknown key '{key}'", did_you_mean(key, ["choice", KEY]), at_key=True))
    offered = data[KEY]
    if not isinstance(offered, list | dict) or len(offered) < 2:
        what = f"'{KEY}' offers at least two: a list, or labels and what each stands for"
        faults.append((place.child(KEY) or place).fault(what, "where there is but one, write it alone"))
    elif len(set(_labels(data))) < len(offered):
        faults.append((place.child(KEY) or place).fault("the same is offered twice", "keep one"))
    elif any(True for _ in _inner_choices(offered)):
        faults.append(place.fault("a choice within a choice", "write out what can be taken"))
    if not isinstance(data.get("choice", ""), str):
        faults.append((place.child("choice") or place).fault("the name of a choice is a text"))


def _inner_choices(value: Any) -> Iterator[None]:
    if isinstance(value, dict):
        if KEY in value:
            yield None
        for inner in value.values():
            yield from _inner_choices(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _inner_choices(inner)


def _name(place: Origin, data: Mapping[str, Any]) -> str:
    return str(data.get("choice") or ".".join(_said(place.path)))


def _said(path: tuple[str | int, ...]) -> list[str]:
    """Return the steps of a path that tell one choice from another: `ways.sub.driver` is `sub.driver`."""
    return [str(step) for step in path if step not in ("ways", "chain")]


def _labels(data: Mapping[str, Any]) -> tuple[str, ...]:
    offered = data[KEY]
    if isinstance(offered, dict):
        return tuple(str(label) for label in offered)
    return tuple(_label(value, number) for number, value in enumerate(offered, 1))


def _label(value: Any, number: int) -> str:
    if isinstance(value, dict):
        return str(value.get("title") or number)
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    return str(value)


def _listed(choice: Choice) -> str:
    return shortened(", ".join(choice.labels), 60)


def _settled(data: Any, node: yaml.Node, path: tuple[str | int, ...], answers: dict[str, str]) -> tuple[Any, yaml.Node]:
    """Return data and node with the choices below answered; what holds none is returned as it is."""
    if isinstance(data, dict):
        if KEY in data:
            return _taken(data, node, path, answers)
        return _settled_mapping(data, node, path, answers)
    if isinstance(data, list):
        pairs = [
            _settled(one, each, (*path, i), answers) for i, (one, each) in enumerate(zip(data, node.value, strict=True))
        ]
        if all(one is old for (one, _), old in zip(pairs, data, strict=True)):
            return data, node
        return [one for one, _ in pairs], _same_kind(node, [each for _, each in pairs])
    return data, node


def _settled_mapping(
    data: dict[str, Any], node: yaml.Node, path: tuple[str | int, ...], answers: dict[str, str]
) -> tuple[Any, yaml.Node]:
    changed, pairs = dict(data), []
    for (key, value), (key_node, value_node) in zip(data.items(), node.value, strict=True):
        changed[key], inner = _settled(value, value_node, (*path, key), answers)
        pairs.append((key_node, inner))
    if all(changed[key] is data[key] for key in data):
        return data, node
    return changed, _same_kind(node, pairs)


def _taken(
    data: dict[str, Any], node: yaml.Node, path: tuple[str | int, ...], answers: dict[str, str]
) -> tuple[Any, yaml.Node]:
    name = str(data.get("choice") or ".".join(_said(path)))
    index = _labels(data).index(answers[name])
    offered = next(value for key, value in node.value if key.value == KEY)
    if isinstance(data[KEY], dict):
        return list(data[KEY].values())[index], offered.value[index][1]
    return data[KEY][index], offered.value[index]


def _same_kind(node: yaml.Node, value: Any) -> yaml.Node:
    return type(node)(node.tag, value, node.start_mark, node.end_mark)
