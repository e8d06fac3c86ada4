"""Findings of a line, with those that differ in nothing but the side told once."""

from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.catalogue.row import Noted
from advisor.telling.audit.words import numbers

_SIDE = re.compile(r" (left|right)\b")


@dataclass(frozen=True)
class Reason:
    """One finding, or the same on both sides."""

    where: str
    first: Noted

    @property
    def says(self) -> str:
        """The sentence, without the side where it is of both."""
        return self.first.says if self.where == self.first.at else _SIDE.sub("", self.first.says)

    @property
    def numbers(self) -> str:
        """Both sides of the comparison."""
        return numbers(self.first)


def merged(found: list[Noted]) -> list[Reason]:
    """Return findings with those that differ in nothing but the side told once."""
    groups: dict[tuple[str, str, str], list[Noted]] = {}
    for one in found:
        groups.setdefault((one.rule, _SIDE.sub("", one.at), _SIDE.sub("", one.says)), []).append(one)
    return [
        Reason(f"{_SIDE.sub('', group[0].at)}, left and right" if len(group) > 1 else group[0].at, group[0])
        for group in groups.values()
    ]
