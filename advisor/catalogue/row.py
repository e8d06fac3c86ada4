"""One line of an audit: a package, its choices settled, for one customer in one vehicle, and what came of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

from advisor.judging.finding import OUTCOMES
from advisor.reading.choices import Settled

VERDICTS = ("cannot be built", "not judged", "must be fixed", "not known", "trade-offs", "tips", "holds")
"""What comes of a line, the worst first; `not judged` is a rule that broke."""


@dataclass(frozen=True, slots=True)
class Noted:
    """One finding that needs attention, as plain values: all that is told of it without its chain."""

    rule: str
    level: str
    at: str
    outcome: str
    says: str
    place: str
    """`file:line:col` of what it speaks of."""
    operand: str
    """What was compared, by name and without its value: stays the same while lines and numbers move."""
    left: Any = None
    op: str = ""
    right: Any = None
    unit: str = ""
    margin: float | None = None
    to_customer: str = ""
    reason: str = ""
    """Of a waiver: why, until when, by whom."""

    @property
    def share(self) -> float | None:
        """The margin as a share of its limit, which margins of different units can be compared by."""
        return share_of(self.margin, self.right, self.unit)


@dataclass(frozen=True)
class Row:
    """What is kept of one line. `rules` has a digit for each rule of the rulebook: its worst outcome, `-` for none."""

    package: str
    settled: Settled
    customer: str
    vehicle: str
    place: str
    verdict: str
    rules: str = ""
    worst: Noted | None = None
    """Of what decides the verdict, the comparison with the least margin by share of its limit."""
    noted: tuple[Noted, ...] = ()
    figures: tuple[tuple[str, float], ...] = ()

    @property
    def key(self) -> tuple[str, Settled, str, str]:
        """What no other line of the audit has."""
        return self.package, self.settled, self.customer, self.vehicle

    @property
    def choice(self) -> str:
        """Its choices in words."""
        return told_choice(self.settled)

    def of(self, outcome: str, level: str | None = None) -> list[Noted]:
        """Return what was noted of an outcome (and level)."""
        return [one for one in self.noted if one.outcome == outcome and level in (None, one.level)]

    def outcomes(self, names: list[str]) -> Iterator[tuple[str, str]]:
        """Yield each rule's name with its worst outcome; rules that nothing was held against are left out."""
        for name, digit in zip(names, self.rules, strict=True):
            if digit != "-":
                yield name, OUTCOMES[int(digit)]


def told_choice(settled: Settled) -> str:
    """Return settled choices in words: `sub.driver SB-250, amplifier AM-1`."""
    return ", ".join(f"{name} {label}" for name, label in settled)


NO_SHARE = ("dB", "°C", "°", "")
"""Units of which half is not half as much: levels, temperatures, angles, counts."""


def share_of(margin: float | None, limit: Any, unit: str) -> float | None:
    """Return a margin as a share of its limit, none where that says nothing."""
    if margin is None or unit in NO_SHARE or isinstance(limit, bool) or not isinstance(limit, int | float) or not limit:
        return None
    return float(margin) / abs(float(limit))


def plain(value: Any) -> Any:
    """Return a value as JSON has it."""
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return value if isinstance(value, bool | int | float | str) or value is None else str(value)


def packed(row: Row) -> str:
    """Return a row as JSON text."""
    values = list(_ROW(row))
    if row.worst is not None:  # mostly it is one of those noted
        values[_WORST] = row.noted.index(row.worst) if row.worst in row.noted else _NOTED(row.worst)
    values[_ALL_NOTED] = list(map(_NOTED, row.noted))
    return _encode(values)


def unpacked(text: str) -> Row:
    """Return the row of a JSON text."""
    values = dict(zip(_FIELDS, json.loads(text), strict=True))
    values["settled"] = tuple((name, label) for name, label in values["settled"])
    values["noted"] = noted = tuple(Noted(*one) for one in values["noted"])
    if (worst := values["worst"]) is not None:
        values["worst"] = noted[worst] if isinstance(worst, int) else Noted(*worst)
    values["figures"] = tuple((name, value) for name, value in values["figures"])
    return Row(**values)


_FIELDS = [field.name for field in fields(Row)]
_ROW, _NOTED = attrgetter(*_FIELDS), attrgetter(*(field.name for field in fields(Noted)))
_WORST, _ALL_NOTED = _FIELDS.index("worst"), _FIELDS.index("noted")
_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
