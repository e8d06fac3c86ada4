"""Passive networks: their parts, what they pass on to the real drivers, and what they ask of the channel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

LADDER = "ladder of the parts, solved against the driver's impedance (Kirchhoff's laws); see physics/ladder.py"
PREFERRED = "singly terminated filters (Cauer's development); nearest values of IEC 60063"
CAPACITORS = "E12"
COILS_AND_RESISTORS = "E24"
MICRO, MILLI = 1e-6, 1e-3
LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
NEAR_OCTAVES = 0.5


@fact("network")
def is_made_for_the_job(network: View) -> bool:
    """Whether the network is designed for the job (`network: auto`), so that its parts are known."""
    return not network.has_("part")


@fact("network")
def is_ready_made(network: View) -> bool:
    """Whether the network was bought rather than designed for the job."""
    return network.has_("part")


@fact("network")
def has_channel(network: View) -> bool:
    """Whether an amplifier channel feeds the network."""
    return network.has_("channel")


def passive_edges(driver: View) -> list[tuple[int, str]]:
    """Return which edges of a driver's band the network makes, and by which filter."""
    made = []
    if driver.low_edge_maker == "network" and driver.has_low_edge:
        made.append((0, "high-pass"))
    if driver.high_edge_maker == "network" and driver.has_high_edge:
        made.append((1, "low-pass"))
    return made


def named_filter(driver: View, index: int) -> Any:
    """Return an edge with its filter; Missing where only a frequency is written."""
    edge = driver.way.plays[index]
    if edge.order is None:
        which = ("low", "high")[index]
        raise Missing(
            f"{driver}: filter of its {which} edge", driver.place_, f"name it, for example plays: {edge.hz:g} LR12"
        )
    return edge


@fact("network", unit="dB/octave")
def steepest_db_per_octave(network: View) -> float:
    """Steepest slope that is asked of the network."""
    slopes = [
        named_filter(driver, index).slope_db_per_octave
        for driver in network.drivers
        for index, _ in passive_edges(driver)
    ]
    if not slopes:
        raise NotDefined("the network makes no edge")
    return float(max(slopes))


class Fitted(NamedTuple):
    """One part of a network as computed and as it is sold; the two are one where it was bought as it is."""

    wanted: Any
    bought: Any

    def __str__(self) -> str:
        return part_words(self.wanted, self.bought)


@fact("driver", hidden=True, source=PREFERRED)
def branch(driver: View) -> tuple[Fitted, ...]:
    """Parts between the network's input and the driver, from the source on.

    Of a network designed for the job: the filters of the edges; a pad where the way is too loud; behind a low-pass or
    a pad a resistor and a capacitor that make a coil with inductance look like a resistance.
    """
    if not driver.has_("network"):
        raise NotDefined("no passive network feeds it")
    if not driver.network.is_made_for_the_job:
        return _as_listed(driver)
    if driver.network.steepest_db_per_octave > 6 * physics.passive.HIGHEST_ORDER:
        raise NotDefined("nobody builds so steep a slope of passive parts")
    coil_h = (driver.part.get_("le_mh") or 0.0) * MILLI * driver.wiring_factor
    coil_ohm = float(driver.part.re_ohm * driver.wiring_factor)
    edges = passive_edges(driver)
    before = list(physics.passive.pad(load_ohm=coil_ohm, drop_db=driver.pad_db)) if driver.pad_db else []
    # a low-pass ends, and a pad works, on a resistance
    smoothed = coil_h > 0 and (bool(before) or any(kind == "low-pass" for _, kind in edges))
    if smoothed:
        before.append(physics.passive.coil_compensation(coil_ohm=coil_ohm, coil_h=coil_h))
    parts: list[Any] = []
    for index, kind in edges:
        edge = named_filter(driver, index)
        load = coil_ohm if smoothed and kind == "low-pass" else _seen_at(driver, before, edge.hz)
        parts += physics.passive.network(
            family=edge.family, order=edge.order, edge_hz=edge.hz, kind=kind, load_ohm=load
        )
    parts += before
    winding = float(driver.assume_("wire_of_a_network_coil")) if any(part.inductance_h for part in parts) else 0.0
    return tuple(Fitted(part, _as_bought(part, winding)) for part in parts)


def _seen_at(driver: View, before: list[Any], edge_hz: float) -> float:
    """Return how many ohms a filter sees at its edge, of the driver and what else stands before it."""
    hz = physics.spectrum.at_hz(edge_hz)
    return float(abs(physics.ladder.solve(hz, elements=before, load_ohm=driver.impedance(hz)).input_ohm)[0])


def _as_listed(driver: View) -> tuple[Fitted, ...]:
    """Return the parts that the sheet of a ready-made network lists for the output the driver is on."""
    part, output = driver.network.part, driver.way.from_.ports[0].port
    leg = part.legs.get(output)
    if leg is None:
        way_out = f"a sheet names only edges: measure the parts and list them, legs: {{{output}: [{{series_uf: 4.7}}]}}"
        raise Missing(f"{part}: what stands before its output {output}", part.place_, way_out)
    listed = []
    for item in leg:
        for place in ("series", "shunt"):
            ohm, mh, uf = (item.get_(f"{place}_{unit}") for unit in ("ohm", "mh", "uf"))
            if ohm or mh or uf:
                element = physics.ladder.Element(
                    place,
                    resistance_ohm=ohm or 0.0,
                    inductance_h=(mh or 0.0) * MILLI,
                    capacitance_f=uf * MICRO if uf else None,
                )
                listed.append(Fitted(element, element))
    return tuple(listed)


