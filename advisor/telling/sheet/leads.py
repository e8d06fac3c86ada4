"""Every lead of a job from end to end: what it joins, terminal by terminal, and the text of its label."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.chain.build import Chain
from advisor.chain.ports import fed_by
from advisor.chain.subject import Subject
from advisor.reading.shorthand import Port
from advisor.telling.sheet.cells import EMPTY, NOT_KNOWN, Asker, Cell, words

PLUS, MINUS = "+", "−"
CROSSED, DISTRIBUTION = "crossed", "distribution"


@dataclass(frozen=True)
class Lead:
    """One lead: its label, its ends, what kind it is, and what is known of the cable."""

    label: str
    begins: Cell
    ends: str
    kind: str
    cable: Cell = EMPTY
    length: Cell = EMPTY


def channel_numbers(channel: Subject) -> tuple[int, ...]:
    """Return the outputs of its amplifier that a channel is made of."""
    _, _, numbers = channel.name.rpartition(".")
    return tuple(int(number) for number in numbers.split("+"))


def inputs_of(chain: Chain, channel: Subject) -> list[tuple[Port, int]]:
    """Return what feeds each input behind a channel: the output before it, and the number of the input."""
    amplifier = channel.ties["amplifier"]
    assert isinstance(amplifier, Subject)
    spec = chain.system.devices[amplifier.name].spec
    pairs = [(fed_by(spec, number), number) for number in channel_numbers(channel)]
    return [(port, number) for port, number in pairs if port is not None]


def feeding(chain: Chain, channel: Subject) -> str:
    """Return the outputs that feed a channel, in words."""
    return ", ".join(dict.fromkeys(f"{port.node} {port.port}" for port, _ in inputs_of(chain, channel)))


def used_channels(chain: Chain) -> list[Subject]:
    """Return the channels that drive something, in the order of their amplifiers and numbers."""
    used = [channel for channel in chain.of_kind("channel") if channel.ties["drivers"]]
    order = {amplifier.name: index for index, amplifier in enumerate(chain.of_kind("amplifier"))}
    return sorted(used, key=lambda one: (order[_amplifier(one).name], channel_numbers(one)))


def _amplifier(channel: Subject) -> Subject:
    amplifier = channel.ties["amplifier"]
    assert isinstance(amplifier, Subject)
    return amplifier


def signal_leads(chain: Chain) -> Iterator[Lead]:
    """Yield the leads that carry the signal to the amplifiers' inputs."""
    for link in chain.of_kind("link"):
        sender, receiver, kind = (str(link.own[word]) for word in ("sender", "receiver", "kind"))
        if receiver not in {amplifier.name for amplifier in chain.of_kind("amplifier")}:
            begins = words(f"{sender}, {kind} output")
            yield Lead(f"{sender} > {receiver}", begins, f"{receiver}, {kind} input", kind)
    kinds = {(link.own["sender"], link.own["receiver"]): str(link.own["kind"]) for link in chain.of_kind("link")}
    for channel in used_channels(chain):
        amplifier = _amplifier(channel).name
        for port, number in inputs_of(chain, channel):
            kind = kinds.get((port.node, amplifier), "line")
            begins, ends = words(f"{port.node}, output {port.port}"), f"{amplifier}, input {number}"
            yield Lead(f"{port.node} {port.port} > {amplifier} in {number}", begins, ends, kind)


def remote_leads(ask: Asker, chain: Chain) -> Iterator[Lead]:
    """Yield the leads that switch amplifiers on."""
    for amplifier in chain.of_kind("amplifier"):
        woken, reading = ask.cell(amplifier, "woken_by"), ask.reading(amplifier, "woken_by")
        end = f"{amplifier.name}, remote in"
        if reading is None:
            yield Lead(f"remote > {amplifier.name}", woken, end, "remote")
        elif reading.value != "signal":
            is_device = reading.value in chain.system.devices
            begins = ask.cell(amplifier, "woken_by", "{}, remote out" if is_device else "{}")
            yield Lead(f"{reading.value} remote > {amplifier.name}", begins, end, "remote")


@dataclass(frozen=True)
class Pair:
    """A loudspeaker cable: what each of its two cores joins."""

    label: str
    plus: str
    minus: str
    cable: Cell
    length: Cell
    remarks: Cell


