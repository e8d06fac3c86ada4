"""What a sheet is made of: sections of tables, and cells that keep the readings their numbers come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.formats import listed, with_unit

NOT_KNOWN, NONE_HERE, MINUS = "not known", "–", "−"


@dataclass(frozen=True)
class Cell:
    """What stands in one place of a table: words, or numbers with the readings behind them.

    `missing` says what nobody gave where a number should stand; `to_write` leaves room for a value to be measured.
    """

    text: str
    readings: tuple[Reading, ...] = ()
    missing: str = ""
    to_write: bool = False


WRITE, EMPTY = Cell("", to_write=True), Cell(NONE_HERE)


@dataclass(frozen=True)
class Table:
    """Rows under headings; the first cell of a row says what it is about."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        assert all(len(row) == len(self.columns) for row in self.rows), self.name

    @property
    def kept(self) -> Table:
        """The table without columns that hold nothing in any row."""
        kept = [
            index
            for index in range(len(self.columns))
            if index == 0 or any(row[index].to_write or row[index].text != NONE_HERE for row in self.rows)
        ]
        rows = tuple(tuple(row[index] for index in kept) for row in self.rows)
        return Table(self.name, tuple(self.columns[index] for index in kept), rows)


@dataclass(frozen=True)
class Section:
    """One part of the sheet: what to know first, its tables, and pictures by name after them."""

    heading: str
    words: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    pictures: tuple[str, ...] = ()
    new_page: bool = False

    @property
    def missing(self) -> list[str]:
        """What nobody gave that its tables would show, each once."""
        cells = [cell for table in self.tables for row in table.rows for cell in row]
        return list(dict.fromkeys(cell.missing for cell in cells if cell.missing))


@dataclass(frozen=True)
class Sheet:
    """The whole sheet."""

    title: str
    about: tuple[Cell, ...]
    warnings: tuple[str, ...]
    sections: tuple[Section, ...] = field(default=())

    @property
    def readings(self) -> list[Reading]:
        """Every reading that stands on the sheet."""
        cells = [cell for one in self.sections for table in one.tables for row in table.rows for cell in row]
        found = {reading.key: reading for cell in (*self.about, *cells) for reading in cell.readings}
        return list(found.values())


class Asker:
    """Asks for facts and writes them down as cells."""

    def __init__(self, engine: Engine, currency: str) -> None:
        self.engine, self.currency = engine, currency

    def reading(self, subject: Subject, name: str) -> Reading | None:
        """Return the reading of a fact, None where there is none."""
        try:
            return self.engine.ask(subject, name)
        except (Missing, NotDefined, BrokenFact):
            return None

    def cell(self, subject: Subject, name: str, words: str = "{}") -> Cell:
        """Return the cell of a fact; `words` has the value where {} stands."""
        try:
            reading = self.engine.ask(subject, name)
        except NotDefined:
            return Cell(NONE_HERE)
        except Missing as missing:
            return Cell(NOT_KNOWN, missing=str(missing))
        except BrokenFact as broken:
            return Cell(NOT_KNOWN, missing=f"could not be worked out, which is our fault; please report it: {broken}")
        return Cell(words.format(self.said(reading)), (reading,))

    def said(self, reading: Reading) -> str:
        """Write a reading with its unit; an asterisk marks a rule of thumb."""
        star = " *" if reading.basis == "rule of thumb" else ""
        if reading.unit in ("money", "money/h"):
            per = f"{self.currency} an hour" if reading.unit == "money/h" else self.currency
            return f"{amount(reading.value)} {per}{star}"
        if isinstance(reading.value, tuple):
            return (listed(reading.value) if reading.value else "nothing") + star
        if reading.unit == "ms":
            return f"{reading.value:.2f} ms{star}".replace("-", MINUS)
        text = with_unit(reading.value, reading.unit) + star
        return text.replace("-", MINUS, 1) if text.startswith("-") else text

    def joined(self, parts: Iterable[Cell], between: str = ", ") -> Cell:
        """Return one cell of several; what is not there is left out, what is not known stays in sight."""
        kept = [part for part in parts if part.text != NONE_HERE]
        if not kept:
            return Cell(NONE_HERE)
        missing = "; ".join(dict.fromkeys(part.missing for part in kept if part.missing))
        readings = tuple(reading for part in kept for reading in part.readings)
        return Cell(between.join(part.text for part in kept), readings, missing)


def amount(value: float) -> str:
    """Write money to the cent, with a thin gap for thousands.

    >>> amount(1249.5)
    '1 249.50'
    """
    return f"{value:,.2f}".replace(",", " ")


def words(text: str) -> Cell:
    """Return a cell of words alone."""
    return Cell(text or NONE_HERE)