def _as_bought(part: Any, winding_ohm: float) -> Any:
    """Return a part with values that are sold; a coil brings the resistance of its wire along."""
    nearest = physics.preferred.nearest
    resistance = nearest(value=part.resistance_ohm, series=COILS_AND_RESISTORS) if part.resistance_ohm else 0.0
    inductance, capacitance = part.inductance_h, part.capacitance_f
    if inductance:
        inductance = nearest(value=inductance, series=COILS_AND_RESISTORS)
        resistance += winding_ohm * (inductance / MILLI) ** 0.5
    if capacitance is not None:
        capacitance = nearest(value=capacitance, series=CAPACITORS)
    return physics.ladder.Element(
        part.place, resistance_ohm=resistance, inductance_h=inductance, capacitance_f=capacitance
    )


@fact("network", source=PREFERRED)
def parts(network: View) -> tuple[str, ...]:
    """Parts of one side, by driver from the amplifier on; in brackets what was computed before rounding."""
    listed = [
        f"{driver}: {part_words(wanted, bought)}"
        for driver in sorted(network.drivers, key=_lowest_first)
        for wanted, bought in driver.branch
    ]
    if not listed:
        raise NotDefined("the network makes no edge")
    return tuple(listed)


def _lowest_first(driver: View) -> float:
    return float(driver.low_edge_hz) if driver.has_low_edge else 0.0


def part_words(wanted: Any, bought: Any) -> str:
    """Return a part in words: what it is, where, its value as sold, and in brackets what was computed."""
    where = "in series" if wanted.place == "series" else "across"
    ohms = f"{bought.resistance_ohm:.4g} Ω"
    if bought.resistance_ohm and bought.capacitance_f and not bought.inductance_h:
        values = f"{ohms} and {bought.capacitance_f / MICRO:.4g} µF"
        computed = "" if wanted is bought else f" ({wanted.resistance_ohm:.3g} Ω, {_micro(wanted)})"
        return f"{values} in a row, {'across the driver' if wanted.place == 'shunt' else where}{computed}"
    if bought.inductance_h:
        trap = f" with {bought.capacitance_f / MICRO:.4g} µF in a row" if bought.capacitance_f else ""
        aside = [] if wanted is bought else [f"{wanted.inductance_h / MILLI:.4g} mH"]
        aside += [f"wire {bought.resistance_ohm:.2g} Ω"] if bought.resistance_ohm else []
        bracketed = f" ({', '.join(aside)})" if aside else ""
        return f"coil {where}, {bought.inductance_h / MILLI:.4g} mH{trap}{bracketed}"
    if bought.capacitance_f:
        computed = "" if wanted is bought else f" ({_micro(wanted)})"
        return f"capacitor {where}, {bought.capacitance_f / MICRO:.4g} µF{computed}"
    return f"resistor {where}, {ohms}" + ("" if wanted is bought else f" ({wanted.resistance_ohm:.3g} Ω)")


def _micro(part: Any) -> str:
    return f"{part.capacitance_f / MICRO:.4g} µF"


def solved(driver: View, hz: Any) -> Any:
    """Return the driver's branch of its network, solved at some frequencies against its real impedance."""
    bought = [part for _, part in driver.branch]
    return physics.ladder.solve(hz, elements=bought, load_ohm=driver.impedance(hz))


def passed_with_pad(driver: View) -> Callable[[Any], Any]:
    """Return the voltage at the driver over that before its network, against frequency.

    What it rests on is read here and now, so that a function kept for later does not read an older engine.
    """
    bought, impedance = [part for _, part in driver.branch], driver.impedance
    return lambda hz: physics.ladder.solve(hz, elements=bought, load_ohm=impedance(hz)).transfer


def passed_on(driver: View) -> Callable[[Any], Any]:
    """Return the same with the drop of a pad made up for: a pad belongs to a way's level, not to its band."""
    passed, pad = passed_with_pad(driver), 10 ** (driver.pad_db / 20)
    return lambda hz: pad * passed(hz)


@dataclass(frozen=True)
class Stray:
    """Where a network is farthest from the filter of one edge, within half an octave of it."""

    driver: str
    by_db: float
    """Above the filter where positive."""
    at_hz: float
    edge_db: float

    def __str__(self) -> str:
        return f"{self.driver}, {self.by_db:+.1f} dB at {self.at_hz:.0f} Hz"


