"""The short forms a job file uses: `350 LR24` for a crossover edge, `front.3+4` for the end of a cable."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, ClassVar, Self

from advisor.errors import shortened

FAMILIES = {"LR": "linkwitz-riley", "BW": "butterworth", "BS": "bessel"}

_EDGE = re.compile(r"(?P<hz>[0-9.]+(?:e[0-9]+)?)(?:\s*Hz)?(?:\s+(?P<family>[A-Za-z]+)\s*(?P<slope>[0-9]{1,4}))?$")
_PORT = re.compile(r"(?P<node>[^\W_][\w -]*?)(?:\.(?P<port>[A-Za-z]+|[0-9]{1,4}(?:\+[0-9]{1,4})?))?$")


class Shorthand:
    """A value written as one short text (or number); subclasses say how it is read."""

    json_form: ClassVar[dict[str, Any]]

    @classmethod
    def parse(cls, raw: Any) -> Self:
        """Read the short form; ValueError says what was expected."""
        raise NotImplementedError

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Callable[[Any], Any]) -> Any:
        """Let pydantic call `parse`."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(cls.parse)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: Callable[[Any], Any]) -> dict[str, Any]:
        """Describe the short form to editors."""
        return dict(cls.json_form)


@dataclass(frozen=True)
class Edge(Shorthand):
    """One edge of the band a way plays: a frequency and a filter, or `open` for none.

    A frequency alone says where the edge is wanted and leaves the filter open to question.
    """

    hz: float | None
    family: str | None = None
    slope_db_per_octave: int | None = None

    json_form: ClassVar[dict[str, Any]] = {
        "anyOf": [
            {"type": "number", "exclusiveMinimum": 0},
            {
                "type": "string",
                "pattern": r"^(open|[0-9.]+( *Hz)?( +(LR|BW|BS) *(6|12|18|24|30|36|42|48))?)$",
            },
        ],
        "description": "an edge such as 350 LR24 (Linkwitz-Riley, 24 dB/octave; BW Butterworth, BS Bessel), or open",
    }

    @classmethod
    def parse(cls, raw: Any) -> Self:
        """Read `open`, `350`, `350 LR24`."""
        if raw == "open":
            return cls(None)
        match = _EDGE.match(str(raw).strip()) if isinstance(raw, str | int | float) else None
        if match is None or isinstance(raw, bool):
            raise ValueError("is not an edge; write for example '350 LR24', '350' or 'open'")
        try:
            hz = float(match["hz"])
        except ValueError:
            raise ValueError("does not begin with a frequency in Hz; write for example '350 LR24'") from None
        if not 1 <= hz <= 40_000:
            raise ValueError("lies outside 1 Hz to 40 kHz; a crossover edge is given in Hz")
        if match["family"] is None:
            return cls(hz)
        family, slope = match["family"].upper(), int(match["slope"])
        if family not in FAMILIES:
            raise ValueError("has no known filter; LR is Linkwitz-Riley, BW Butterworth, BS Bessel")
        if slope % 6 or not 6 <= slope <= 48:
            raise ValueError("has a slope no filter has; slopes go 6, 12, 18 … 48 dB/octave")
        if family == "LR" and slope % 12:
            raise ValueError("cannot be: a Linkwitz-Riley slope is 12, 24, 36 or 48 dB/octave")
        return cls(hz, FAMILIES[family], slope)

    @property
    def order(self) -> int | None:
        """The filter's order, 6 dB/octave each."""
        return None if self.slope_db_per_octave is None else self.slope_db_per_octave // 6

    def __str__(self) -> str:
        if self.hz is None:
            return "open"
        short = {name: letters for letters, name in FAMILIES.items()}
        tail = f" {short[self.family]}{self.slope_db_per_octave}" if self.family else ""
        return f"{self.hz:g}{tail}"


@dataclass(frozen=True)
class Port:
    """One end of a cable: a device and which of its outputs; `3+4` is a bridged pair."""

    node: str
    port: str | None = None

    @cached_property
    def channels(self) -> tuple[int, ...]:
        """The numbered outputs taken: one, or two where bridged; none where the port has a name or is not said."""
        if self.port is None or not self.port[0].isdigit():
            return ()
        return tuple(int(number) for number in self.port.split("+"))

    @property
    def bridged(self) -> bool:
        """Whether two channels work as one."""
        return len(self.channels) == 2

    def __str__(self) -> str:
        return self.node if self.port is None else f"{self.node}.{self.port}"


@dataclass(frozen=True)
class Feed(Shorthand):
    """What feeds a device or a way: one port, or a list of them (left before right)."""

    ports: tuple[Port, ...]

    json_form: ClassVar[dict[str, Any]] = {
        "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}, "minItems": 1}],
        "description": "what feeds it: brain.1, front.3+4 (bridged), split.high, or a list, left before right",
    }

    @classmethod
    def parse(cls, raw: Any) -> Self:
        """Read one port or a list of ports."""
        items = raw if isinstance(raw, list) else [raw]
        if not items:
            raise ValueError("is an empty list; name what feeds it, for example [brain.1, brain.2]")
        ports = [_port(item) if isinstance(item, str) else None for item in items]
        for item, port in zip(items, ports, strict=True):
            if port is None:
                what = f"holds '{shortened(str(item))}', which is" if items is raw else "is"
                raise ValueError(f"{what} no output; write for example brain.1, front.3+4 (bridged) or split.high")
        return cls(tuple(port for port in ports if port is not None))

    def __str__(self) -> str:
        return ", ".join(str(port) for port in self.ports)


@lru_cache(maxsize=1000)
def _port(item: str) -> Port | None:
    match = _PORT.match(item.strip())
    return Port(match["node"], match["port"]) if match else None
