"""What reading a fact or a given value yields: the value, and all it was made of."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from advisor.reading.origin import Spot, place_of
from advisor.reading.spec import Steps
from advisor.reading.within import Within

BASES = ("rule of thumb", "datasheet", "measured", "computed")
"""From the weakest ground to the firmest; `computed` rests on decisions written in the job alone."""


@dataclass(eq=False, slots=True)
class Reading:
    """One value that was read, and the readings it came from; never changed, but frozen it takes five times as long.

    `kind` is fact, given (written in a file), assumed (a named rule of thumb), limit, or chain (follows from how
    the chain is drawn).
    """

    key: tuple[str, ...]
    name: str
    value: Any
    unit: str
    kind: str
    basis: str
    spot: Spot = None
    says: str = ""
    source: str = ""
    inputs: tuple[Reading, ...] = field(default=(), repr=False)
    within: Mapping[Steps, Within] | None = None
    """What a given value, or each number in it, was said to be within."""
    says_own: bool = False
    """Whether it, or anything below it, says its own tolerance."""
    rests_on: int = field(default=0, repr=False)
    """What it rests on, a bit for each, where that is kept track of over many jobs."""

    @property
    def place(self) -> str:
        """`file:line:col` of it, or what stands in for that."""
        return place_of(self.spot)

    def walk(self) -> Iterator[Reading]:
        """Yield this reading and every one below it, each once."""
        seen: set[tuple[str, ...]] = set()
        waiting = [self]
        while waiting:
            reading = waiting.pop()
            if reading.key not in seen:
                seen.add(reading.key)
                yield reading
                waiting += reversed(reading.inputs)

    def assumptions(self) -> list[Reading]:
        """Return the rules of thumb underneath."""
        return [reading for reading in self.walk() if reading.kind == "assumed"]


def weakest(bases: Collection[str]) -> str:
    """Return the weakest of some bases."""
    for basis in BASES:
        if basis in bases:
            return basis
    return "computed"


class Missing(Exception):
    """An input that nobody gave. Names what is missing and where it would be written."""

    def __init__(self, name: str, spot: Spot, way_out: str = "") -> None:
        self.name, self.spot, self.way_out = name, spot, way_out
        super().__init__(name, spot, way_out)

    @property
    def place(self) -> str:
        """`file:line:col` of where it would be written."""
        return place_of(self.spot)

    def __str__(self) -> str:
        where = f" ({self.place})" if self.place else ""
        return f"{self.name} is not given{where}" + (f"; {self.way_out}" if self.way_out else "")


class NotDefined(Exception):
    """A fact that this subject does not have, with the reason: an open edge has no frequency."""


class BrokenFact(Exception):
    """A fact function failed or gave what cannot be a value: our bug, never a verdict."""


Stop = Missing | NotDefined | BrokenFact
"""Why there is no value."""


def said_again(stop: Stop) -> Stop:
    """Return the same to be kept or raised: what was raised remembers where, and would keep that engine alive."""
    return type(stop)(*stop.args)


def checked(value: Any) -> Any:
    """Return what a fact gave. Raises BrokenFact where it cannot be a value."""
    if type(value) is float and math.isfinite(value):  # as most are
        return value
    if hasattr(value, "item") and getattr(value, "ndim", 1) == 0:
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        raise BrokenFact(f"gave {value}")
    if value is None:
        raise BrokenFact("gave nothing")
    return value
