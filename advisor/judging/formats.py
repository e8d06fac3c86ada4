"""How numbers are written for people: one filter for each unit, used in rules and reports alike."""

from __future__ import annotations

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


def minutes(value: float) -> str:
    """Write a time in minutes, in seconds where it is short."""
    return f"{plain(value)} minutes" if value >= 2 else f"{plain(value * 60, 2)} seconds"


def _unit(unit: str) -> Callable[[float], str]:
    return lambda value: f"{plain(value)} {unit}"


FILTERS: dict[str, Callable[[Any], str]] = {
    "hz": hz, "money": money, "percent": _unit("%"), "db": db, "listed": listed, "plain": plain,
    "ohm": _unit("Ω"), "mohm": _unit("mΩ"), "w": _unit("W"), "a": _unit("A"), "v": _unit("V"), "mm": _unit("mm"),
    "mm2": _unit("mm²"), "m": _unit("m"), "ms": _unit("ms"), "h": _unit("h"), "days": _unit("days"),
    "octaves": octaves, "slope": _unit("dB/octave"), "c": _unit("°C"), "k": _unit("K"), "n": _unit("N"),
    "minutes": minutes, "kg": _unit("kg"), "ma": _unit("mA"),
}  # fmt: skip

_BY_UNIT = {"°": lambda value: f"{plain(value)}°", "Hz": hz, "dB": db, "money": money, "octaves": octaves}


def with_unit(value: Any, unit: str) -> str:
    """Write any value of a fact with its unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        writer = _BY_UNIT.get(unit)
        return writer(value) if writer else f"{plain(value)} {unit}".rstrip()
    if isinstance(value, tuple | list):
        return listed(value)
    if isinstance(value, dict):
        return ", ".join(f"{with_unit(key, '')}: {with_unit(inner, '')}" for key, inner in value.items())
    return str(value)
