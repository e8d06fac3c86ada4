"""A shop: its rates, the hours its operations take, and where it departs from the common rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from advisor.reading.quantities import NotNegative, Number, Positive
from advisor.reading.spec import Spec


@dataclass(frozen=True, kw_only=True)
class Operation(Spec):
    """A piece of work on the vehicle, listed by name in jobs."""

    title: str = ""
    h: NotNegative
    """Hours each time; on a way at a pair of places it is done on both."""
    consumables: NotNegative = 0.0
    does: tuple[Literal["seal", "damp", "build", "hold", "wire", "set up"], ...] = ()
    source: str = "common practice"


@dataclass(frozen=True, kw_only=True)
class Shop(Spec):
    """A shop file; what it does not say comes from the defaults that are shipped with the rules."""

    advisor: Literal[1] = 1
    shop: str = ""
    currency: str | None = None
    rate_per_h: Positive | None = None
    day_h: Positive | None = None
    """Working hours in a day."""
    auto_network_price: NotNegative | None = None
    """Parts of a passive network made for the job, one side."""
    auto_network_h: NotNegative | None = None
    operations: dict[str, Operation] = field(default_factory=dict)
    limits: dict[str, dict[str, Number]] = field(default_factory=dict)
    levels: dict[str, Literal["must", "trade-off", "tip"]] = field(default_factory=dict)
    rules: tuple[dict[str, Any], ...] = ()
