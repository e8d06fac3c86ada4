"""Musts that cannot hold together: what every tried way out of one breaks instead."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

from advisor.judging.finding import Finding

LARGEST = 4
"""Musts named beside the one that falls short; more than that is no explanation."""


def smallest_conflict(findings: Sequence[Finding], broken: Sequence[Sequence[Finding]]) -> tuple[Finding, ...]:
    """Return a finding and the fewest musts of which every way out of it breaks at least one.

    `broken` is, for each change that clears the finding, the musts that fall short only with it. No member could be
    left out: without the finding the job may stay as it is, and without any other some change breaks none of the
    rest. Empty where no change clears the finding at all, or one breaks nothing.
    """
    if not broken or not all(broken):
        return ()
    named: dict[Any, Finding] = {}
    sets = []
    for findings_broken in broken:
        keys = set()
        for finding in findings_broken:
            key = (finding.rule.name, finding.subject.bare)  # left and right are one thing that breaks
            named.setdefault(key, finding)
            keys.add(key)
        sets.append(keys)
    for size in range(1, LARGEST + 1):
        for chosen in combinations(sorted(named), size):
            if all(keys.intersection(chosen) for keys in sets):
                return (findings[0], *(named[key] for key in chosen))
    return ()