def _stray(driver: View, index: int, kind: str) -> Stray:
    """Hold what the network passes on, a pad left out of account, against the filter that was asked of it."""
    edge = named_filter(driver, index)
    hz = physics.spectrum.around_hz(middle_hz=edge.hz, octaves=NEAR_OCTAVES, count=13)
    asked = physics.filters.response(hz, family=edge.family, order=edge.order, edge_hz=edge.hz, kind=kind)
    passed_db = physics.spectrum.level_db(solved(driver, hz).transfer)
    apart = passed_db + driver.pad_db - physics.spectrum.level_db(asked)
    at = int(abs(apart).argmax())
    return Stray(str(driver), float(apart[at]), float(hz[at]), float(passed_db[hz.size // 2]))


@fact("network", hidden=True, source=LADDER)
def worst_stray(network: View) -> Stray:
    """The edge at which the network is farthest from the filter that was asked for."""
    strays = [_stray(driver, *edge) for driver in _made(network) for edge in passive_edges(driver)]
    return max(strays, key=lambda stray: abs(stray.by_db))


@fact("network", unit="dB", source=LADDER)
def edge_strays_db(network: View) -> float:
    """Farthest that any way's response is from the filter that was asked for, within half an octave of an edge."""
    return abs(float(network.worst_stray.by_db))


@fact("network")
def strays_to(network: View) -> str:
    """Whether the driver gets more or less there than the filter would give it."""
    return "more" if network.worst_stray.by_db > 0 else "less"


@fact("network", unit="Hz", source=LADDER)
def strays_at_hz(network: View) -> float:
    """Frequency at which it is that far off."""
    return float(network.worst_stray.at_hz)


@fact("network")
def straying_way(network: View) -> str:
    """The driver whose voltage is that far off."""
    return network.worst_stray.driver  # type: ignore[no-any-return]


@fact("network", unit="dB", source=LADDER)
def response_at_edge_db(network: View) -> float:
    """Level at the edge round which the network strays farthest: voltage at the driver over that before the network."""
    return float(network.worst_stray.edge_db)


def _made(network: View) -> list[View]:
    drivers = [driver for driver in network.drivers if passive_edges(driver)]
    if not drivers:
        raise NotDefined("the network makes no edge")
    return drivers


@fact("driver", unit="dB", source=LADDER)
def network_takes_db(driver: View) -> float:
    """What its network takes off in the middle of its band beyond the filters asked for: pad and wire together."""
    hz = physics.spectrum.at_hz(_middle_hz(driver))
    return float(physics.spectrum.level_db(driver.network_target(hz) / solved(driver, hz).transfer)[0])


@fact("network", unit="dB", source=LADDER)
def insertion_loss_db(network: View) -> float:
    """What the network takes off in the middle of a way's band, a pad included; of its ways the most."""
    return float(max(driver.network_takes_db for driver in _made(network)))


@fact("network", unit="dB", source=LADDER)
def wire_loss_db(network: View) -> float:
    """What the network takes off in the middle of a way's band beyond what a pad is meant to; of its ways the most."""
    return float(max(driver.network_takes_db - driver.pad_db for driver in _made(network)))


def _middle_hz(driver: View) -> float:
    """Middle of a driver's band on the scale of octaves; open ends reach to what the driver can do."""
    low = driver.low_edge_hz if driver.has_low_edge else driver.plays_down_to_hz
    high = driver.high_edge_hz if driver.has_high_edge else driver.plays_up_to_hz
    return float((low * high) ** 0.5)


@fact("driver", hidden=True, source=LADDER)
def branch_over_all(driver: View) -> Any:
    """Its branch of the network, solved over the range of hearing in equal steps of octaves."""
    return solved(driver, physics.spectrum.steps_hz(low_hz=LOWEST_HZ, high_hz=HIGHEST_HZ, count=480))


@fact("network", unit="Ω", source=LADDER, name="lowest_load_ohm")
def network_lowest_load_ohm(network: View) -> float:
    """Lowest impedance the channel sees through the network, 20 Hz to 20 kHz."""
    return float((1 / abs(_admittance(network))).min())


@fact("network", unit="Hz", source=LADDER)
def lowest_load_at_hz(network: View) -> float:
    """Frequency at which that lowest impedance lies."""
    hz = network.drivers[0].branch_over_all.frequency_hz
    return float(hz[abs(_admittance(network)).argmax()])


def _admittance(network: View) -> Any:
    """What the channel sees through the network over the range of hearing, in siemens."""
    return sum(1 / driver.branch_over_all.input_ohm for driver in network.drivers)


@fact("crossing", unit="ms")
def arrival_gap_ms(crossing: View) -> float:
    """How much sooner one of the two drivers arrives at the first listed seat."""
    return abs(float(crossing.lower.arrival_ms - crossing.upper.arrival_ms))


@fact("crossing", unit="Hz")
def handover_hz(crossing: View) -> float:
    """Where the two hand over: middle of the lower one's high edge and the upper one's low edge, in octaves."""
    return float((crossing.lower.high_edge_hz * crossing.upper.low_edge_hz) ** 0.5)


@fact("crossing", unit="ms")
def quarter_period_ms(crossing: View) -> float:
    """Quarter of a period at the handover: sound that comes so much later no longer adds as the filters mean it to."""
    return 250.0 / float(crossing.handover_hz)
