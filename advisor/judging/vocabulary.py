"""Every name a rule may use, and whether a dotted name leads somewhere."""

from __future__ import annotations

import functools
import typing
from dataclasses import fields, is_dataclass
from typing import Any

from advisor.chain.kinds import KINDS
from advisor.errors import did_you_mean
from advisor.facts.registry import register
from advisor.reading.spec import Spec


@functools.cache
def names_of(kind: str) -> tuple[str, ...]:
    """Return all that may follow the dot after a subject of a kind."""
    spec = KINDS[kind]
    facts = [name for owner, name in register() if owner == kind]
    return (*facts, *spec.specs, *spec.ties, *spec.own)


def refusal(steps: tuple[str, ...], roots: dict[str, str | None]) -> str | None:
    """Return why a dotted name leads nowhere, or None where it leads to a value.

    `roots` maps the names a rule starts from to a kind of subject, or to None for plain values.
    """
    if steps[0] not in roots:
        return f"'{steps[0]}' is not known here; {did_you_mean(steps[0], roots) or 'there is ' + ', '.join(roots)}"
    kind = roots[steps[0]]
    here: Any = KINDS[kind] if kind else None
    for index, step in enumerate(steps[1:], 1):
        known = _names_at(here)
        if step not in known:
            told = ".".join(steps[:index])
            return f"'{told}' has no '{step}'; {did_you_mean(step, known) or 'see `advisor rule` for names'}"
        here = _step(here, step)
    return None


def _names_at(here: Any) -> tuple[str, ...]:
    if here is None:
        return ()
    return _keys_of(here) if isinstance(here, type) else names_of(here.name)


@functools.cache
def _keys_of(cls: type[Spec]) -> tuple[str, ...]:
    return tuple(field.name.rstrip("_") for field in fields(cls))


def _step(here: Any, step: str) -> Any:
    """Return what stands behind one more step: a kind, a dataclass, or None for a plain value."""
    if isinstance(here, type):
        hint = _hints(here).get(step) or _hints(here).get(f"{step}_")
        return next((c for c in (hint, *typing.get_args(hint)) if isinstance(c, type) and is_dataclass(c)), None)
    if (here.name, step) in register():
        return None
    if step in here.specs:
        return here.specs[step]
    tie = here.ties.get(step)
    return KINDS[tie] if isinstance(tie, str) else None


@functools.cache
def _hints(cls: type[Spec]) -> dict[str, Any]:
    return typing.get_type_hints(cls)
