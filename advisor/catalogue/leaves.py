"""What a finding rests on, told so that it is the same in every line: a driver in a door, whichever package it is of.

Of what is read once for a whole audit (parts, rules of thumb, the shop's figures) it is enough to say which it is; of
a package and a vehicle, what stands there.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Key, given_key
from advisor.facts.registry import register
from advisor.judging.differences import given_token, specs_in
from advisor.reading.spec import Spec

PACKAGE, VEHICLE = "package", "vehicle"
FIXED = (f"{PACKAGE}#ways", f"{PACKAGE}#chain")
"""Where a package says the same whatever customer and vehicle it is for."""

Leaf = tuple[str, ...]
"""A key of a reading, with the file it is in told by what it is."""


class Names:
    """Tells the files of one line by what they are, and drops what cannot differ from line to line."""

    def __init__(self, package: str, vehicle: str) -> None:
        self.package, self.vehicle = f"{package}#", f"{vehicle}#"
        self.facts = register()

    def general(self, identity: str) -> str:
        """Return the identity of a place as it is in every line."""
        if identity.startswith(self.package):
            return PACKAGE + identity[len(self.package) - 1 :]
        if identity.startswith(self.vehicle):
            return VEHICLE + identity[len(self.vehicle) - 1 :]
        return identity

    def leaf(self, key: Key) -> Leaf | None:
        """Return the leaf of a key; none where it is a fact, or what stands there is the same in every line."""
        if key[0] == "assumed":
            return None
        if key[0] != "given":
            return None if (key[0], key[2]) in self.facts else key
        general = self.general(key[1])
        if general is key[1] and "#" in general:
            return None  # a part, or the shop's: which one it is was read before
        return ("given", general, key[2])

    def leaves(self, keys: Iterable[Key]) -> tuple[Leaf, ...]:
        """Return the leaves of some keys, in an order that does not change."""
        found = {leaf for key in keys if (leaf := self.leaf(key)) is not None}
        return tuple(sorted(found))


class Numbers:
    """Gives everything that can stand at a leaf a number, the same where it is equal."""

    def __init__(self) -> None:
        self._numbers: dict[Any, int] = {}
        self._unknown = 0

    def of(self, token: Any) -> int:
        """Return the number of what stands somewhere; what is not known there is equal to nothing, itself included."""
        if token is None:
            self._unknown -= 1
            return self._unknown
        return self._numbers.setdefault(token, len(self._numbers))


class Tokens(dict[Leaf, int]):
    """By leaf, a number that is the same where what stands there is; looked at when first asked for.

    `fixed` holds those of a package, which are the same in each of its vehicles.
    """

    def __init__(self, chain: Chain, names: Names, numbers: Numbers, fixed: dict[Leaf, int]) -> None:
        super().__init__()
        self.names, self.numbers, self.fixed = names, numbers, fixed
        self.subjects = {subject.key: subject for subject in chain.subjects}
        self.specs: dict[str, Spec] = {}
        for subject in chain.subjects:
            for record, spec in subject.specs.items():
                self._enter(spec, subject, record)

    def _enter(self, spec: Spec, subject: Subject, record: str) -> None:
        identity = given_key(spec, subject, record, "")[1]
        general = self.names.general(identity)
        if general in self.specs or (general is identity and "#" in identity):
            return
        self.specs[general] = spec
        for name, value in vars(spec).items():
            for inner in specs_in(value):
                self._enter(inner, subject, f"{record}.{name.rstrip('_')}")

    def __missing__(self, leaf: Leaf) -> int:
        number = self[leaf] = self._number(leaf)
        return number

    def _number(self, leaf: Leaf) -> int:
        if leaf[0] != "given":
            subject = self.subjects.get((leaf[0], leaf[1]))
            return self.numbers.of(None if subject is None else self._chain(subject, leaf[2]))
        if not leaf[1].startswith(FIXED):
            return self.numbers.of(self._given(leaf))
        number = self.fixed.get(leaf)
        if number is None:
            number = self.fixed[leaf] = self.numbers.of(self._given(leaf))
        return number

    def _given(self, leaf: Leaf) -> Any:
        spec = self.specs.get(leaf[1])
        if spec is None:
            return None
        value, basis, where, within = given_token(spec, leaf[2])
        place = (self.names.general(where[0]), where[1]) if where else None
        return _frozen(value), basis, place, repr(within) if within else ""

    def _chain(self, subject: Subject, name: str) -> Any:
        stands = self.names.general(subject.origin.identity) if subject.origin else ""
        if name in subject.own:
            return stands, "own", _frozen(subject.own[name])
        if name in subject.specs:
            spec = subject.specs[name]
            identity = self.names.general(given_key(spec, subject, name, "")[1])
            return stands, identity, type(spec).__name__, spec.origin is not None
        if name in subject.ties:
            tie = subject.ties[name]
            return stands, tie.key if isinstance(tie, Subject) else tuple([one.key for one in tie])
        asked = name.removeprefix("has a ")
        return stands, asked in subject.specs or asked in subject.ties


def _frozen(value: Any) -> Any:
    """Return a value that can be looked up."""
    if isinstance(value, dict):
        return tuple((key, _frozen(inner)) for key, inner in value.items())
    if isinstance(value, list | tuple):
        return tuple(_frozen(inner) for inner in value)
    return value
