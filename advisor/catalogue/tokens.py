"""What stands at leaves, as numbers that are the same where it is, and digests of many of them.

A finding that reads nothing of a part but its impedance is the same for all parts of that impedance: of a finding's
parts it is what they say that counts, not which they are, but where their names are told.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from hashlib import blake2b
from typing import Any

from advisor.catalogue.leaves import CALLED, CODE, IS_IN, PACKAGE, SAYS, VEHICLE, Bits, Index, Leaf, numbers_in
from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Key
from advisor.facts.given import basis_of, given_key, said_within
from advisor.judging.differences import specs_in
from advisor.reading.parts import Part
from advisor.reading.spec import Spec
from advisor.reading.vehicle import Seat, Vehicle

Digest = bytes
"""The same where all that stands at some leaves is."""


PLAIN = (float, str, int, bool, type(None))
"""Types of values that hold no mappings."""

DIGEST = 16
"""Bytes that say what stands at many leaves; one or two say it themselves."""

NOTHING = b"-"
"""What stands at no leaves."""

KEPT = 5_000
"""Digests kept at once for one vehicle or design."""


class Numbers:
    """Gives everything that can stand at a leaf a number, the same where it is equal."""

    def __init__(self) -> None:
        self.index = Index()
        self._numbers: dict[Any, int] = {}
        self._unknown = 0
        self._said: dict[tuple[str, str], Any] = {}

    def of(self, token: Any) -> int:
        """Return the number of what stands somewhere; what is not known there is equal to nothing, itself included."""
        if token is None:
            self._unknown -= 1
            return self._unknown
        return self._numbers.setdefault(token, len(self._numbers))

    def said_by_part(self, part: Spec, name: str) -> Any:
        """Return what a part of the library says under a name; the same part is in many packages."""
        assert part.origin is not None
        asked = (part.origin.identity, name)
        if asked not in self._said:
            self._said[asked] = _said(part, name)
        return self._said[asked]


class Tokens(dict[int, int]):
    """By a leaf's number, a number that is the same where what stands there is; looked at when first asked for."""

    def __init__(self, numbers: Numbers) -> None:
        super().__init__()
        self.numbers, self.index = numbers, numbers.index
        self.specs: dict[str, Spec] = {}
        self.digests: dict[int, Digest] = {}
        """By the identity of a tuple of leaves."""
        self._held: list[tuple[int, ...]] = []

    def __missing__(self, leaf: int) -> int:
        number = self[leaf] = self.numbers.of(self.token(self.index.by_number[leaf]))
        return number

    def digest(self, leaves: tuple[int, ...]) -> Digest:
        """Return a short text of what stands at some leaves."""
        found = self.digests.get(id(leaves))
        if found is None:
            if len(self._held) >= KEPT:
                self.digests.clear()
                self._held.clear()
            self._held.append(leaves)  # so that no other tuple is given its place in memory
            numbers = array("q", list(map(self.__getitem__, leaves))).tobytes() or NOTHING
            found = numbers if len(numbers) <= DIGEST else blake2b(numbers, digest_size=DIGEST).digest()
            self.digests[id(leaves)] = found
        return found

    def token(self, leaf: Leaf) -> Any:
        """Return something that is equal where what stands at a leaf is; None where nothing is known there."""
        spec = self.specs.get(leaf[1])
        if spec is None:
            return None
        return _said(spec, leaf[2])

    def enter(self, spec: Spec, subject: Subject, record: str) -> None:
        """Take in a mapping and all below it that is not the same in every line."""
        identity = given_key(spec, subject, record, "")[1]
        file, of_a_file, _ = identity.partition("#")
        if identity in self.specs or (of_a_file and file not in (PACKAGE, VEHICLE)):
            return
        self.specs[identity] = spec
        for name, value in vars(spec).items():
            if holds_mappings(value):
                for inner in specs_in(value):
                    self.enter(inner, subject, f"{record}.{name.rstrip('_')}")


class VehicleTokens(Tokens):
    """What stands at the leaves of one vehicle."""

    def __init__(self, numbers: Numbers, code: str, vehicle: Vehicle, seats: Iterable[Seat]) -> None:
        super().__init__(numbers)
        self.code = code
        job = Subject("job", "job", vehicle.origin)
        for spec in (*seats, vehicle):  # seats as a job has them, each with its name
            self.enter(spec, job, VEHICLE)

    def token(self, leaf: Leaf) -> Any:
        """Return something that is equal where what stands at a leaf is."""
        return self.code if leaf == CODE else super().token(leaf)


