"""A shop: its rates, the hours its operations take, and where it departs from the common rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from annotated_types import Ge, Lt

from advisor.reading.quantities import Exactly, NotNegative, Number, Positive
from advisor.reading.spec import Spec


@dataclass(frozen=True, kw_only=True)
class Operation(Spec):
    """A piece of work on the vehicle, listed by name in jobs."""

    title: str = ""
    h: NotNegative
    """Hours each time; on a way at a pair of places it is done on both."""
    consumables: NotNegative = 0.0
    does: tuple[Literal["seal", "damp", "build", "hold", "hold amplifiers", "wire", "set up"], ...] = ()
    refit_h: NotNegative = 0.0
    """Of `h`, the hours that come last of all: what was taken out is put back."""
    where: Literal["door", "panel"] | None = None
    """What it is done to, where it is no use to anything else."""
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
    parts_margin_percent: Annotated[float, Exactly(), Ge(0), Lt(100)] | None = None
    """Of the price of parts, what stays with the shop."""
    tax_percent: NotNegative | None = None
    """Tax on what is sold; by law, so there is no default."""
    prices_with_tax: bool | None = None
    """Whether prices and rates are told with the tax in them."""
    operations: dict[str, Operation] = field(default_factory=dict)
    limits: dict[str, dict[str, Number]] = field(default_factory=dict)
    levels: dict[str, Literal["must", "trade-off", "tip"]] = field(default_factory=dict)
    rules: tuple[dict[str, Any], ...] = ()
