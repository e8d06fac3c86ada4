"""Expected values of two kinds that are never mixed: printed (published elsewhere) and golden (our own)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class printed:  # noqa: N801 - reads as a word in a table of rows
    """A number as somebody else printed it; equal within half a unit of its last printed digit.

    `within` replaces that half unit by the tolerance the source (or the reading of it) allows:
    absolute, in the unit of the number. `share` does the same as a share of the number.
    """

    text: str
    source: str
    within: float | None = None
    share: float | None = None

    @property
    def tolerance(self) -> float:
        if self.within is not None:
            return self.within
        if self.share is not None:
            return abs(float(self.text)) * self.share
        return 0.5 * 10.0 ** int(Decimal(self.text).as_tuple().exponent) * (1 + 1e-9)

    def __eq__(self, value: object) -> bool:
        return isinstance(value, int | float) and abs(float(value) - float(self.text)) <= self.tolerance

    __hash__ = None  # type: ignore[assignment]


@dataclass(frozen=True)
class golden:  # noqa: N801
    """A number of our own making, kept to see changes. It proves nothing about the world."""

    value: float

    def __eq__(self, value: object) -> bool:
        return isinstance(value, int | float) and abs(value - self.value) <= 1e-12 * max(1.0, abs(self.value))

    __hash__ = None  # type: ignore[assignment]
