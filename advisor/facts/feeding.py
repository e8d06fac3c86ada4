"""Whether outputs and channels suffice, and whether each serves one way."""

from __future__ import annotations

from collections import Counter

from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("channel")
def ways_driven(channel: View) -> int:
    """Number of ways on the channel, a passive network counting as one."""
    return len(channel.ways)


@fact("processor")
def outputs_there(processor: View) -> int:
    """Number of outputs the processor has."""
    return sum(int(output.channels) for output in processor.part.outputs.values())


@fact("processor")
def highest_output_asked(processor: View) -> int:
    """Highest output that something is connected to."""
    return max(processor.taken, default=0)


@fact("processor")
def most_on_one_output(processor: View) -> int:
    """Most inputs that hang on one output."""
    return max(Counter(processor.taken).values(), default=0)


@fact("processor")
def doubled_outputs(processor: View) -> tuple[int, ...]:
    """Outputs that more than one input hangs on."""
    return tuple(sorted(number for number, times in Counter(processor.taken).items() if times > 1))


@fact("driver")
def unmade_edges(driver: View) -> tuple[str, ...]:
    """Edges of the band that nothing in the chain can make."""
    plays = driver.way.get_("plays")
    if plays is None:
        return ()
    low, high = plays
    unmade = [("low edge", driver.low_edge_maker)] if low.hz is not None else []
    unmade += [("high edge", driver.high_edge_maker)] if high.hz is not None else []
    return tuple(name for name, maker in unmade if maker == "nothing")


@fact("driver")
def asked_edges(driver: View) -> tuple[str, ...]:
    """Edges of the band that are asked for."""
    low, high = driver.has_low_edge, driver.has_high_edge
    return (*(("low edge",) if low else ()), *(("high edge",) if high else ()))
