"""What would have to change for a fact to have another value, in sentences a fitter can act on."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from advisor.facts.how_to import Way
from advisor.facts.numbers import is_number
from advisor.facts.reading import Reading
from advisor.judging.formats import plain, with_unit
from advisor.reading.shorthand import Edge
from advisor.telling.doubt import owner_and_field, unit_in
from advisor.telling.harmless import harmless
from advisor.telling.why import WIDTH

NAMED = 6
"""So many of those that cannot reach it are named, the nearest first; `--json` has all."""

HEADINGS = {
    "job": "In the job, one of these alone:",
    "part": "Or another part:",
    "survey": "Or if the vehicle were otherwise:",
    "shop": "Or in the shop's own figures:",
}


def how_to_text(reading: Reading, value: float, ways: list[Way]) -> str:
    """Return what would bring a fact to a value, by whose it is, and what cannot."""
    return harmless("\n".join(_lines(reading, value, ways))) + "\n"


def _lines(reading: Reading, value: float, ways: list[Way]) -> Iterator[str]:
    wanted = with_unit(value, reading.unit)
    yield f"{reading.name} is {with_unit(reading.value, reading.unit)}. For {wanted}, everything else as it is:"
    able = [way for way in ways if way.wanted is not None]
    for group, heading in HEADINGS.items():
        those = [way for way in able if way.group == group]
        if those:
            yield heading
            for way in those:
                yield from _wrapped(_told(way), "  - ", "    ")
    if not able:
        yield f"Nothing written in the files brings it to {wanted} alone."
    unable = sorted((way for way in ways if way.wanted is None), key=lambda way: _gap(way, value))
    if unable:
        told = [_name(way) + _reach(way, reading.unit) for way in unable[:NAMED]]
        told += [f"and {len(unable) - NAMED} more"] if len(unable) > NAMED else []
        yield from _wrapped(f"Not alone, within what is sensible: {'; '.join(told)}.")


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    """Wrap a text and leave places whole, so that they can be clicked on."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False, break_long_words=False
    )


def _gap(way: Way, value: float) -> float:
    """How far from a value the nearest lies that was reached."""
    least, most = way.reaches
    return max(least - value, value - most, 0.0)


def _told(way: Way) -> str:
    assert way.wanted is not None
    now, wanted = _written(way, way.now), _written(way, way.wanted)
    place = f"  {way.reading.place}"
    if way.group == "part":
        owner, field = owner_and_field(way.reading, way.path)
        return f"{_a(way.kind)} with {field} of {wanted} ({owner}: {now}){place}"
    if way.group == "job":
        return f"write {_name(way)}: {_bare(way)} (now {now}){place}"
    return f"{_name(way)} at {wanted} (now {now}){place}"


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _written(way: Way, number: float) -> str:
    """Return a number as it would be written: an edge with its filter, anything else with its unit."""
    value = _at(way)
    if isinstance(value, Edge):
        return plain(number, 4) + str(value).removeprefix(f"{value.hz:g}")
    return with_unit(float(plain(number, 4)), unit_in(way.reading))


def _bare(way: Way) -> str:
    """Return a number as the file wants it, its unit being in the key."""
    assert way.wanted is not None
    written = _written(way, way.wanted)
    return plain(way.wanted, 4) if is_number(_at(way)) else written


def _at(way: Way) -> Any:
    value: Any = way.reading.value
    for step in way.path if isinstance(value, dict | tuple) else ():
        value = value[step]
    return value


def _name(way: Way) -> str:
    owner, field = owner_and_field(way.reading, way.path)
    return f"{owner}.{field}"


def _reach(way: Way, unit: str) -> str:
    least, most = (with_unit(end, unit) for end in way.reaches)
    return f" (reaches {least} to {most})"


def how_to_data(reading: Reading, value: float, ways: list[Way]) -> dict[str, Any]:
    """Return the same as plain data."""
    return {
        "name": reading.name,
        "value": reading.value,
        "wanted": value,
        "unit": reading.unit,
        "ways": [
            {
                "name": way.reading.name,
                "of": [str(step) for step in way.path],
                "group": way.group,
                "part": way.kind,
                "place": way.reading.place,
                "unit": unit_in(way.reading),
                "now": way.now,
                "needed": way.wanted,
                "reaches": list(way.reaches),
            }
            for way in ways
        ],
    }