def loudspeaker_pairs(ask: Asker, chain: Chain) -> Iterator[Pair]:
    """Yield the cables from amplifier channels to networks and drivers, core by core."""
    for network in chain.of_kind("network"):
        channel = network.ties.get("channel")
        if isinstance(channel, Subject):
            unknown = f"the cable from {plain(channel)} to {network.name}: a job names those to drivers alone; "
            cell = Cell(NOT_KNOWN, missing=unknown + "no thinner than the thickest behind it")
            plus, minus = terminals(channel)
            yield Pair(f"{plain(channel)} > {network.name}", f"{plus} to {network.name} in {PLUS}",
                       f"{minus} to {network.name} in {MINUS}", cell, cell, words(""))  # fmt: skip
    for driver in chain.of_kind("driver"):
        feeder = driver.ties.get("network") or driver.ties.get("channel")
        if isinstance(feeder, Subject):
            yield _to_driver(ask, chain, driver, feeder)


def _to_driver(ask: Asker, chain: Chain, driver: Subject, feeder: Subject) -> Pair:
    if feeder.kind == "network":
        begin = f"{feeder.name} {_output(chain, driver)}"
        plus, minus = f"{begin} {PLUS}", f"{begin} {MINUS}"
    else:
        begin = plain(feeder)
        plus, minus = terminals(feeder)
    how = ask.reading(driver, "leads")
    crossed = how is not None and str(how.value).startswith(CROSSED)
    ends = (MINUS, PLUS) if crossed else (PLUS, MINUS)
    remark = ask.cell(driver, "leads", "{}, on purpose") if crossed else words("")
    cable, length = _cable(ask, driver)
    return Pair(f"{begin} > {driver.name}", f"{plus} to {driver.name} {ends[0]}",
                f"{minus} to {driver.name} {ends[1]}", cable, length,
                ask.joined([remark, ask.cell(driver, "wiring_words")], "; "))  # fmt: skip


def _cable(ask: Asker, driver: Subject) -> tuple[Cell, Cell]:
    cable = driver.ties.get("cable")
    if not isinstance(cable, Subject):
        missing = f"{driver.name}: speaker_cable is not given; say its section and length"
        return Cell(NOT_KNOWN, missing=missing), Cell(NOT_KNOWN, missing=missing)
    return ask.cell(cable, "section_mm2"), ask.cell(cable, "length_m")


def _output(chain: Chain, driver: Subject) -> str:
    for way in chain.of_kind("way"):
        drivers = way.ties["drivers"]
        if isinstance(drivers, tuple) and driver in drivers:
            feed = getattr(way.specs["spec"], "from_", None)
            return str(feed.ports[0].port) if feed else ""
    return ""


def terminals(channel: Subject) -> tuple[str, str]:
    """Return the plus and minus terminal of a channel in words."""
    name, numbers = _amplifier(channel).name, channel_numbers(channel)
    if channel.own["bridged"]:
        first, second = numbers
        return f"{name} {first}+{second} bridge {PLUS}", f"{name} {first}+{second} bridge {MINUS}"
    return f"{name} {numbers[0]} {PLUS}", f"{name} {numbers[0]} {MINUS}"


def plain(channel: Subject) -> str:
    """Return a channel as a label says it."""
    return f"{_amplifier(channel).name} {'+'.join(str(number) for number in channel_numbers(channel))}"


def supply_leads(ask: Asker, chain: Chain) -> Iterator[Lead]:
    """Yield the leads of the supply: to the fuse, to the distribution, to each amplifier, and back."""
    for supply in chain.of_kind("supply"):
        section, length = ask.cell(supply, "section_mm2"), ask.cell(supply, "plus_m")
        used = [one for one in chain.of_kind("amplifier") if getattr(ask.reading(one, "is_in_use"), "value", False)]
        shared = len(used) > 1
        hub = DISTRIBUTION if shared or not used else used[0].name
        to_fuse = ask.cell(supply, "fuse_from_battery_m")
        yield _lead("battery > main fuse", f"battery {PLUS}", "main fuse", section, to_fuse)
        yield _lead(f"main fuse > {hub} {PLUS}", "main fuse", f"{hub} {PLUS}", section, length)
        back = ask.reading(supply, "comes_back_by")
        body = back is not None and back.value == "body"
        end = "body beside the amplifiers, bare metal" if body else f"battery {MINUS}"
        yield _lead(f"{hub} {MINUS} > {'body' if body else 'battery'}", f"{hub} {MINUS}", end, section, EMPTY)
        for amplifier in used if shared else []:
            cable = ask.cell(amplifier, "branch_mm2"), ask.cell(amplifier, "branch_m")
            plus, minus = f"{amplifier.name} {PLUS}", f"{amplifier.name} {MINUS}"
            yield _lead(f"{DISTRIBUTION} > {plus}", f"{DISTRIBUTION}, fuse {amplifier.name}", plus, *cable)
            yield _lead(f"{minus} > {DISTRIBUTION}", minus, f"{DISTRIBUTION} {MINUS}", *cable)


def _lead(label: str, begins: str, ends: str, cable: Cell, length: Cell) -> Lead:
    return Lead(label, words(begins), ends, "", cable, length)
