"""How numbers are written for people: one filter for each unit, used in rules and reports alike."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any


def plain(value: float, digits: int = 3) -> str:
    """Return a number to so many significant digits, without exponent or trailing zeros.

    >>> plain(1249.6), plain(62.04), plain(0.00432), plain(3.0)
    ('1250', '62', '0.00432', '3')
    """
    number = float(value)
    if number == 0:
        return "0"
    if abs(number) >= 10 ** (digits - 1):
        return f"{number:.0f}"
    text = f"{number:.{digits}g}"
    return f"{number:.6f}".rstrip("0").rstrip(".") if "e" in text else text


def places(value: float, most: int) -> str:
    """Return a number as `plain` does, with no more decimals than can be set or measured, unless nothing were left.

    >>> places(0.0781, 2), places(26.87, 1), places(0.003, 2), places(-3.44, 1)
    ('0.08', '26.9', '0.003', '−3.4')
    """
    rounded = round(float(value), most)
    return plain(rounded if rounded else value).replace("-", "−")


def hz(value: float) -> str:
    """Write a frequency."""
    return f"{plain(value)} Hz" if value < 10_000 else f"{plain(value / 1000)} kHz"


def money(value: float) -> str:
    """Write an amount without its currency."""
    return f"{value:,.0f}".replace(",", " ")


def db(value: float) -> str:
    """Write a level to a tenth of a decibel."""
    return f"{value:.1f} dB".replace("-", "−")


def listed(value: Any) -> str:
    """Write a list of words, or `nothing`."""
    words = [str(item) for item in value]
    if len(words) < 2:
        return words[0] if words else "nothing"
    return f"{', '.join(words[:-1])} and {words[-1]}"


def octaves(value: float) -> str:
    """Write a width in octaves."""
    text = plain(value, 2)
    return f"{text} octave" if text == "1" else f"{text} octaves"


def days(value: float) -> str:
    """Write a time in days."""
    text = plain(value)
    return f"{text} day" if text == "1" else f"{text} days"


def degrees(value: float) -> str:
    """Write an angle: strings and a protractor are good for a whole degree."""
    return f"{places(value, 0)}°"


def minutes(value: float) -> str:
    """Write a time in minutes, in seconds where it is short."""
    return f"{plain(value)} minutes" if value >= 2 else f"{plain(value * 60, 2)} seconds"


def _unit(unit: str, most: int = 6) -> Callable[[float], str]:
    return lambda value: f"{places(value, most)} {unit}"


FILTERS: dict[str, Callable[[Any], str]] = {
    "hz": hz, "money": money, "percent": _unit("%", 1), "db": db, "listed": listed, "plain": plain,
    "ohm": _unit("Ω"), "mohm": _unit("mΩ"), "w": _unit("W"), "a": _unit("A"), "v": _unit("V", 2), "mm": _unit("mm"),
    "mm2": _unit("mm²"), "m": _unit("m"), "ms": _unit("ms", 2), "h": _unit("h"), "days": days,
    "octaves": octaves, "slope": _unit("dB/octave"), "c": _unit("°C", 1), "k": _unit("K", 1), "n": _unit("N", 0),
    "minutes": minutes, "kg": _unit("kg", 1), "ma": _unit("mA"), "degrees": degrees,
}  # fmt: skip

_BY_UNIT = {
    "°": degrees, "Hz": hz, "dB": db, "money": money, "octaves": octaves, "days": days,
    "min": _unit("min", 1),
    "%": FILTERS["percent"], "V": FILTERS["v"], "ms": FILTERS["ms"], "°C": FILTERS["c"], "K": FILTERS["k"],
    "N": FILTERS["n"],
    "mV": _unit("mV", 2),
}  # fmt: skip


def with_unit(value: Any, unit: str) -> str:
    """Write any value of a fact with its unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value, unit)
    if isinstance(value, tuple | list):
        return listed(value)
    if isinstance(value, dict):
        return ", ".join(f"{with_unit(key, '')}: {with_unit(inner, '')}" for key, inner in value.items())
    return str(value)


@functools.lru_cache(maxsize=4096)
def _number(value: float, unit: str) -> str:
    """Write a number with its unit; most are told again and again while a job is edited."""
    writer = _BY_UNIT.get(unit)
    return writer(value) if writer else f"{places(value, 6)} {unit}".rstrip()
