"""By how much a given value may be off: an amount or a share, as a file writes it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from advisor.errors import shortened

_SIZE = re.compile(r"(?P<size>[0-9]+(?:\.[0-9]*)?|\.[0-9]+)\s*(?P<unit>[^\s0-9].*)?$")
_MOST = 1e9
_NO_SHARE = ("dB", "°C", "%")
"""Units whose zero stands for nothing: a share of 90 dB, or of 20 °C, says nothing."""


@dataclass(frozen=True)
class Within:
    """By how much a value may be off either way: an amount in its own unit, or a share of it.

    It is read as two standard deviations: of twenty such values, nineteen lie nearer.
    """

    size: float
    share: bool = False

    def of(self, value: float) -> float:
        """Return the amount for a value."""
        return abs(value) * self.size if self.share else self.size

    def __str__(self) -> str:
        return f"{self.size * 100:g} %" if self.share else f"{self.size:g}"


def read_within(raw: Any, unit: str) -> Within:
    """Read `3`, `3 Hz` or `15 %` for a value in a unit; ValueError says what was expected."""
    if isinstance(raw, bool) or not isinstance(raw, int | float | str):
        raise ValueError("is not a tolerance; write 15 %, or a number in the unit of the value")
    if isinstance(raw, str):
        if raw.strip().startswith("-"):
            raise ValueError("is negative; a tolerance counts both ways")
        match = _SIZE.match(raw.strip())
        if match is None:
            raise ValueError("is not a number; write 15 %, or a number in the unit of the value")
        size, said = float(match["size"]), (match["unit"] or "").strip()
        if size > _MOST:
            raise ValueError("is too large to be meant")
        if said == "%" and unit != "%":
            return _share(size, unit)
        if said and said.casefold() not in _names(unit):
            own = f"in {unit}" if unit else "with no unit"
            raise ValueError(f"is in '{shortened(said)}', the value is {own}; write the number alone, or a share in %")
        return Within(size)
    if raw < 0:
        raise ValueError("is negative; a tolerance counts both ways")
    if raw > _MOST:
        raise ValueError("is too large to be meant")
    return Within(float(raw))


def _share(percent: float, unit: str) -> Within:
    if unit in _NO_SHARE:
        raise ValueError(f"is a share, which says nothing of a value in {unit}; write it in {unit}")
    if percent >= 100:
        raise ValueError("is all of the value or more; nothing would be known of it")
    return Within(percent / 100, share=True)


def _names(unit: str) -> tuple[str, ...]:
    more = {"°C": ("c", "k"), "Ω": ("ohm",), "mΩ": ("mohm",), "°": ("deg",), "L": ("litres",), "µF": ("uf",)}
    return (unit.casefold(), *more.get(unit, ()))
