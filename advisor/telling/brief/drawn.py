"""The pictures of a brief: who plays where, which notes are there, where the money goes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from advisor.chain.subject import Subject
from advisor.judging.review import Review
from advisor.reading.vehicle import Location
from advisor.telling.brief.brief import costs
from advisor.telling.brief.numbers import Numbers
from advisor.telling.brief.roles import Role, roles

if TYPE_CHECKING:
    from advisor.telling.pictures.canvas import Picture
    from advisor.telling.pictures.places import Chair, Mark


def draw_pictures(review: Review, other: Review | None = None) -> list[Picture]:
    """Draw the pictures of a brief; this loads the drawing library."""
    from advisor.telling.pictures.places import places

    numbers = Numbers(review)
    found = roles(numbers)
    drawn = [places(list(_marks(numbers, found)), list(_chairs(review)))]
    theirs = Numbers(other) if other is not None else None
    most = _most(numbers, theirs) if theirs else _most(numbers)
    drawn += [_notes("notes", numbers, found), _money("money", numbers, most)]
    if theirs is not None:
        drawn += [_notes("notes-other", theirs, roles(theirs)), _money("money-other", theirs, most)]
    return [picture for picture in drawn if picture is not None]


def _marks(numbers: Numbers, found: list[Role]) -> Iterator[Mark]:
    from advisor.telling.pictures.places import Mark

    for role in found:
        for driver in role.drivers:
            location = driver.ties.get("location")
            if not isinstance(location, Subject):
                continue
            spec = location.specs["spec"]
            assert isinstance(spec, Location)
            away = [float(one.value) for one in (numbers.of(each, "distance_m") for each in role.drivers) if one]
            side = _side(numbers.review, driver, spec)
            yield Mark(role.short, role.looks, side, spec.zone or "front", sum(away) / len(away) if away else None)


def _side(review: Review, driver: Subject, place: Location) -> int:
    """Return on which side a speaker sits; a single one on the side of the front seat it is nearer to."""
    if driver.own["side"]:
        return -1 if driver.own["side"] == "left" else 1
    away = {
        seat.side: place.distance_m[name]
        for name, seat in review.system.vehicle.seats.items()
        if seat.side and name in place.distance_m
    }
    left, right = away.get("left"), away.get("right")
    if left is None or right is None or left == right:
        return 0
    return -1 if left < right else 1


def _chairs(review: Review) -> Iterator[Chair]:
    from advisor.telling.pictures.places import Chair

    listeners = {seat.name for seat in review.system.seats}
    taken: set[int] = set()
    for name, seat in review.system.vehicle.seats.items():
        side = {"left": -1, "right": 1}.get(seat.side or "")
        if side is not None and side not in taken:
            taken.add(side)
            yield Chair(name, side, name in listeners)


def _notes(name: str, numbers: Numbers, found: list[Role]) -> Picture | None:
    from advisor.telling.pictures.notes import notes

    bands = [role.band for role in found if role.band and role.looks != "soft"]
    deepest = numbers.job("extension_in_cabin_hz") or numbers.job("extension_6db_hz")
    if bands and deepest:
        low, high = min(bands)
        bands[bands.index((low, high))] = (min(float(deepest.value), high), high)
    return notes(name, bands, _gaps(numbers))


def _gaps(numbers: Numbers) -> list[tuple[float, float]]:
    """Return what neighbouring ways leave between them, by the facts that rules go by."""
    found = []
    for crossing in numbers.review.chain.of_kind("crossing"):
        facts = ("hole_octaves", "lower_covers_to_hz", "upper_covers_from_hz")
        wide, low, high = (numbers.of(crossing, fact) for fact in facts)
        if wide and low and high and wide.value > 0:
            found.append((float(low.value), float(high.value)))
    return found


def _money(name: str, numbers: Numbers, most: float) -> Picture | None:
    from advisor.telling.pictures.amounts import amounts

    rows = [(words, float(one.value), numbers.write(one)) for words, one in costs(numbers) if one]
    if len(rows) < len(costs(numbers)):
        return None
    budget = numbers.job("named_budget")
    return amounts(name, rows, (float(budget.value), numbers.write(budget)) if budget else None, most)


def _most(*lists: Numbers) -> float:
    """Return the greatest amount of all lists, so that their bars can be laid beside each other."""
    asked = [numbers.job(fact) for numbers in lists for fact in ("total_cost", "named_budget")]
    return max((float(one.value) for one in asked if one), default=0.0)
