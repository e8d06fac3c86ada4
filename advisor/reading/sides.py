"""Settings of a way that may differ by side: `-3`, or `{left: -3, right: -1.5}`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from advisor.reading.shorthand import Shorthand

SIDES = ("left", "right")


@dataclass(frozen=True)
class BySide(Shorthand):
    """One setting for both sides, or one for each; None where a side was left out."""

    left: Any
    right: Any
    apart: bool
    """Whether it was written side by side."""

    one: ClassVar[dict[str, Any]]
    """JSON schema of a single value."""

    def of(self, side: str) -> Any:
        """Return the setting of a side; a way without sides has what was written for both."""
        return self.right if side == "right" else self.left

    @classmethod
    def single(cls) -> Any:
        """Return the pydantic schema of a single value."""
        raise NotImplementedError

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], Any]) -> Any:
        """Check each value at its own place, so that a fault points at it."""
        from pydantic_core import core_schema

        field = core_schema.typed_dict_field(cls.single(), required=False)
        sides = core_schema.typed_dict_schema(dict.fromkeys((*SIDES, "both"), field))
        spread = core_schema.no_info_before_validator_function(cls._spread, sides)
        return core_schema.no_info_after_validator_function(cls._gathered, spread)

    @classmethod
    def _spread(cls, raw: Any) -> Any:
        if not isinstance(raw, dict):
            return {"both": raw}
        if not raw or not set(raw) <= set(SIDES):
            raise ValueError("holds no setting by side; write one value, or {left: …, right: …} and no other key")
        return raw

    @classmethod
    def _gathered(cls, values: dict[str, Any]) -> Self:
        both = values.get("both")
        return cls(values.get("left", both), values.get("right", both), "both" not in values)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: Callable[[Any], Any]) -> dict[str, Any]:
        """Describe both forms to editors."""
        sides = {
            "type": "object",
            "properties": {name: dict(cls.one) for name in SIDES},
            "additionalProperties": False,
            "minProperties": 1,
        }
        return {"anyOf": [dict(cls.one), sides]}

    def __str__(self) -> str:
        if not self.apart:
            return _written(self.left)
        told = [f"{name} {_written(self.of(name))}" for name in SIDES if self.of(name) is not None]
        return ", ".join(told)


def _written(value: Any) -> str:
    return str(value) if isinstance(value, str) else f"{value:g}"


def _number(least: float, most: float) -> Any:
    from pydantic_core import core_schema

    return core_schema.float_schema(strict=True, ge=least, le=most)


class Trim(BySide):
    """Level set at a processor's output [dB]."""

    one: ClassVar[dict[str, Any]] = {"type": "number", "minimum": -60, "maximum": 20}

    @classmethod
    def single(cls) -> Any:
        """Return the schema of a level in decibels."""
        return _number(-60, 20)


class Delay(BySide):
    """Delay set at a processor's output [ms]."""

    one: ClassVar[dict[str, Any]] = {"type": "number", "minimum": 0, "maximum": 100}

    @classmethod
    def single(cls) -> Any:
        """Return the schema of a delay in milliseconds."""
        return _number(0, 100)


class Polarity(BySide):
    """Polarity set at a processor's output or made by the leads at the driver."""

    one: ClassVar[dict[str, Any]] = {"enum": ["normal", "inverted"]}

    @classmethod
    def single(cls) -> Any:
        """Return the schema of a polarity."""
        from pydantic_core import core_schema

        return core_schema.literal_schema(["normal", "inverted"])
