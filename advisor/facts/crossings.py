"""Where neighbouring ways hand over, and what is left between them."""

from __future__ import annotations

import math

from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("crossing", unit="Hz")
def lower_covers_to_hz(crossing: View) -> float:
    """Top of what the lower way covers: its high edge, or where its cone gives up before that."""
    lower = crossing.lower
    return crossing.engine_.decisive(min, lambda: lower.high_edge_hz, lambda: lower.plays_up_to_hz)


@fact("crossing", unit="Hz")
def upper_covers_from_hz(crossing: View) -> float:
    """Bottom of what the upper way covers: its low edge, or where its cone gives up above that."""
    return float(crossing.upper.covers_from_hz)


@fact("crossing", unit="octaves")
def hole_octaves(crossing: View) -> float:
    """Width of the band that neither way covers; 0 where they meet."""
    return max(0.0, math.log2(crossing.upper_covers_from_hz / crossing.lower_covers_to_hz))


@fact("crossing", unit="octaves")
def edges_apart_octaves(crossing: View) -> float:
    """Width of the band that the upper way is not even asked to play, above where the lower one ends."""
    return max(0.0, math.log2(crossing.upper.low_edge_hz / crossing.lower_covers_to_hz))


@fact("crossing")
def begins_the_front(crossing: View) -> bool:
    """Whether bass from behind hands over to the front stage here."""
    return bool(crossing.lower.carries_bass_behind and not crossing.upper.is_behind)


@fact("driver", unit="Hz")
def way_below_plays_to_hz(driver: View) -> float:
    """High edge of the way that hands over to it; where there are several, the highest."""
    edges = [float(one.lower.high_edge_hz) for one in driver.job.crossings if str(one.upper) == str(driver)]
    if not edges:
        raise NotDefined("no way hands over to it")
    return max(edges)


@fact("crossing", unit="octaves")
def overlap_octaves(crossing: View) -> float:
    """Width of the band that both edges let through; 0 where they meet or leave a gap."""
    return max(0.0, math.log2(crossing.lower.high_edge_hz / crossing.upper.low_edge_hz))


@fact("driver")
def is_the_bottom(driver: View) -> bool:
    """Whether no other way hands over to this one from below."""
    return not any(str(crossing.upper) == str(driver) for crossing in driver.job.crossings)
