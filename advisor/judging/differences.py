"""Which readings of one chain are other than in a chain built before from nearly the same files."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Set
from dataclasses import fields
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.kinds import KINDS
from advisor.chain.subject import Subject
from advisor.facts.engine import Key
from advisor.facts.given import basis_of, given_key
from advisor.facts.registry import register
from advisor.reading.spec import Spec


def changed(old: Index, new: Index) -> set[Key]:
    """Return the readings there may be of one chain that would not come out of the other.

    A fact is one of them where its subject is gone or stands elsewhere; whether it comes out the same is for those
    who follow what it was made of. Rules of thumb never are: they are not the job's.
    """
    found: set[Key] = set()
    for key, spec in old.specs.items():
        found.update([(*key, name) for name in _differing_in_mappings(spec, new.specs.get(key))])
    for key, subject in old.subjects.items():
        found.update([(*key, name) for name in _differing_in_subjects(subject, new.subjects.get(key))])
    return found


def names_of(spec: Spec) -> frozenset[str]:
    """Return what may be read of a mapping, by the names of its keys."""
    return _names_of(type(spec))  # type: ignore[arg-type]


@functools.cache
def _names_of(kind: type[Spec]) -> frozenset[str]:
    worked_out = [name for name in dir(kind) if isinstance(getattr(kind, name), property)]
    return frozenset([field.name.rstrip("_") for field in fields(kind)] + worked_out)


@functools.cache
def names_read(kind: str) -> frozenset[str]:
    """Return what may be read of a subject of some kind."""
    had = KINDS[kind].specs.keys() | KINDS[kind].ties.keys()
    facts = {name for of, name in register() if of == kind}
    return frozenset([*had, *KINDS[kind].own, *facts, *(f"has a {name}" for name in had)])


class Index:
    """What a chain holds, by the keys of readings: mappings of the files, and subjects."""

    def __init__(self, chain: Chain, before: Index | None = None) -> None:
        """Gather it; a mapping that was not read again since the index before was gathered is taken over from it."""
        self.subjects: dict[Key, Subject] = {subject.key: subject for subject in chain.subjects}
        self.specs: dict[Key, Spec] = {}
        self._inside: dict[Key, list[Key]] = {}
        for subject in chain.subjects:
            for record, spec in subject.specs.items():
                self._enter(spec, subject, record, before)

    def _enter(self, spec: Spec, subject: Subject, record: str, before: Index | None) -> Key:
        key = given_key(spec, subject, record, "")[:2]
        if key in self.specs:  # a part that several share
            return key
        if before is not None and before.specs.get(key) is spec:
            self._take_over(key, before)
            return key
        self.specs[key], self._inside[key] = spec, []
        for name, value in vars(spec).items():
            if isinstance(value, Spec | dict | tuple):
                for inner in specs_in(value):
                    self._inside[key].append(self._enter(inner, subject, f"{record}.{name.rstrip('_')}", before))
        return key

    def _take_over(self, key: Key, before: Index) -> None:
        self.specs[key], self._inside[key] = before.specs[key], before._inside[key]
        for inner in before._inside[key]:
            if inner not in self.specs:
                self._take_over(inner, before)


def _place(subject: Subject) -> str:
    return subject.origin.identity if subject.origin else ""


def _differing_in_mappings(old: Spec, new: Spec | None) -> Set[str]:
    """Return the names of what is read of two mappings and is not equal: what they say, and where it was written."""
    if old is new:
        return set()
    if type(new) is not type(old):
        return names_of(old)
    if old == new and old.tolerances == new.tolerances and _written(old) == _written(new):
        return set()
    return {name for name in names_of(old) if given_token(old, name) != given_token(new, name)}


def _written(spec: Spec) -> Any:
    elsewhere = {name: origin.identity for name, origin in spec.elsewhere.items()}
    return elsewhere, (spec.origin.identity, spec.origin.keys) if spec.origin is not None else None


def _differing_in_subjects(old: Subject, new: Subject | None) -> Set[str]:
    """Return the names of what is read of two subjects and is not equal."""
    if new is None or _place(old) != _place(new):
        return names_read(old.kind)
    found = set()
    if old.own != new.own:
        names = old.own.keys() | new.own.keys()
        found = {name for name in names if _own(old, name) != _own(new, name)}
    for held, now in ((old.specs, new.specs), (old.ties, new.ties)):
        for name in held.keys() | now.keys():
            if held.get(name) is not now.get(name) and _own(old, name) != _own(new, name):
                found.add(name)
            if (name in held) != (name in now):
                found.add(f"has a {name}")
    return found


def given_token(spec: Spec, name: str) -> Any:
    """Return what a given value is, on what ground it stands, where it was written and what it is within."""
    attribute = name if hasattr(spec, name) else f"{name}_"
    within = {path: within for path, within in spec.tolerances.items() if path[0] == name}
    return _told(getattr(spec, attribute)), basis_of(spec, name), _where(spec, attribute), within


def _where(spec: Spec, attribute: str) -> tuple[str, bool] | None:
    """Where a value was written: a default that is written out may say the same, but stands elsewhere."""
    origin = spec.elsewhere.get(attribute)
    if origin is not None:
        return origin.identity, True
    if spec.origin is None:
        return None
    return spec.origin.identity, spec.origin.child(attribute.rstrip("_")) is not None


def _told(value: Any) -> Any:
    """Return a value so that it can be compared: of a mapping only that it is there, its values have their keys."""
    if isinstance(value, Spec):
        return type(value).__name__
    if isinstance(value, dict):
        return {name: _told(item) for name, item in value.items()}
    if isinstance(value, tuple):
        return tuple(_told(item) for item in value)
    return value


def _own(subject: Subject, name: str) -> Any:
    if name in subject.own:
        return "own", subject.own[name]  # a word that is 0 is not the same as none
    if name in subject.specs:
        spec = subject.specs[name]
        return given_key(spec, subject, name, "")[:2], type(spec), spec.origin is not None
    if name in subject.ties:
        tie = subject.ties[name]
        return tie.key if isinstance(tie, Subject) else tuple(one.key for one in tie)
    asked = name.removeprefix("has a ")
    return asked in subject.specs or asked in subject.ties


def specs_in(value: Any) -> Iterator[Spec]:
    """Yield the mappings that a value is or holds; those further down are found from them."""
    if isinstance(value, Spec):
        yield value
    elif isinstance(value, dict | tuple):
        for item in value.values() if isinstance(value, dict) else value:
            yield from specs_in(item)
