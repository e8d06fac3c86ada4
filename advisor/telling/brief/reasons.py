"""Why bass ends where it does, in plain words: what of the box and the cone moves it, as the comparison found."""

from __future__ import annotations

from advisor.reading.parts import Box, Driver
from advisor.reading.system import System
from advisor.telling.compare.compared import Change

MUCH_AIR = "Deep notes need much air to be moved."
GENERAL = f"{MUCH_AIR} That takes a bigger cone or a bigger box."
NOTICED = 1.1
"""A box or cone that differs by less is called the same."""


def bass_reason(change: Change, here: System, there: System) -> str:
    """Say why the bass of another list ends higher; `here` is the first list."""
    found = []
    for cause in change.causes:
        aspect = cause.aspect
        if aspect is None or cause.against or aspect.name not in here.ways or aspect.name not in there.ways:
            continue
        mine, theirs = here.ways[aspect.name], there.ways[aspect.name]
        if aspect.what == "box" and mine.box and theirs.box:
            found += _box(mine.box, theirs.box)
        if aspect.what == "part":
            found += _cone(mine.part, theirs.part)
    return f"{MUCH_AIR} {' '.join(found)}" if found else GENERAL


def _box(mine: Box, theirs: Box) -> list[str]:
    said = []
    if (_litres(mine) or 0.0) > (_litres(theirs) or float("inf")) * NOTICED:
        said.append("Its bass box is smaller, and the air in a small box is a stiff spring.")
    if mine.vented_l is not None and theirs.vented_l is None:
        said.append("Its bass box has no opening, which would help the deepest notes along.")
    return said


def _litres(box: Box) -> float | None:
    return box.vented_l if box.vented_l is not None else box.closed_l


def _cone(mine: Driver, theirs: Driver) -> list[str]:
    smaller = mine.sd_cm2 and theirs.sd_cm2 and mine.sd_cm2 > theirs.sd_cm2 * NOTICED
    return ["Its bass speaker has a smaller cone."] if smaller else []
