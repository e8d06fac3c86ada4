"""Which readings of one chain are other than in a chain built before from nearly the same files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Key, given_key
from advisor.facts.given import basis_of
from advisor.reading.spec import Spec


def changed(old: Index, new: Index, keys: Iterable[Key]) -> set[Key]:
    """Return those of some readings that were made of one chain and would not come out of the other.

    A fact is one of them where its subject is gone or stands elsewhere; whether it comes out the same is for those
    who follow what it was made of. Rules of thumb never are: they are not the job's.
    """
    alike = {key for key, spec in new.specs.items() if _same_mapping(old.specs.get(key), spec)}
    differing: dict[Key, set[str]] = {}
    for key, subject in new.subjects.items():
        before = old.subjects.get(key)
        if before is not None and _place(before) == _place(subject):
            if names := _differing(before, subject):
                differing[key] = names
            else:
                alike.add(key)
    found = set()
    for key in keys:
        holder = key[:2]
        if holder in alike or key[0] == "assumed":
            continue
        if key[2] in differing[holder] if holder in differing else not _same(old.token(key), new.token(key)):
            found.add(key)
    return found


def _same(before: Any, after: Any) -> bool:
    """Whether two tokens are equal; what was read and is not in the index cannot be vouched for."""
    return before is not None and before == after


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

    def token(self, key: Key) -> Any:
        """Return something that is equal where a reading is."""
        if key[0] == "given":
            spec = self.specs.get(key[:2])
            return None if spec is None else given_token(spec, key[2])
        subject = self.subjects.get((key[0], key[1]))
        return None if subject is None else (_place(subject), _own(subject, key[2]))


def _place(subject: Subject) -> str:
    return subject.origin.identity if subject.origin else ""


def _same_mapping(old: Spec | None, new: Spec) -> bool:
    """Whether every reading of two mappings is equal: what they say, where and with which keys written."""
    if old is None or old is new:
        return old is new
    return old == new and old.tolerances == new.tolerances and _written(old) == _written(new)


def _written(spec: Spec) -> Any:
    elsewhere = {name: origin.identity for name, origin in spec.elsewhere.items()}
    return elsewhere, (spec.origin.identity, spec.origin.keys) if spec.origin is not None else None


def _differing(old: Subject, new: Subject) -> set[str]:
    """Return the names of what is read of two subjects and is not equal."""
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
