"""The other list in the customer's words: what it would take from them, what it has for it, and why that is so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.telling.brief.hearing import beyond_hearing, voice_words
from advisor.telling.brief.numbers import Numbers
from advisor.telling.brief.reasons import bass_reason
from advisor.telling.brief.roles import Role, placed, roles
from advisor.telling.compare.compared import Against, Change, Option

BEYOND = "Its bass goes down as far as an ear can follow."
NOT_BEYOND = "Its bass does not go down as far as an ear can follow, so the deepest notes are fainter."
HEARD_DB = 1.0
"""A difference in level that an ear can tell; common practice."""


@dataclass(frozen=True)
class Other:
    """How another list compares, each in sentences: what it costs, takes away and adds, and which faults it has not."""

    costs: tuple[str, ...]
    given_up: tuple[str, ...]
    gained: tuple[str, ...]
    spared: tuple[str, ...]


def other_list(mine: Numbers, theirs: Numbers) -> Other:
    """Return how another list compares with the first."""
    against = Against(Option("A", mine.review), Option("B", theirs.review))
    worse = [*_figures(against, mine, theirs, better=False), *_left_out(mine, theirs)]
    better = [*_figures(against, mine, theirs, better=True), *_left_out(theirs, mine, more=True)]
    return Other(
        tuple(_cost(mine, theirs)),
        tuple(dict.fromkeys([*worse, *_found(against, theirs, mine=False)])),
        tuple(dict.fromkeys(better)),
        _found(against, mine, mine=True),
    )


def _cost(mine: Numbers, theirs: Numbers) -> Iterator[str]:
    said = []
    for fact, same, other in (
        ("total_cost", "The other list costs as much", "The other list costs"),
        ("booked_days", "It takes as long", "Your vehicle would stay with us for"),
    ):
        here, there = mine.job(fact), theirs.job(fact)
        if here and there and here.value == there.value:
            said.append(f"{same}.")
        elif here and there:
            said.append(f"{other} {theirs.write(there)} instead of {mine.write(here)}.")
    if said:
        yield " ".join(said)
    if theirs.review.of("falls short", "must"):
        yield "It cannot stay as it is: some of what stands below has to change before anybody orders."


def _figures(against: Against, mine: Numbers, theirs: Numbers, *, better: bool) -> Iterator[str]:
    for change in against.changes:
        if change.better == better and change.first.reading and change.second.reading:
            said = _SENTENCES.get(change.figure.fact)
            if said is not None:
                yield from said(change, mine, theirs)


def _bass(change: Change, mine: Numbers, theirs: Numbers) -> Iterator[str]:
    assert change.first.reading and change.second.reading
    here, there = beyond_hearing(change.first.reading), beyond_hearing(change.second.reading)
    if here or there:  # between two that go beyond hearing no ear tells the difference
        if here != there:
            yield BEYOND if there else f"{NOT_BEYOND} {_why_less(change, mine, theirs)}"
        return
    ends = f"Its bass ends at {theirs.write(change.second.reading)} instead of {mine.write(change.first.reading)}"
    if change.better:
        yield f"{ends}, so it goes deeper."
    else:
        yield f"{ends}, so the deepest notes are fainter. {_why_less(change, mine, theirs)}"


def _why_less(change: Change, mine: Numbers, theirs: Numbers) -> str:
    return bass_reason(change, mine.review.system, theirs.review.system)


def _loud(change: Change, mine: Numbers, theirs: Numbers) -> Iterator[str]:
    assert change.first.reading and change.second.reading
    apart = abs(float(change.first.reading.value) - float(change.second.reading.value))
    here, there = (numbers.job("loudest_at_seat_db") for numbers in (mine, theirs))
    if apart < HEARD_DB or here is None or there is None:
        return
    reaches = f"It reaches {theirs.write(there)} at your seat instead of {mine.write(here)}"
    yield f"{reaches} before the first speaker is at its end."


def _voice(change: Change, mine: Numbers, theirs: Numbers) -> Iterator[str]:
    assert change.first.reading and change.second.reading
    here, there = (voice_words(float(one.value)) for one in (change.first.reading, change.second.reading))
    if here != there:
        yield there


KNEES = "stage-stands-before-the-eyes"
"""The rule that says of voices what a sentence here says already."""

_SENTENCES = {"extension_in_cabin_hz": _bass, "loudest_db": _loud, "voice_from_below_percent": _voice}


def _left_out(having: Numbers, lacking: Numbers, *, more: bool = False) -> list[str]:
    """Say which speakers one list has and the other has not, by what they would play and where."""
    names = {role.way for role in roles(lacking)}
    verb = "It has a" if more else "It has no"
    return [_speaker(verb, role) for role in roles(having) if role.way not in names]


def _speaker(verb: str, role: Role) -> str:
    where = f" ({role.place})" if role.place else ""
    return f"{verb} speaker of its own for {role.plays.partition(' (')[0]}{where}."


def _found(against: Against, owner: Numbers, *, mine: bool) -> tuple[str, ...]:
    entries, others = (against.lost, against.gained) if mine else (against.gained, against.lost)
    both = {KNEES, *(entry.rule for entry in others if entry.outcome == "falls short")}
    said = [
        (entry.to_customer, entry.where)
        for entry in entries
        if entry.outcome == "falls short" and entry.level != "tip" and entry.to_customer and entry.rule not in both
    ]
    return placed(said, roles(owner))
