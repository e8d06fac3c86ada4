"""Impedance as a chart: what each amplifier channel sees by frequency, and the least it bears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from advisor.facts.engine import Engine
from advisor.judging.formats import listed, plain
from advisor.telling.pictures.canvas import Picture, clean, draw
from advisor.telling.pictures.charts import HZ, WIDTH, Chart, Curve, about, strokes_of, value_of, way_name

TICKS = {0.5: "0.5", 1.0: "1", 2.0: "2", 4.0: "4", 8.0: "8", 16.0: "16", 32.0: "32", 64.0: "64"}
BOTTOM, TOP = 1.0, 80.0


@dataclass
class _Load:
    """What some channels see alike: for which ways, how many ohms by frequency, and the least they bear."""

    channels: list[str]
    ways: list[str]
    ohm: Any
    bears: float | None

    @property
    def lowest(self) -> str:
        """Where it is lowest, in words."""
        at = int(np.argmin(self.ohm))
        said = (
            f"{listed(self.ways)} on {listed(self.channels)} {plain(float(self.ohm[at]))} Ω at {about(float(HZ[at]))}"
        )
        return f"{said}, where {plain(self.bears)} Ω is the least it bears" if self.bears is not None else said

    @property
    def is_too_low(self) -> bool:
        """Whether it falls below the least the channels bear; what is equal within a thousandth is equal."""
        return self.bears is not None and float(np.min(self.ohm)) < 0.999 * self.bears


def impedance(engine: Engine) -> Picture | None:
    """Return the chart of what each channel in use sees; none where no driver's impedance is known."""
    loads = _loads(engine)
    if not loads:
        return None
    strokes = strokes_of(engine)
    curves = [Curve(listed(load.ways), load.ohm, strokes[load.ways[0]]) for load in loads]
    bottom = min(BOTTOM, *(0.8 * float(np.min(load.ohm)) for load in loads))
    ticks = {ohm: text for ohm, text in TICKS.items() if ohm >= bottom}
    chart = Chart("impedance seen by the channel [Ω]", ticks, bottom, TOP, curves, _limits(loads), is_log=True)
    alt = clean(f"Impedance by frequency, at its lowest: {'; '.join(load.lowest for load in loads)}.")
    return Picture("impedance", draw("impedance", (WIDTH, chart.height), alt, chart.paint), alt, _caption(loads))


def _limits(loads: list[_Load]) -> list[tuple[float, str]]:
    """Return the least that channels bear; where they differ, for which ways."""
    limits: dict[float, list[str]] = {}
    for load in loads:
        if load.bears is not None:
            limits.setdefault(load.bears, []).extend(load.ways)
    several = len(limits) > 1
    return [
        (ohm, f"{plain(ohm)} Ω, least {f'for {listed(ways)}' if several else 'the channels bear'}")
        for ohm, ways in sorted(limits.items())
    ]


def _loads(engine: Engine) -> list[_Load]:
    found: list[_Load] = []
    for channel in engine.chain.of_kind("channel"):
        curve = value_of(engine, channel, "load_curve")
        if curve is None:
            continue
        drivers = channel.ties["drivers"]
        assert isinstance(drivers, tuple)
        ways = list(dict.fromkeys(way_name(driver) for driver in drivers))
        load = _Load([channel.name], ways, np.abs(curve(HZ)), value_of(engine, channel, "bears_ohm"))
        same = (one for one in found if one.ways == load.ways and one.bears == load.bears)
        alike = next((one for one in same if np.allclose(one.ohm, load.ohm)), None)
        if alike:
            alike.channels += load.channels
        else:
            found.append(load)
    return found


def _caption(loads: list[_Load]) -> str:
    low = [load.lowest for load in loads if load.is_too_low]
    said = f"Too low: {'; '.join(low)}." if low else "None falls below the least its channel bears."
    if any(load.bears is None for load in loads):
        said = f"Too low: {'; '.join(low)}." if low else "What some channels bear is not known."
    start = "What each channel sees by frequency: the drivers as mounted and wired, with the parts of passive networks."
    return clean(f"{start} {said}")
