"""Which readings of one chain are other than in a chain built before from nearly the same files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Key, given_key
from advisor.reading.spec import Spec


def changed(before: Chain, after: Chain, keys: Iterable[Key]) -> set[Key]:
    """Return those of some readings that were made of one chain and would not come out of the other.

    Facts are left out: they are what is worked out from the rest. So are rules of thumb: they are not the job's.
    """
    old, new = _Index(before), _Index(after)
    return {key for key in keys if old.token(key) != new.token(key)}


class _Index:
    """What a chain holds, by the keys of readings."""

    def __init__(self, chain: Chain) -> None:
        self.subjects = {subject.key: subject for subject in chain.subjects}
        self.specs: dict[Key, Spec] = {}
        for subject in chain.subjects:
            for record, spec in subject.specs.items():
                self.enter(spec, subject, record)

    def enter(self, spec: Spec, subject: Subject, record: str) -> None:
        key = given_key(spec, subject, record, "")[:2]
        if key in self.specs:  # a part that several share
            return
        self.specs[key] = spec
        for name, value in vars(spec).items():
            for inner in _specs_in(value):
                self.enter(inner, subject, f"{record}.{name.rstrip('_')}")

    def token(self, key: Key) -> Any:
        """Return something that is equal where a reading is."""
        if key[0] == "assumed":
            return None
        if key[0] == "given":
            spec = self.specs.get(key[:2])
            return None if spec is None else (_told(getattr(spec, _attribute(spec, key[2]))), _where(spec, key[2]))
        subject = self.subjects.get((key[0], key[1]))
        return None if subject is None else (True, _own(subject, key[2]))


def _attribute(spec: Spec, name: str) -> str:
    return name if hasattr(spec, name) else f"{name}_"


def _where(spec: Spec, name: str) -> tuple[str, bool] | None:
    """Where a value was written: a default that is written out may say the same, but stands elsewhere."""
    origin = spec.elsewhere.get(name)
    if origin is not None:
        return origin.identity, True
    return (spec.origin.identity, spec.origin.child(name) is not None) if spec.origin is not None else None


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
        return subject.own[name]
    if name in subject.specs:
        spec = subject.specs[name]
        return given_key(spec, subject, name, "")[:2], spec.origin is not None
    if name in subject.ties:
        tie = subject.ties[name]
        return tie.key if isinstance(tie, Subject) else tuple(one.key for one in tie)
    asked = name.removeprefix("has a ")
    return asked in subject.specs or asked in subject.ties


def _specs_in(value: Any) -> Iterator[Spec]:
    if isinstance(value, Spec):
        yield value
    elif isinstance(value, dict):
        yield from (item for item in value.values() if isinstance(item, Spec))
    elif isinstance(value, tuple):
        yield from (item for item in value if isinstance(item, Spec))
