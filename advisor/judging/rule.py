"""A rule of the trade, as read from rules/*.yaml or a shop's file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from advisor.reading.origin import Origin

LEVELS = ("must", "trade-off", "tip")
"""From what has to be mended to what is good to know."""

ORDERED = ("<=", ">=", "<", ">")
OPERATORS = (*ORDERED, "==", "!=", "in", "not in", "covers", "avoids")
"""covers: the left list has all of the right one; avoids: the two share nothing."""


@dataclass(frozen=True)
class Comparison:
    """`left op right`, which must hold."""

    left: str
    op: str
    right: str


@dataclass(frozen=True)
class Group:
    """`all:`, `any:` or `not:` over checks."""

    kind: str
    members: tuple[Check, ...]


Check = Comparison | Group


@dataclass(frozen=True)
class Limit:
    """A number a rule measures against, with who says so; `by_shop` where the shop's file changed it."""

    value: float
    source: str
    by_shop: str = ""


@dataclass(frozen=True)
class Rule:
    """One rule. `check` says what must hold of each subject of the kind it is `about`."""

    name: str
    about: str
    level: str
    check: Check
    says: str
    because: str
    to_customer: str
    sources: tuple[str, ...]
    origin: Origin = field(repr=False)
    when: str | None = None
    exact: bool = False
    """`tolerance: none`: the limit is a matter of taste, so nearness to it is no doubt."""
    limits: dict[str, Limit] = field(default_factory=dict)
    levers: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    cases: tuple[dict[str, Any], ...] = ()
    level_by_shop: str = ""

    @cached_property
    def limit_values(self) -> dict[str, float]:
        """What conditions and sentences read as `limits`."""
        return {name: limit.value for name, limit in self.limits.items()}

    def comparisons(self) -> Iterator[Comparison]:
        """Yield every comparison of the check."""
        yield from _comparisons(self.check)


def _comparisons(check: Check) -> Iterator[Comparison]:
    if isinstance(check, Comparison):
        yield check
    else:
        for member in check.members:
            yield from _comparisons(member)
