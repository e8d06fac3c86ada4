"""Steps of price that buy nothing: a dearer choice, or a dearer package of a line, no better by any figure.

A step is judged by all customers and vehicles that both sides serve; it buys something if it does so for one of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from advisor.catalogue.bench import FIGURES, Head, Line
from advisor.catalogue.gist import Gist
from advisor.reading.choices import Settled

HEARD = {"dB": 0.5, "octaves": 0.05, "%": 3.0, "days": 0.5}
"""What a customer has a chance to notice, by unit; of a frequency it is a share."""

HEARD_HZ = 0.03
DEARER = 1.01
"""By this ratio a price is another price."""

COST = FIGURES[0][0]
_COMPARED = [(name, unit, sign) for name, _, unit, sign in FIGURES[1:]]


Offers = dict[tuple[str, str], Gist]
"""What the lines of one way to settle a package offer, by customer and vehicle; each has its price."""


class Steps:
    """Collects offers of packages that have rivals: choices of their own, or others of their line."""

    def __init__(self) -> None:
        self._offers: dict[Settled, Offers] = defaultdict(dict)
        self._lines: dict[str, dict[str, tuple[str, Offers]]] = defaultdict(dict)
        self._vain: list[tuple[str, str, str, str]] = []

    def line(self, line: Line, gist: Gist) -> None:
        """Take note of a line of the package that is passing by."""
        if COST in gist.figures:
            self._offers[line.settled][line.customer, line.vehicle] = gist

    def close(self, code: str, head: Head) -> None:
        """Compare the choices of a package, and keep its first for those of its line."""
        ways = list(head.codes)
        for index, one in enumerate(ways):
            for other in ways[index + 1 :]:
                if sum(a != b for a, b in zip(one, other, strict=True)) == 1:
                    self._compare_choices(code, head, one, other)
        if head.line and ways:
            self._lines[head.line][code] = (head.place, self._offers.get(ways[0], {}))
        self._offers = defaultdict(dict)

    def vain(self) -> Iterator[tuple[str, str, str, str]]:
        """Yield steps that buy nothing: what is cheaper, what is dearer, what is told of it, and where that stands."""
        yield from self._vain
        for line, packages in self._lines.items():
            for dear, (place, offers) in packages.items():
                rivals = [
                    (more, cheap)
                    for cheap, (_, other) in packages.items()
                    if (more := _buys_nothing(other, offers)) > 0
                ]
                if rivals:
                    more, cheap = min(rivals)
                    says = (
                        f"In the line {line}, {dear} costs {more:.0f} more than {cheap} and is no better by any figure."
                    )
                    yield cheap, dear, says, place

    def _compare_choices(self, code: str, head: Head, one: Settled, other: Settled) -> None:
        for cheap, dear in ((one, other), (other, one)):
            more = _buys_nothing(self._offers.get(cheap, {}), self._offers.get(dear, {}))
            if more > 0:
                name, less = next(a for a, b in zip(cheap, dear, strict=True) if a != b)
                label = dict(dear)[name]
                beside = ", ".join(f"{key} {value}" for key, value in dear if key != name)
                says = f"In {code}, {label} for {name} costs {more:.0f} more than {less} and is no better by any figure"
                says += f" (with {beside})." if beside else "."
                self._vain.append((f"{code}: {less} {beside}".strip(), f"{code}: {label}", says, head.place))


def _buys_nothing(cheap: Offers, dear: Offers) -> float:
    """Return by how much one costs more where it is nowhere better; 0 where it costs no more, or is better."""
    least = None
    for pair, mine in dear.items():
        theirs = cheap.get(pair)
        if theirs is None:
            continue
        cost, less = mine.figures[COST], theirs.figures[COST]
        if cost <= less * DEARER or _better(mine, theirs):
            return 0.0
        least = cost - less if least is None else min(least, cost - less)
    return least or 0.0


def _better(one: Gist, other: Gist) -> bool:
    if one.open[0] < other.open[0] or one.open[1] < other.open[1] or one.open[2] < other.open[2]:
        return True  # less falls short at some level
    known, others = one.figures, other.figures
    for name, unit, sign in _COMPARED:
        mine = known.get(name)
        if mine is None:
            continue
        theirs = others.get(name)
        if theirs is None:
            return True  # one more thing is known of it
        least = HEARD_HZ * theirs if unit == "Hz" else HEARD[unit]
        if sign * (mine - theirs) >= least:
            return True
    return False
