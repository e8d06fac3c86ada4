"""The facts engine: reads facts and given values of subjects, once each, and keeps what each was made of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from advisor.chain.kinds import KINDS
from advisor.chain.subject import Subject
from advisor.errors import NameUnknown
from advisor.facts.assumed import assumptions
from advisor.facts.frames import Frame
from advisor.facts.given import absent, basis_of, given_key, holds_specs, said_within, spot_of
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading, Stop, checked, said_again, weakest
from advisor.facts.registry import Fact, register, register_by_kind
from advisor.facts.views import SpecView, View, spec_name
from advisor.reading.quantities import unit_of
from advisor.reading.spec import Spec

if TYPE_CHECKING:
    from advisor.chain.build import Chain

Key = tuple[str, ...]
T = TypeVar("T")
Worked = tuple[Reading | Stop, set[Key]]
"""A fact that was worked out, and all that was read for it."""
Written = tuple[Reading, Any]
"""What is read of a file, and its value; None where nobody wrote it."""

DEPTH = 60
"""Facts resting on facts: more than this is a circle."""


class Engine:
    """Facts of one chain. `given` replaces values of the files, by the key of their reading (a what-if)."""

    says_where = True
    """Whether readings say where they stand. Those that do hold on to the files they were read from."""

    def __init__(self, chain: Chain, given: Mapping[Key, Any] | None = None) -> None:
        self.chain = chain
        self.given = dict(given or {})
        self.facts, self._facts_of = register(), register_by_kind()
        self.computed = 0
        self._known: dict[Key, Reading | Stop] = {}
        self._rest_on: defaultdict[Key, list[Key]] = defaultdict(list)
        """Which facts rest on a reading; see `_used`."""
        self._unsorted: list[Key] = []
        """Facts that are not yet entered there: of most what-ifs nobody asks what rests on what."""
        self._read_for: dict[Key, set[Key]] = {}
        """All that was read for a fact; in the order they were worked out, so what they rest on comes first."""
        self._order: list[Key] = []
        """Facts worked out here, as they came."""
        self._before: Engine | None = None
        self._stale: set[Key] = set()
        """What is not as it was in the engines before, of all they had worked out so far."""
        self._since: dict[Engine, int] = {}
        """How many facts each engine before had worked out when its facts were last looked through."""
        self._written: dict[Key, Written] = {}
        self._drawn: dict[Key, Reading] = {}
        self._frames: list[Frame] = []

    # -- asking ------------------------------------------------------------------------------------------------

    def view(self, subject: Subject) -> View:
        """Return a subject as facts and rules see it: attributes are read and kept track of."""
        return View(self, subject)

    def ask(self, subject: Subject, name: str) -> Reading:
        """Return the reading of a fact, or of a subject's own word.

        Raises Missing, NotDefined or BrokenFact where there is no value.
        """
        known = self._known.get((subject.kind, subject.name, name))
        if isinstance(known, Reading):
            return known
        if known is not None:
            raise said_again(known)
        with self.frame() as frame:
            self.read(subject, name)
        readings: list[Reading] = list(frame.readings.values())
        return readings[0]

    def find(self, address: str) -> tuple[Subject, str]:
        """Return the subject and fact that `midwoof left.plays_down_to_hz` speaks of.

        Raises NameUnknown.
        """
        name, _, wanted = address.strip().rpartition(".")
        subjects = [subject for subject in self.chain.subjects if subject.name == name]
        if not subjects:
            raise NameUnknown("subject", name or address, [subject.name for subject in self.chain.subjects])
        for subject in sorted(subjects, key=lambda subject: subject.kind != "driver"):
            if (subject.kind, wanted) in self.facts:
                return subject, wanted
        known = [fact for kind, fact in self.facts if kind in {subject.kind for subject in subjects}]
        raise NameUnknown(f"fact of {name}", wanted, known)

    def frame(self) -> Frame:
        """Collect what is read inside the block."""
        return Frame(self._frames)

    def what_if(self, given: Mapping[Key, Any], kept: Mapping[Key, Worked] | None = None) -> Engine:
        """Return an engine with some given values replaced; only what rests on them is worked out again.

        `kept` are facts that were worked out in an engine like it before, and are known to still be so.
        """
        other = self._another({**self.given, **given})
        other._before, other._stale, other._drawn = self, self.resting_on(given), self._drawn
        other._since = {engine: len(engine._order) for engine in reversed(list(self._line()))}
        for key, (value, touched) in (kept or {}).items():
            other._enter(key, value, touched)
        return other

    def _another(self, given: Mapping[Key, Any]) -> Engine:
        return Engine(self.chain, given)

    @property
    def worked_out(self) -> dict[Key, Worked]:
        """What was worked out in this engine itself, in that order."""
        return {key: (self._known[key], touched) for key, touched in self._read_for.items()}

    def moved(self, chain: Chain, stale: set[Key]) -> Engine:
        """Return an engine for a chain that differs from this one by some readings and what rests on them.

        All that is not stale is taken over as it is.
        """
        assert self._before is None, "a what-if is not moved"
        other = Engine(chain, self.given)
        other._known, other._read_for = _without(self._known, stale), _without(self._read_for, stale)
        other._rest_on.update({key: users.copy() for key, users in self._used().items()})
        for key in set().union(*[self._read_for[key] for key in stale & self._known.keys()]):
            # what is worked out anew notes anew what it was made of
            if left := [user for user in self._rest_on[key] if user not in stale]:
                other._rest_on[key] = left
            else:
                del other._rest_on[key]
        other._written, other._drawn = _without(self._written, stale), _without(self._drawn, stale)
        return other

    def resting_on(self, keys: Iterable[Key]) -> set[Key]:
        """Return some readings and every fact that was made of them, however far up."""
        above = [engine._used() for engine in self._line()]
        found = set(keys)
        waiting = found
        while waiting:
            users = [rest_on[key] for rest_on in above for key in waiting if key in rest_on]
            waiting = set().union(*users) - found
            found |= waiting
        return found

    def read_below(self, keys: Iterable[Key]) -> set[Key]:
        """Return some keys and all that was read for them in this engine, however far down.

        What was taken over from the engine before is there by its own key: that one knows what it rests on.
        """
        found = set(keys)
        waiting = found & self._read_for.keys()
        while waiting:
            below = set().union(*[self._read_for[key] for key in waiting]) - found
            found |= below
            waiting = below & self._read_for.keys()
        return found

    def _lookup(self, key: Key) -> Reading | Stop | None:
        """Return what is known of a fact, here or in the engines this one was made from."""
        known = self._known.get(key)
        if known is None and self._before is not None:
            known = self._before._lookup(key)
            if known is None or key in self._stale_by_now():
                return None
            self._known[key] = known
        return known

    def _stale_by_now(self) -> set[Key]:
        """Return what is not as in the engines before, with what they worked out after this what-if was made."""
        for engine, since in self._since.items():
            if since < len(engine._order):
                for key in engine._order[since:]:
                    if not self._stale.isdisjoint(engine._read_for[key]):
                        self._stale.add(key)
                self._since[engine] = len(engine._order)
        return self._stale

    def _line(self) -> Iterator[Engine]:
        """Yield this engine and those it was made from by what-ifs."""
        engine: Engine | None = self
        while engine is not None:
            yield engine
            engine = engine._before

    # -- reading: called by views -------------------------------------------------------------------------------

    def read(self, subject: Subject, name: str) -> Any:
        """Return the value of an attribute of a subject, noting that it was read."""
        key = (subject.kind, subject.name, name)
        known = self._known.get(key)
        if isinstance(known, Reading):  # most of what is read: a fact that is known
            if self._frames:
                self._frames[-1].readings[key] = known
            return known.value
        fact = self._facts_of[subject.kind].get(name)
        if fact is not None:
            return self._fact(subject, fact, key)
        if name in subject.own:
            return self._chain(subject, key, name, subject.own[name])
        if name in subject.specs:
            self._touch(key)
            return SpecView(self, subject.specs[name], subject, name)
        tie = subject.ties.get(name)
        if isinstance(tie, Subject):
            self._touch(key)
            return View(self, tie)
        if tie is not None:
            drawn = self._drawn.get(key)
            if drawn is not None:
                self._note(drawn)
            else:
                self._chain(subject, key, name, tuple([one.name for one in tie]))
            return tuple([View(self, one) for one in tie])
        kind = KINDS[subject.kind]
        if name not in (*kind.specs, *kind.ties, *kind.own):
            raise AttributeError(f"a {kind.name} has no '{name}'")  # a slip in a fact, not something to be measured
        self._touch(key)
        raise absent(subject, name)

    def read_given(self, spec: Spec, subject: Subject, record: str, name: str, *, optional: bool = False) -> Any:
        """Return a value as written in a file, noting where; Missing where nobody wrote it."""
        name = name.rstrip("_")
        key = given_key(spec, subject, record, name)
        known = self._written_at(key)
        if known is None:
            return self._read_given(spec, subject, record, name, key, optional)
        reading, value = known
        if value is None and not optional:
            self._touch(key)
            raise Missing(reading.name, spec.origin)
        self._note(reading)
        return value

    def _written_at(self, key: Key) -> Written | None:
        known = self._written.get(key)
        if known is None and self._before is not None and key not in self.given:
            return self._before._written_at(key)
        return known

    def _read_given(self, spec: Spec, subject: Subject, record: str, name: str, key: Key, optional: bool) -> Any:
        attribute = name if hasattr(spec, name) else f"{name}_"
        value = self.given.get(key, getattr(spec, attribute))
        label = f"{spec_name(spec, subject, record)}.{name}"
        origin = spec.origin
        by_place = origin is not None and bool(origin.path)  # else it is called after who asks
        if value is None:
            if not optional:
                self._touch(key)
                raise Missing(label, origin)
            # what is done instead rests on that nobody wrote it
            spot = origin if self.says_where else None
            reading = Reading(key, label, "not given", "", "given", "computed", spot)
            if by_place:
                self._written[key] = reading, None
            self._note(reading)
            return None
        if isinstance(value, Spec):
            self._touch(key)
            return SpecView(self, value, subject, f"{record}.{name}")
        basis = basis_of(spec, name)
        if holds_specs(value) or (isinstance(value, dict) and any(map(holds_specs, value.values()))):
            self._touch(key)
            return self._viewed(value, subject, f"{record}.{name}")
        said = said_within(spec, attribute)
        where = spot_of(spec, attribute, name, said) if self.says_where else None
        reading = Reading(key, label, value, unit_of(name), "given", basis, where, within=said)
        reading.says_own = said is not None
        if by_place:
            self._written[key] = reading, value
        return self._note(reading)

    def called(self, spec: Spec, subject: Subject, record: str) -> str:
        """Return what a spec is called in a sentence; that its title was looked at counts as read."""
        if hasattr(spec, "title"):
            self._touch(given_key(spec, subject, record, "title"))
        return str(getattr(spec, "title", "")) or spec_name(spec, subject, record)

    def assume(self, name: str) -> Any:
        """Return a rule of thumb from rules/assumptions.yaml, noting that the number rests on it."""
        key = ("assumed", name)
        known = self._written.get(key)
        if known is None:
            rule = assumptions()[name]
            value, words = self.given.get(key, rule.value), name.replace("_", " ")
            reading = Reading(
                key, words, value, rule.unit, "assumed", "rule of thumb", rule.place, rule.because, rule.source
            )
            known = self._written[key] = reading, value
        return self._note(known[0])

    def decisive(self, pick: Callable[[list[float]], float], *readers: Callable[[], float]) -> float:
        """Return the least (or greatest) of some values; only the one that decides counts as what it rests on."""
        with self.frame() as frame:
            try:
                values = [float(reader()) for reader in readers]
            finally:
                if len(self._frames) > 1:
                    self._frames[-2].looked_at |= frame.touched
        return float(readers[values.index(pick(values))]())

    def has(self, subject: Subject, name: str) -> bool:
        """Tell whether a subject has a spec or tie, noting the answer."""
        there = name in subject.specs or name in subject.ties
        name = f"has a {name}"
        self._chain(subject, (subject.kind, subject.name, name), name, there)
        return there

    # -- inside -------------------------------------------------------------------------------------------------

    def _viewed(self, value: Any, subject: Subject, record: str) -> Any:
        """Return specs in lists and mappings as facts see them."""
        if isinstance(value, dict):
            return {word: self._viewed(item, subject, record) for word, item in value.items()}
        if isinstance(value, tuple):
            return tuple(self._viewed(item, subject, record) for item in value)
        return SpecView(self, value, subject, record)

    def _chain(self, subject: Subject, key: Key, name: str, value: Any) -> Any:
        """Note what follows from how the chain is drawn."""
        reading = self._drawn.get(key)
        if reading is None:
            name, spot = f"{subject.name}.{name}", subject.origin if self.says_where else None
            reading = self._drawn[key] = Reading(key, name, value, "", "chain", "computed", spot)
        if self._frames:
            self._frames[-1].readings[key] = reading
        return value

    def _touch(self, key: Key) -> None:
        if self._frames:
            self._frames[-1].looked_at.add(key)

    def _note(self, reading: Reading) -> Any:
        if self._frames:
            self._frames[-1].readings[reading.key] = reading
        return reading.value

    def _fact(self, subject: Subject, fact: Fact, key: Key) -> Any:
        known = self._lookup(key)
        if known is None:
            circle = len(self._frames) > DEPTH
            known = BrokenFact(f"{key[1]}.{key[2]} rests on itself") if circle else self._compute(subject, fact, key)
        if isinstance(known, Reading):
            return self._note(known)
        self._touch(key)
        raise said_again(known)

    def _compute(self, subject: Subject, fact: Fact, key: Key) -> Reading | Stop:
        self.computed += 1
        result: Reading | Stop
        with self.frame() as frame:
            try:
                value = checked(fact.compute(View(self, subject)))
            except (Missing, NotDefined, BrokenFact) as stop:
                result = said_again(stop)
            except Exception as error:  # a fact that fails is our bug; it must never look like a verdict
                result = BrokenFact(f"{subject.name}.{fact.name}: {type(error).__name__}: {error}")
            else:
                inputs = tuple(frame.readings.values())
                basis = weakest({reading.basis for reading in inputs})
                name, spot = f"{subject.name}.{fact.name}", subject.origin if self.says_where else None
                result = Reading(key, name, value, fact.unit, "fact", basis, spot, fact.says, fact.source, inputs)
                result.says_own = any(reading.says_own for reading in inputs)
        self._worked_out(key, result, frame)
        return result

    def _worked_out(self, key: Key, result: Reading | Stop, frame: Frame) -> None:
        self._enter(key, result, frame.touched)

    def _enter(self, key: Key, result: Reading | Stop, touched: set[Key]) -> None:
        self._order.append(key)
        self._unsorted.append(key)
        self._known[key], self._read_for[key] = result, touched

    def _used(self) -> dict[Key, list[Key]]:
        """Return which facts rest on a reading."""
        rest_on = self._rest_on
        for key in self._unsorted:
            for below in self._read_for[key]:
                rest_on[below].append(key)
        self._unsorted.clear()
        return rest_on


def _without(known: Mapping[Key, T], stale: set[Key]) -> dict[Key, T]:
    left = dict(known)
    for key in stale & left.keys():
        del left[key]
    return left
