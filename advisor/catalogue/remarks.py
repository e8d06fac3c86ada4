"""What an audit finds beside the lines themselves: parts nobody uses, steps of price that buy nothing, and the like."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.catalogue.alike import nearly_alike
from advisor.catalogue.baseline import identity
from advisor.catalogue.bench import Head, Line
from advisor.catalogue.catalogue import Catalogue
from advisor.catalogue.gist import Gist
from advisor.catalogue.steps import Steps
from advisor.judging.rule import LEVELS

GOOD = ("trade-offs", "tips", "holds")
"""Verdicts of lines that can be sold as they are."""


@dataclass(frozen=True)
class Remark:
    """Something about the catalogue as a whole; `rule` says in plain words what ought to hold."""

    rule: str
    level: str
    at: str
    says: str
    place: str
    operand: str = ""

    @property
    def identity(self) -> str:
        """What stays the same while lines and numbers move."""
        return identity(self.rule, self.at, self.operand)

    @property
    def order(self) -> tuple[int, str, str, str]:
        """Worst first."""
        return (LEVELS.index(self.level), self.rule, self.at, self.operand)


PART_IS_USED = "part-is-used-by-a-package"
PART_IS_MADE = "part-used-is-still-made"
PART_IS_UNLIKE = "part-differs-from-the-next"
PACKAGE_IS_UNLIKE = "package-differs-from-the-next"
DEARER_IS_BETTER = "dearer-step-buys-something"
VEHICLE_IS_SERVED = "vehicle-is-served-by-a-package"

SAYS = {
    PART_IS_USED: "Every part of the catalogue is used by some package, in one of its choices.",
    PART_IS_MADE: "No package counts on a part that is made no more.",
    PART_IS_UNLIKE: "No part is nearly the same as another of its kind.",
    PACKAGE_IS_UNLIKE: "No package is the same as another but for what it claims.",
    DEARER_IS_BETTER: "What costs more is better by some figure, or has less against it.",
    VEHICLE_IS_SERVED: "Every surveyed vehicle has a package that can be sold for it.",
}
"""What each ought to hold, for those who read a report."""


class Tally:
    """Collects what remarks are made of while lines pass by; small, so that memory stays bounded."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.steps = Steps()
        self.users: dict[str, set[str]] = defaultdict(set)
        self.claimed: dict[str, dict[str, bool]] = defaultdict(dict)
        """By vehicle and package, whether some line of it can be sold."""
        self.alike: dict[str, str] = {}
        self.same: list[Remark] = []

    def line(self, code: str, line: Line, gist: Gist) -> None:
        """Take note of a line of a package."""
        known = self.claimed[line.vehicle]
        known[code] = known.get(code, False) or gist.verdict in GOOD
        self.steps.line(line, gist)

    def close(self, code: str, head: Head) -> None:
        """Take note that a package's lines are all through."""
        for codes in head.codes.values():
            for part in codes:
                self.users[part].add(code)
        self.steps.close(code, head)
        first = self.alike.setdefault(head.likeness, code)
        if first != code:
            says = f"{code} is made of the same as {first}; they differ in what they are called and claim."
            self.same.append(Remark(PACKAGE_IS_UNLIKE, "tip", code, says, head.place, first))

    def remarks(self) -> Iterator[Remark]:
        """Yield everything there is to remark."""
        yield from self._parts()
        yield from self._vehicles()
        yield from self.same
        for cheap, dear, says, place in self.steps.vain():
            yield Remark(DEARER_IS_BETTER, "tip", dear, says, place, cheap)
        for one, other, says, place in nearly_alike(self.catalogue):
            yield Remark(PART_IS_UNLIKE, "tip", other, says, place, one)

    def _parts(self) -> Iterator[Remark]:
        library = self.catalogue.library
        for code, place in library.parts.items():
            users, data = sorted(self.users.get(code, ())), library.data_of(code)
            if not users:
                yield Remark(PART_IS_USED, "tip", code, f"No package uses {code}.", place.place)
            elif data.get("discontinued") is True:
                told = ", ".join(users)
                count = "these count" if len(users) > 1 else "one package counts"
                says = f"{code} is made no more, and {count} on it: {told}."
                spot = place.child("discontinued") or place
                yield Remark(PART_IS_MADE, "trade-off", code, says, spot.place, told)

    def _vehicles(self) -> Iterator[Remark]:
        for code, file in self.catalogue.library.vehicles.items():
            claims = self.claimed.get(code, {})
            if any(claims.values()):
                continue
            says = f"No package claims {code}."
            if claims:
                says = f"{code} is claimed by {', '.join(sorted(claims))}, and in no choice does it hold there."
            yield Remark(VEHICLE_IS_SERVED, "tip", code, says, f"{file.name}:1:1")
