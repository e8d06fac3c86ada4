"""How sure a number is, in words: within what it lies, and which input to measure first."""

from __future__ import annotations

from typing import Any

from advisor.facts.doubts import Cause, Doubt, Input
from advisor.facts.reading import Reading
from advisor.judging.finding import Finding
from advisor.judging.formats import plain, with_unit
from advisor.reading.spec import Steps
from advisor.telling.field_names import ASKED, NAMES

_SHARES = (
    (0.97, "all"), (0.85, "nine tenths"), (0.71, "three quarters"), (0.58, "two thirds"), (0.42, "half"),
    (0.29, "a third"), (0.225, "a quarter"), (0.15, "a fifth"), (0.07, "a tenth"), (0.0, "little"),
)  # fmt: skip
"""How a share is said, from its least."""


_WATTS = ("watts", "bridged_watts")


def share_in_words(share: float) -> str:
    """Return a share of a doubt as people say it.

    >>> share_in_words(0.66), share_in_words(1.0)
    ('two thirds', 'all')
    """
    return next(words for least, words in _SHARES if share >= least)


def name_of(each: Input) -> str:
    """Return what an input is called: `fs_hz of MW-165B`."""
    if each.reading.kind == "assumed":
        return f"the rule of thumb '{each.reading.name}'"
    owner, field = owner_and_field(each.reading, each.path)
    return f"{field} of {owner}" if owner else field


def owner_and_field(reading: Reading, path: Steps) -> tuple[str, str]:
    """Return whose a number is, and what it is there: `watts into 4 Ω`, `plays (low edge)`, `distance_m (driver)`."""
    owner, _, field = reading.name.rpartition(".")
    for step in path:
        if field in _WATTS:
            field += f" into {plain(float(step))} Ω"
        elif field == "plays":
            field += " (high edge)" if step else " (low edge)"
        else:
            field += f" ({step + 1 if isinstance(step, int) else step})"
    return owner.removeprefix("parts."), field


def off_by(each: Input) -> str:
    """Return a value with its tolerance: `62 Hz ± 5 Hz`."""
    if each.whole:
        return f"± {plain(each.within * 100)} %"
    unit = unit_in(each.reading)
    return f"{with_unit(each.value, unit)} ± {with_unit(float(plain(each.within, 2)), unit)}"


def unit_in(reading: Reading) -> str:
    """Return the unit of the numbers in a given value; that of a table of watts stands in no ending."""
    return "W" if reading.key[-1] in _WATTS else reading.unit


def measure_first(finding: Finding) -> str:
    """Return which input is worth measuring first where a verdict is too close to call; nothing elsewhere."""
    doubt = finding.measured.doubt if finding.measured else None
    if finding.outcome != "too close to call" or doubt is None or doubt.first is None:
        return ""
    first = doubt.first
    place = f" ({first.input.reading.place})" if first.input.reading.place else ""
    owner, field = owner_and_field(first.input.reading, first.input.path)
    key, _, which = field.partition(" ")
    if first.input.reading.kind == "assumed":
        return f"Find out what stands behind {name_of(first.input)} first{place}: {_decides(first)}."
    if key in NAMES:
        owner = owner.removeprefix("locations.").replace(".", " ")
        said = f"{NAMES[key]}{f' {which}' if which else ''}{f' of {owner}' if owner else ''}"
        where = ", ".join(part for part in (key, first.input.reading.place) if part)
        verb = "Ask the maker for" if key in ASKED else "Measure"
        return f"{verb} {said} first ({where}): {_decides(first)}."
    return f"Measure {name_of(first.input)} first{place}: {_decides(first)}."


def _decides(cause: Cause) -> str:
    return f"it is {share_in_words(cause.share)} of the doubt"


def doubt_data(doubt: Doubt) -> dict[str, Any]:
    """Return a doubt as plain data, the greatest cause first."""
    return {
        "within": doubt.within,
        "causes": [
            {**_input(cause.input), "brings": cause.amount, "share": cause.share, "place": cause.input.reading.place}
            for cause in doubt.causes
        ],
        "not_known_through": [_input(each) for each in doubt.unturned],
    }


def _input(each: Input) -> dict[str, Any]:
    data: dict[str, Any] = {"name": each.reading.name}
    if each.path and not each.whole:
        data["of"] = [str(step) for step in each.path]
    return data | {"value": each.value, "within": each.within, "unit": "" if each.whole else unit_in(each.reading)}