class DesignTokens(Tokens):
    """What stands at all other leaves of a line: the package's, its parts', and how the chain is drawn."""

    def __init__(self, numbers: Numbers, chain: Chain) -> None:
        super().__init__(numbers)
        self.subjects = {subject.key: subject for subject in chain.subjects}
        self.slots: dict[str, str] = {}
        """Where in the chain a part is used first, by what it is known by; what is below it likewise."""
        self._in_slots: dict[str, Spec] = {}
        self._valued: dict[Bits, Bits] = {}
        self._translated: dict[Bits, Bits] = {}
        self._of_parts: dict[int, Bits] = {}
        """The leaf of a key that may be a part's, by its number; none where it is no leaf."""
        self._drawn_as: dict[Key, Any] = {}
        for subject in chain.subjects:
            for record, spec in subject.specs.items():
                self.enter(spec, subject, record)
                if isinstance(spec, Part) and is_of_library(spec):
                    self._slot(spec, f"{subject.kind} {subject.name} {record}")

    def _slot(self, spec: Spec, slot: str) -> None:
        assert spec.origin is not None
        if self.slots.setdefault(spec.origin.identity, slot) != slot:
            return
        self._in_slots[slot] = spec
        for name, value in vars(spec).items():
            if not holds_mappings(value):
                continue
            for number, inner in enumerate(specs_in(value)):
                if inner.origin is not None:
                    self._slot(inner, f"{slot}.{name}.{number}")

    def valued(self, keys: Bits) -> Bits:
        """Return the leaves of a finding's keys: of its parts what they say, not which they are."""
        found = self._valued.get(keys)
        if found is None:
            index = self.index
            of_parts = keys & index.of_parts
            translated = self._translated.get(of_parts)
            if translated is None:
                translated = self._translated[of_parts] = self._translate(of_parts)
            found = keys & index.leaves & ~index.of_parts | translated
            self._valued[keys] = found
        return found

    def _translate(self, of_parts: Bits) -> Bits:
        found, known = 0, self._of_parts
        for number in numbers_in(of_parts):
            leaf = known.get(number)
            if leaf is None:
                leaf = known[number] = self._bit_of_part(number)
            found |= leaf
        return found

    def _bit_of_part(self, number: int) -> Bits:
        leaf = self._leaf_of_part(self.index.by_number[number])
        return self.index[leaf] if leaf is not None else (1 << number) & self.index.leaves

    def _leaf_of_part(self, key: Key) -> Leaf | None:
        if key[0] == "given":
            slot = self.slots.get(key[1])
            return (SAYS, slot, key[2]) if slot is not None else None
        subject = self.subjects.get((key[0], key[1]))
        spec = subject.specs.get(key[2]) if subject else None
        if spec is not None and spec.origin is not None and spec.origin.identity in self.slots:
            return (IS_IN, key[0], key[1], key[2])
        return None

    def named(self, keys: Iterable[Key]) -> Bits:
        """Return leaves that tell parts apart by their codes, for keys whose names are told as they are."""
        found = 0
        for key in keys:
            if key[0] == "given" and key[1] in self.slots:
                found |= self.index[CALLED, self.slots[key[1]]]
        return found

    def other_than(self, before: DesignTokens, leaves: Bits) -> Bits:
        """Return those of some leaves at which something else stands than in another design."""
        leaves &= self.index.leaves & ~self.index.vehicle
        alike = changed = 0
        for (kind, name), whose in self.index.by_whose.items():
            asked = whose & leaves
            if asked and self._is_as_in(before, kind, name):
                alike |= asked
        for number in numbers_in(alike):
            self[number] = before[number]
        for number in numbers_in(leaves ^ alike):
            if self[number] != before[number]:
                changed |= 1 << number
        return changed

    def _is_as_in(self, before: DesignTokens, kind: str, name: str) -> bool:
        """Tell whether a mapping of the job, a part in a slot, a subject is in all what it is in another design."""
        if kind == IS_IN:
            return False  # each by itself: where a part is used first hangs on the subjects before
        if kind in (SAYS, CALLED):
            part = self._in_slots.get(name)
            return part is not None and part is before._in_slots.get(name)
        if kind == "given":
            mine, other = self.specs.get(name), before.specs.get(name)
            if mine is None or other is None or mine.tolerances or other.tolerances:
                return False
            return mine is other or (type(mine) is type(other) and _written(mine) == _written(other) and mine == other)
        drawn, was = self.subjects.get((kind, name)), before.subjects.get((kind, name))
        return drawn is not None and was is not None and self._as_drawn(drawn) == before._as_drawn(was)

    def _as_drawn(self, subject: Subject) -> Any:
        found = self._drawn_as.get(subject.key)
        if found is None:
            found = self._drawn_as[subject.key] = _as_drawn(subject)
        return found

    def token(self, leaf: Leaf) -> Any:
        """Return something that is equal where what stands at a leaf is."""
        if leaf[0] == "given":
            return super().token(leaf)
        if leaf[0] in (SAYS, CALLED):
            spec = self._in_slots.get(leaf[1])
            if spec is None:
                return None
            assert spec.origin is not None
            if leaf[0] == CALLED or leaf[2] == "title":  # where there is no title, the code is told
                return spec.origin.identity
            return self.numbers.said_by_part(spec, leaf[2])
        if leaf[0] == IS_IN:
            subject = self.subjects.get((leaf[1], leaf[2]))
            spec = subject.specs.get(leaf[3]) if subject else None
            slot = self.slots.get(spec.origin.identity) if spec is not None and spec.origin is not None else None
            return None if slot is None or subject is None else (_stands(subject), slot, type(spec).__name__)
        subject = self.subjects.get((leaf[0], leaf[1]))
        return None if subject is None else _drawn(subject, leaf[2])


