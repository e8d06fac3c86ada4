"""Every error a user of the program can meet.

AdvisorError            something the user can mend; carries the exit code
├── InputError          files that cannot be used: every fault of them at once
│   └── RulebookError   the same for rules and a shop's own limits
├── NameUnknown         a subject, fact or rule that was asked for does not exist
├── NoValue             a fact that was asked for has no value here
└── NotWritten          a file could not be written
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong with a file: where it is, what it is, and a way out."""

    file: str
    line: int
    column: int
    where: str
    what: str
    way_out: str = ""
    source_line: str = ""

    def __str__(self) -> str:
        where = f"{shortened(self.where, 120)}: " if self.where else ""
        way_out = f"; {self.way_out}" if self.way_out else ""
        head = f"{self.file}:{self.line}:{self.column}: {where}{shortened(self.what, 400)}{way_out}"
        if not self.source_line.strip():
            return _harmless(head)
        caret = " " * (self.column - 1) + "^"
        shown, caret = _window(_harmless(self.source_line), caret)
        return f"{_harmless(head)}\n    {shown}\n    {caret}"


def shortened(text: str, most: int = 40) -> str:
    """Cut a text that is too long to be read, and say so by an ellipsis."""
    return text if len(text) <= most else text[: most - 1] + "…"


def _harmless(text: str) -> str:
    """Replace what would move a terminal's cursor or colour it; every character keeps its column."""
    return "".join(character if character.isprintable() else " " for character in text)


def _window(line: str, caret: str, width: int = 110) -> tuple[str, str]:
    """Cut a very long line to the part around the caret."""
    start = max(0, len(caret) - width // 2) if len(line) > width else 0
    return line[start : start + width], caret[start:]


class AdvisorError(Exception):
    """Anything the user can mend."""

    exit_code = 2


class InputError(AdvisorError):
    """One or more files cannot be used as they stand."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(dict.fromkeys(sorted(faults)))
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class RulebookError(InputError):
    """Rules or a shop's own limits cannot be used as they stand."""


class NameUnknown(AdvisorError):
    """A name was asked for that is not there."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        super().__init__(kind, name, self.known)

    def __str__(self) -> str:
        hint = did_you_mean(self.name, self.known)
        if not hint and len(self.known) <= 12:
            hint = "there is " + ", ".join(self.known) if self.known else "there is none"
        return f"there is no {self.kind} '{self.name}'" + (f"; {hint}" if hint else "")


class NoValue(AdvisorError):
    """A fact was asked for that has no value here: an input is missing, or it is not defined."""


class NotWritten(AdvisorError):
    """A file could not be written; what stood there before still does."""

    def __init__(self, path: str, why: str) -> None:
        self.path, self.why = path, why
        super().__init__(path, why)

    def __str__(self) -> str:
        return f"{self.path}: cannot be written: {self.why}; what stood there is as it was"


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """Return `did you mean 'x'?` for the nearest known word, or nothing.

    >>> did_you_mean("amplifer", ["amplifier", "source"])
    "did you mean 'amplifier'?"
    """
    text = str(word)[:80]
    names = list(known)
    near = difflib.get_close_matches(text, names, n=1, cutoff=0.6)
    if not near:
        folded = {name.casefold(): name for name in names}
        near = [folded[text.casefold()]] if text.casefold() in folded else []
    return f"did you mean '{near[0]}'?" if near else ""
