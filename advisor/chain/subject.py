"""A subject: one thing of the job that facts are known of and rules are judged on."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from advisor.reading.origin import Origin
from advisor.reading.spec import Spec


@dataclass(eq=False)
class Subject:
    """One subject with its specs, ties and own words; see `kinds.KINDS` for which a kind has."""

    kind: str
    name: str
    origin: Origin | None
    specs: dict[str, Spec] = field(default_factory=dict)
    ties: dict[str, Subject | tuple[Subject, ...]] = field(default_factory=dict)
    own: dict[str, Any] = field(default_factory=dict)
    key: tuple[str, str] = field(init=False)
    """What no other subject has: kind and name."""

    def __post_init__(self) -> None:
        self.key = (self.kind, self.name)

    def __repr__(self) -> str:
        return f"<{self.kind} {self.name}>"

    @property
    def bare(self) -> str:
        """Its name without its side: what left and right have in common."""
        side = self.own.get("side")
        return self.name.removesuffix(f" {side}") if side else self.name