def holds_mappings(value: Any) -> bool:
    """Tell whether a value may be or hold a mapping of a file; most are plain, or lists of plain ones."""
    if type(value) in (tuple, list):
        return any(type(item) not in PLAIN for item in value)
    return type(value) not in PLAIN


def is_of_library(spec: Spec) -> bool:
    """Tell whether a mapping stands in a file that is read once for a whole audit."""
    return spec.origin is not None and spec.origin.file.role not in (PACKAGE, VEHICLE)


def _written(spec: Spec) -> frozenset[str] | None:
    return spec.origin.keys if spec.origin is not None else None


def _stands(subject: Subject) -> str:
    return subject.origin.identity if subject.origin else ""


def _drawn(subject: Subject, name: str) -> Any:
    stands = _stands(subject)
    if name in subject.own:
        return stands, "own", _frozen(subject.own[name])
    if name in subject.specs:
        spec = subject.specs[name]
        return stands, given_key(spec, subject, name, "")[1], type(spec).__name__, spec.origin is not None
    if name in subject.ties:
        tie = subject.ties[name]
        return stands, tie.key if isinstance(tie, Subject) else tuple([one.key for one in tie])
    asked = name.removeprefix("has a ")
    return stands, asked in subject.specs or asked in subject.ties


def _as_drawn(subject: Subject | None) -> Any:
    """Return all by which `_drawn` could tell a subject from another of its name."""
    if subject is None:
        return None
    records = [(record, given_key(spec, subject, record, "")[1], type(spec)) for record, spec in subject.specs.items()]
    ties = [
        (name, tie.key if isinstance(tie, Subject) else tuple([one.key for one in tie]))
        for name, tie in subject.ties.items()
    ]
    return _stands(subject), subject.own, records, ties


def _said(spec: Spec, name: str) -> Any:
    """Return what a given value is, on what ground it stands, what it is within and whether it was written."""
    attribute = name if hasattr(spec, name) else f"{name}_"
    within = said_within(spec, attribute) if spec.tolerances else None
    written = spec.origin is not None and name in spec.origin.keys
    return _frozen(getattr(spec, attribute)), basis_of(spec, name), repr(within), written


def _frozen(value: Any) -> Any:
    """Return a value that can be looked up; of a mapping of a file only that it is there, its values have leaves."""
    if type(value) in PLAIN:
        return value
    if isinstance(value, Spec):
        return type(value).__name__
    if isinstance(value, dict):
        return tuple((key, _frozen(inner)) for key, inner in value.items())
    if isinstance(value, list | tuple):
        return tuple(_frozen(inner) for inner in value)
    return value
