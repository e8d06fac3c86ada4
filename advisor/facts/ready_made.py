"""Ready-made networks: whether the edges on their sheet are those that the job asks of them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.facts.network import passive_edges
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("network")
def names_its_edges(network: View) -> bool:
    """Whether it was bought, and its sheet says at which frequencies it crosses."""
    return bool(network.is_ready_made and network.part.edges_hz)


def _edges(network: View) -> Iterator[tuple[str, float, float]]:
    """Yield each edge the network makes: whose, as the sheet has it, as it is asked for [Hz]."""
    part = network.part
    outputs, given = part.outputs, part.edges_hz
    for driver in network.drivers:
        place = outputs.index(driver.way.from_.ports[0].port)
        for index, _ in passive_edges(driver):
            above = place + index - 1
            if above >= len(given):
                raise Missing(f"{part}: all of edges_hz", part.place_, f"it has {len(outputs)} outputs")
            yield f"{driver}", float(given[above]), float(driver.way.plays[index].hz)


def _farthest(network: View) -> tuple[str, float, float]:
    if not network.is_ready_made:
        raise NotDefined("it is made for the edges of the job")
    found = list(_edges(network))
    if not found:
        raise NotDefined("the network makes no edge")
    return max(found, key=lambda edge: abs(math.log2(edge[1] / edge[2])))


@fact("network", unit="octaves")
def edge_apart_octaves(network: View) -> float:
    """Farthest that an edge of its sheet lies from the edge that is asked for there."""
    _, given, asked = _farthest(network)
    return abs(math.log2(given / asked))


@fact("network", unit="Hz")
def sheet_edge_hz(network: View) -> float:
    """That edge as its sheet has it."""
    return _farthest(network)[1]


@fact("network", unit="Hz")
def asked_edge_hz(network: View) -> float:
    """That edge as it is asked for."""
    return _farthest(network)[2]
