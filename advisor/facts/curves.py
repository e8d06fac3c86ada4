"""Curves for the charts of a report: what channels see, what networks pass on, how loud and how far cones go.

Each fact is a function of frequency. What it rests on is read at once, so that a function kept for later does not
read an older engine.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from advisor import physics
from advisor.facts.network import LADDER, named_filter, passed_with_pad, passive_edges
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

MILLI = 1e-3


@fact("channel", hidden=True, source=LADDER)
def load_curve(channel: View) -> Callable[[Any], Any]:
    """Impedance of all that the channel drives, networks before it included."""
    branches = [_seen_through_network(driver) for driver in channel.drivers]
    if not branches:
        raise NotDefined("nothing is connected to this channel")
    return lambda hz: 1 / sum(1 / branch(hz) for branch in branches)


def _seen_through_network(driver: View) -> Callable[[Any], Any]:
    impedance = driver.impedance
    if not driver.has_("network"):
        return impedance  # type: ignore[no-any-return]
    bought = [part for _, part in driver.branch]
    return lambda hz: physics.ladder.solve(hz, elements=bought, load_ohm=impedance(hz)).input_ohm


@fact("driver", hidden=True, source=LADDER)
def network_passes(driver: View) -> Callable[[Any], Any]:
    """Voltage at the driver over that before its network."""
    if not passive_edges(driver):
        raise NotDefined("no network makes an edge of its band")
    return passed_with_pad(driver)


@fact("driver", hidden=True, source="response of the named filters, see physics/filters.py")
def network_target(driver: View) -> Callable[[Any], Any]:
    """What its network should pass on: the filters that were asked of it."""
    wanted = [(named_filter(driver, index), kind) for index, kind in passive_edges(driver)]
    if not wanted:
        raise NotDefined("no network makes an edge of its band")
    shapes = [{"family": one.family, "order": one.order, "edge_hz": one.hz, "kind": kind} for one, kind in wanted]
    return lambda hz: math.prod(physics.filters.response(hz, **shape) for shape in shapes)


@fact("driver", hidden=True, source="R. H. Small, J. Audio Eng. Soc. 20(10), 1972, displacement-limited power")
def travel_limited_pa(driver: View) -> Callable[[Any], Any]:
    """Highest pressure at 1 m in half space that travel allows, all drivers of a side together."""
    motion, travel, count = driver.motion, driver.part.xmax_mm * MILLI, driver.way.count

    def reached(hz: Any) -> Any:
        moved = motion(hz)
        return abs(moved.pressure_1m_pa) * travel / moved.peak_excursion_m * count

    return reached


@fact("driver", hidden=True, source="as excursion: R. H. Small, J. Audio Eng. Soc. 20(10) 1972 and 21, 1973")
def travel_share(driver: View) -> Callable[[Any], Any]:
    """Travel of the cone at the power it gets, behind the filter at its low edge, as a share of what it has."""
    motion, high_pass, travel = driver.motion, driver.high_pass, driver.part.xmax_mm * MILLI
    voltage = math.sqrt(driver.drive_w * driver.part.impedance_ohm)
    return lambda hz: voltage * abs(high_pass(hz)) * motion(hz).peak_excursion_m / travel


@fact("channel", hidden=True, unit="Ω", source="IEC 60268-3/-5, as digested in print: 80 % of the rated load")
def bears_ohm(channel: View) -> float:
    """Lowest impedance the channel bears at any frequency: what a load with the lowest rating may fall to."""
    return float(physics.coils.rated_minimum_ohm(rated_ohm=channel.allowed_ohm))


@fact("job", hidden=True, unit="dB")
def wanted_db(job: View) -> float:
    """How loud the customer wants it at the seat."""
    return float(job.customer.loudness_db)
