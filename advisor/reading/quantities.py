"""The kinds of number and word that files hold, and the unit that a key's ending stands for."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Literal

from annotated_types import Ge, Gt, Le

UNITS = {
    "hz": "Hz", "db": "dB", "ms": "ms", "l": "L", "mm": "mm", "cm2": "cm²", "m": "m", "m3": "m³", "mm2": "mm²",
    "w": "W", "ohm": "Ω", "mohm": "mΩ", "mh": "mH", "uf": "µF", "v": "V", "a": "A", "ma": "mA",
    "f": "F", "ah": "Ah", "c": "°C", "k": "K",
    "kg": "kg", "g": "g", "h": "h", "d": "days", "tm": "T·m", "deg": "°", "in": "in", "m3_h": "m³/h",
    "percent": "%", "days": "days", "min": "min", "n": "N",
    "octaves": "octaves", "db_per_octave": "dB/octave", "k_per_w": "K/W", "j_per_k": "J/K", "m_s": "m/s",
    "per_h": "money/h", "price": "money", "cost": "money", "budget": "money", "per_m": "money/m",
    "consumables": "money", "margin": "money", "cm": "cm", "mv": "mV",
}  # fmt: skip


def unit_of(name: str) -> str:
    """Return the unit a key's ending stands for, or nothing.

    >>> unit_of("fs_hz"), unit_of("flow_m3_h"), unit_of("title")
    ('Hz', 'm³/h', '')
    """
    parts = name.split("_")
    for start in range(len(parts)):
        ending = "_".join(parts[start:])
        if ending in UNITS:
            return UNITS[ending]
    return ""


class Exactly:
    """Marks a number that must be written as one: no true/false, no text, also where pydantic would be lenient."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Callable[[Any], dict[str, Any]]) -> Any:
        """Tell pydantic not to convert."""
        schema = handler(source)
        schema["strict"] = True
        return schema


Number = Annotated[float, Exactly()]
Positive = Annotated[float, Exactly(), Gt(0), Le(1e9)]
NotNegative = Annotated[float, Exactly(), Ge(0), Le(1e9)]
Share = Annotated[float, Exactly(), Gt(0), Le(1)]
Celsius = Annotated[float, Exactly(), Ge(-60), Le(200)]
Count = Annotated[int, Exactly(), Ge(1), Le(64)]
Angle = Annotated[float, Exactly(), Ge(0), Le(180)]


class Day:
    """Marks a date, written as 2027-03-01 and in no other way: a bare number is no day."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        """Let pydantic call `_parse`."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self._parse)

    def _parse(self, raw: Any) -> date:
        if not isinstance(raw, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", raw):
            raise ValueError("is not a day; write it as 2027-03-01")
        try:
            return date.fromisoformat(raw)
        except ValueError:
            raise ValueError("is not in the calendar") from None

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        """Describe it to editors."""
        return {"type": "string", "format": "date"}


class CodeOr:
    """Marks a value that is either the code of something in the library or that thing written out in place."""

    def __init__(self, definition: str) -> None:
        self.definition = definition

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        """Accept a text or a mapping; what the mapping holds is checked when the code would be looked up."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self._check)

    def _check(self, raw: Any) -> Any:
        if isinstance(raw, str | dict):
            return raw
        raise ValueError("is neither a code of the library (quote it if it is all digits) nor written out in place")

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        """Describe both forms to editors; `schema.py` puts a reference to the definition in."""
        return {"anyOf": [{"type": "string"}, {"written_out": self.definition}]}


LinkKind = Literal["line", "speaker", "optical", "coaxial", "usb", "bus"]
"""How signal travels between two devices; `bus` is a maker's own digital link."""

Side = Literal["left", "right"]
