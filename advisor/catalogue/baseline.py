"""Findings that are known and lived with: by rule, place and what was compared, without lines and numbers."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from advisor.catalogue.row import Noted, Row, told_choice
from advisor.errors import Fault, InputError

KEYS = ("rule", "place", "operand")
BETWEEN = "\x1f"


@dataclass(frozen=True)
class Baseline:
    """The identities of findings that are known."""

    known: frozenset[str] = frozenset()


def identity(rule: str, place: str, operand: str) -> str:
    """Return what tells one finding from all others, and stays as it is while lines and numbers move."""
    return BETWEEN.join((rule, place, operand))


def identity_of(row: Row, one: Noted) -> str:
    """Return the identity of a finding of a line."""
    return identity(one.rule, place_in(row, one.at), one.operand)


def place_in(row: Row, at: str) -> str:
    """Return where in a catalogue a finding is: package, choices, customer, vehicle, subject."""
    return " / ".join(word for word in (row.package, told_choice(row.settled), row.customer, row.vehicle, at) if word)


def read_baseline(path: Path) -> Baseline:
    """Read a baseline. Raises InputError."""
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        found = frozenset(identity(*(str(one[key]) for key in KEYS)) for one in data["findings"])
    except OSError as error:
        raise InputError([Fault(str(path), 1, 1, "", f"cannot be read: {error.strerror}")]) from None
    except json.JSONDecodeError as error:
        raise InputError([Fault(str(path), error.lineno, error.colno, "", f"is not JSON: {error.msg}")]) from None
    except (UnicodeDecodeError, KeyError, TypeError):
        way_out = "write it anew with --write-baseline"
        raise InputError([Fault(str(path), 1, 1, "", "is no baseline of an audit", way_out)]) from None
    return Baseline(found)


def baseline_text(identities: Iterable[str]) -> str:
    """Return a baseline as text, in an order that does not change."""
    findings = [dict(zip(KEYS, one.split(BETWEEN), strict=True)) for one in sorted(set(identities))]
    return json.dumps({"advisor": 1, "findings": findings}, indent=1, ensure_ascii=False) + "\n"
