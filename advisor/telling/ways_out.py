"""Ways out as people read them: what to change, what it costs, what it mends and breaks elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from advisor.judging.finding import Finding
from advisor.judging.formats import listed, money, with_unit
from advisor.judging.remedies import Nearest, Place, Remedy, WayOut, place_of, ways_out
from advisor.judging.review import Review
from advisor.judging.rule import LEVELS
from advisor.telling.groups import Sides

if TYPE_CHECKING:
    from advisor.judging.trials import Trials

NAMED = 3
"""Things opened that are told in full."""


@dataclass(frozen=True)
class ToldRemedy:
    """One way out in words."""

    says: str
    writes: tuple[str, ...]
    """What to write in the job file."""
    costs: str
    opens: tuple[str, ...]
    clears: str

    @property
    def verb(self) -> str:
        """What is done with the file: written into, unless all there is to do is to take something out."""
        return "" if all(line.startswith("take out ") for line in self.writes) else "write "


@dataclass(frozen=True)
class ToldWayOut:
    """The ways out of one finding; where there is none, why."""

    remedies: tuple[ToldRemedy, ...]
    none: str
    nearest: str
    conflict: tuple[str, ...]


def find_ways_out(trials: Trials, levels: Iterable[str] = LEVELS) -> dict[Place, WayOut]:
    """Try to clear whatever falls short at some levels; both sides of a thing have their way out in common."""
    groups: dict[Any, list[Finding]] = {}
    for finding in trials.review.of("falls short"):
        if finding.rule.level in levels:
            groups.setdefault((finding.rule.name, finding.subject.kind, finding.subject.bare), []).append(finding)
    return {place_of(finding): way for way in ways_out(trials, list(groups.values())) for finding in way.findings}


def tell_way_out(finding: Finding, ways: Mapping[Place, WayOut], review: Review) -> ToldWayOut | None:
    """Return the ways out of a finding in words, None where none were looked for."""
    way = ways.get(place_of(finding))
    if way is None:
        return None
    sides = Sides(review)
    currency = review.system.shop.currency or ""
    conflict: tuple[str, ...] = ()
    if way.conflict:
        conflict = tuple(f"{one.rule.name} ({one.subject.bare}): {sides.bare(one.says)}" for one in way.conflict)
    none = "" if way.remedies else _none(finding, way)
    nearest = _nearest(way.nearest) if way.nearest else ""
    return ToldWayOut(tuple(_told(remedy, sides, currency) for remedy in way.remedies), none, nearest, conflict)


def _nearest(nearest: Nearest) -> str:
    measured = nearest.finding.measured
    assert measured is not None
    unit = "" if measured.unit == "money" else measured.unit
    reached, wanted = (
        money(side) if measured.unit == "money" else with_unit(side, unit) for side in (measured.left, measured.right)
    )
    near = f"came as near as {reached} to the {wanted} wanted"
    if nearest.finding.outcome == "too close to call":
        near = f"got to {reached}, too close to the {wanted} wanted to be relied on"
    return f"Changes of the design that break no must {near}: {nearest.says}."


def _none(finding: Finding, way: WayOut) -> str:
    if not finding.rule.levers:
        return ""
    if way.cut_short:
        return "So much falls short that not everything was tried for this; mend what comes first and review again."
    if finding.rule.level != "must":
        return "No single change that was tried in this job file clears it without breaking a must or making one worse."
    if way.tried:
        return f"None of the {way.tried} changes tried on the whole job clears this."
    return "Nothing that was tried in this job file clears this."


def _told(remedy: Remedy, sides: Sides, currency: str) -> ToldRemedy:
    says = remedy.says[:1].upper() + remedy.says[1:]
    opens = [
        f"{first.rule.name} ({first.rule.level}): {sides.bare(first.says)}{_more(count)}"
        for first, count in _by_rule(remedy.opens, sides)
    ]
    if len(opens) > NAMED:
        opens[NAMED:] = [f"and {len(opens) - NAMED} more"]
    opens += [f"{f.rule.name} falls short by more: {sides.bare(f.says)}" for f in _distinct(remedy.worsens, sides)]
    opens += [f"{f.rule.name} can no longer be told for {f.subject.bare}" for f in _distinct(remedy.unsure, sides)]
    clears = list(dict.fromkeys(finding.rule.name for finding in remedy.clears))
    mends = listed(clears) if clears else ""
    edits = sorted(remedy.edits, key=lambda edit: edit.removes)
    return ToldRemedy(says, tuple(map(str, edits)), _costs(remedy, currency), tuple(opens), mends)


def _by_rule(findings: Iterable[Finding], sides: Sides) -> list[tuple[Finding, int]]:
    """Return the worst finding of each rule, and at how many further places it is found."""
    found: dict[str, list[Finding]] = {}
    for finding in _distinct(findings, sides):
        found.setdefault(finding.rule.name, []).append(finding)
    return [(those[0], len(those) - 1) for those in found.values()]


def _more(count: int) -> str:
    return f" (And {count} more like it.)" if count else ""


def _distinct(findings: Iterable[Finding], sides: Sides) -> list[Finding]:
    """Return findings with those of left and right once, musts first."""
    found = {
        (f.rule.name, sides.bare(f.subject.name)): f for f in sorted(findings, key=lambda f: f.order, reverse=True)
    }
    return sorted(found.values(), key=lambda finding: finding.order)


def _costs(remedy: Remedy, currency: str) -> str:
    """Return what it costs, in words; nothing where it costs nothing."""
    if remedy.costs is None:
        return "what it costs cannot be told: a price is missing"
    parts = []
    if abs(remedy.costs) >= 1:
        word = "costs {} more" if remedy.costs > 0 else "costs {} less"
        parts.append(word.format(f"{money(abs(remedy.costs))} {currency}".rstrip()))
    if remedy.hours is not None and abs(remedy.hours) >= 0.05:
        parts.append(f"{with_unit(abs(remedy.hours), 'h')} {'more' if remedy.hours > 0 else 'less'} work")
    return ", ".join(parts)
