"""Facts as pictures want them: a reading, or nothing where it cannot be told."""

from __future__ import annotations

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.formats import with_unit


def asked(engine: Engine, subject: Subject, name: str) -> Reading | None:
    """Return the reading of a fact, None where there is none: the report tells why, the picture leaves it out."""
    try:
        return engine.ask(subject, name)
    except (Missing, NotDefined, BrokenFact):
        return None


def said(reading: Reading) -> str:
    """Write a reading with its unit, as the tables of the report do: an asterisk marks a rule of thumb."""
    return with_unit(reading.value, reading.unit) + (" *" if reading.basis == "rule of thumb" else "")


def starred(readings: list[Reading | None]) -> str:
    """Return the sentence that explains the asterisk, empty where none of them has one."""
    rough = any(reading is not None and reading.basis == "rule of thumb" for reading in readings)
    return " An asterisk marks what rests on a rule of thumb." if rough else ""
