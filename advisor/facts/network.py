"""Passive networks: their parts, what they pass on to the real drivers, and what they ask of the channel."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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


@fact("driver", hidden=True, source=PREFERRED)
def branch(driver: View) -> tuple[Any, ...]:
    """Parts between the network's input and the driver, from the source on: (wanted, as bought) of each.

    A coil with inductance behind a low-pass gets a resistor and a capacitor that make it look like a resistance.
    """
    if not driver.has_("network"):
        raise NotDefined("no passive network feeds it")
    if not driver.network.is_made_for_the_job:
        raise Missing(
            f"{driver.network}: the values of its parts",
            driver.network.place_,
            "a sheet names only edges; measure the network",
        )
    if driver.network.steepest_db_per_octave > 6 * physics.passive.HIGHEST_ORDER:
        raise NotDefined("nobody builds so steep a slope of passive parts")
    parts: list[Any] = []
    coil_h = (driver.part.get_("le_mh") or 0.0) * MILLI * driver.wiring_factor
    coil_ohm = float(driver.part.re_ohm * driver.wiring_factor)
    for index, kind in passive_edges(driver):
        edge = named_filter(driver, index)
        smoothed = kind == "low-pass" and coil_h > 0
        load = coil_ohm if smoothed else float(abs(driver.impedance(physics.spectrum.at_hz(edge.hz)))[0])
        parts += physics.passive.network(
            family=edge.family, order=edge.order, edge_hz=edge.hz, kind=kind, load_ohm=load
        )
        if smoothed:
            parts.append(physics.passive.coil_compensation(coil_ohm=coil_ohm, coil_h=coil_h))
    winding = float(driver.assume_("network_coil_ohm")) if any(part.inductance_h for part in parts) else 0.0
    return tuple((part, _as_bought(part, winding)) for part in parts)


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
        f"{driver}: {_words(wanted, bought)}"
        for driver in sorted(network.drivers, key=_lowest_first)
        for wanted, bought in driver.branch
    ]
    if not listed:
        raise NotDefined("the network makes no edge")
    return tuple(listed)


def _lowest_first(driver: View) -> float:
    return float(driver.low_edge_hz) if driver.has_low_edge else 0.0


def _words(wanted: Any, bought: Any) -> str:
    where = "in series" if wanted.place == "series" else "across"
    if wanted.resistance_ohm:
        values = f"{bought.resistance_ohm:g} Ω and {bought.capacitance_f / MICRO:g} µF"
        return f"{values} in a row, across the driver ({wanted.resistance_ohm:.3g} Ω, {_micro(wanted)})"
    if wanted.inductance_h:
        wire = f", wire {bought.resistance_ohm:.2g} Ω"
        return f"coil {where}, {bought.inductance_h / MILLI:g} mH ({wanted.inductance_h / MILLI:.4g} mH{wire})"
    return f"capacitor {where}, {bought.capacitance_f / MICRO:g} µF ({_micro(wanted)})"


def _micro(part: Any) -> str:
    return f"{part.capacitance_f / MICRO:.4g} µF"


def solved(driver: View, hz: Any) -> Any:
    """Return the driver's branch of its network, solved at some frequencies against its real impedance."""
    bought = [part for _, part in driver.branch]
    return physics.ladder.solve(hz, elements=bought, load_ohm=driver.impedance(hz))


def passed_on(driver: View) -> Callable[[Any], Any]:
    """Return what the network passes on to the driver, against frequency.

    What it rests on is read here and now, so that a function kept for later does not read an older engine.
    """
    bought, impedance = [part for _, part in driver.branch], driver.impedance
    return lambda hz: physics.ladder.solve(hz, elements=bought, load_ohm=impedance(hz)).transfer


def _at_edge(driver: View, index: int, kind: str, octaves: float) -> tuple[Any, Any]:
    """Return levels to so many octaves either side of an edge: as solved, and as the filter should give them [dB]."""
    edge = named_filter(driver, index)
    hz = physics.spectrum.around_hz(middle_hz=edge.hz, octaves=octaves, count=13)
    wanted = physics.filters.response(hz, family=edge.family, order=edge.order, edge_hz=edge.hz, kind=kind)
    return physics.spectrum.level_db(solved(driver, hz).transfer), physics.spectrum.level_db(wanted)


def _stray_db(driver: View, index: int, kind: str) -> float:
    solved_db, wanted_db = _at_edge(driver, index, kind, NEAR_OCTAVES)
    return float(abs(solved_db - wanted_db).max())


@fact("network", unit="dB", source=LADDER)
def edge_strays_db(network: View) -> float:
    """Farthest that any way's response is from the filter that was asked for, within half an octave of an edge."""
    return _worst_edge(network)[0]


@fact("network", unit="dB", source=LADDER)
def response_at_edge_db(network: View) -> float:
    """Level at the edge round which the network strays farthest: voltage at the driver over that before the network."""
    _, driver, index, kind = _worst_edge(network)
    return float(_at_edge(driver, index, kind, 0.0)[0][0])


def _worst_edge(network: View) -> tuple[float, View, int, str]:
    edges = [(driver, *edge) for driver in _made(network) for edge in passive_edges(driver)]
    return max(((_stray_db(*edge), *edge) for edge in edges), key=lambda found: found[0])


def _made(network: View) -> list[View]:
    drivers = [driver for driver in network.drivers if passive_edges(driver)]
    if not drivers:
        raise NotDefined("the network makes no edge")
    return drivers


@fact("network", unit="dB", source=LADDER)
def insertion_loss_db(network: View) -> float:
    """What the wire of its coils takes off in the middle of a way's band; of its ways the most."""
    return max(
        -float(physics.spectrum.level_db(solved(driver, physics.spectrum.at_hz(_middle_hz(driver))).transfer)[0])
        for driver in _made(network)
    )


def _middle_hz(driver: View) -> float:
    """Middle of a driver's band on the scale of octaves; open ends reach to what the driver can do."""
    low = driver.low_edge_hz if driver.has_low_edge else driver.plays_down_to_hz
    high = driver.high_edge_hz if driver.has_high_edge else driver.plays_up_to_hz
    return float((low * high) ** 0.5)


def _all_hz() -> Any:
    return physics.spectrum.steps_hz(low_hz=LOWEST_HZ, high_hz=HIGHEST_HZ, count=480)


@fact("network", unit="Ω", source=LADDER, name="lowest_load_ohm")
def network_lowest_load_ohm(network: View) -> float:
    """Lowest impedance the channel sees through the network, 20 Hz to 20 kHz."""
    hz = _all_hz()
    admittance = sum(1 / solved(driver, hz).input_ohm for driver in network.drivers)
    return float((1 / abs(admittance)).min())


@fact("network", unit="Hz", source=LADDER)
def lowest_load_at_hz(network: View) -> float:
    """Frequency at which that lowest impedance lies."""
    hz = _all_hz()
    admittance = sum(1 / solved(driver, hz).input_ohm for driver in network.drivers)
    return float(hz[abs(admittance).argmax()])


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
