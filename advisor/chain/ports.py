"""Which output of which device feeds which input: the feeds of a job, checked and followed."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

from advisor.errors import Fault, did_you_mean
from advisor.reading.job import BANDS, Device, Way
from advisor.reading.origin import Origin
from advisor.reading.parts import Amplifier, Bank, Network
from advisor.reading.shorthand import Port
from advisor.reading.system import PlacedDevice, System


def feed_origin(spec: Device | Way) -> Origin:
    """Return where `from:` was written."""
    assert spec.origin is not None
    return spec.origin.child("from") or spec.origin


def check_feeds(system: System, faults: list[Fault]) -> None:
    """Note as faults what feeds name that is not there, and circles."""
    takers: list[tuple[str, Device | Way]] = [(name, device.spec) for name, device in system.devices.items()]
    takers += [(f"way {name}", way.spec) for name, way in system.ways.items()]
    feeds: dict[str, list[str]] = {}
    for taker, spec in takers:
        for port in spec.from_.ports if spec.from_ else ():
            fault = _refusal(system, port, isinstance(spec, Way))
            if fault:
                faults.append(feed_origin(spec).fault(*fault))
            else:
                feeds.setdefault(taker, []).append(port.node)
    for device in filter(lambda device: device.spec.pad_db, system.devices.values()):
        _refuse_pads(device, _outputs_taken(system, device.name), faults)
    try:
        TopologicalSorter(feeds).prepare()
    except CycleError as error:
        circle = error.args[1]
        where = feed_origin(system.devices[circle[0]].spec)
        what = f"the chain runs in a circle: {' > '.join(circle)}"
        faults.append(where.fault(what, "a device cannot feed itself"))


def _refusal(system: System, port: Port, to_way: bool) -> tuple[str, str] | None:
    device = system.devices.get(port.node)
    if device is None:
        hint = did_you_mean(port.node, system.devices) or f"the chain has {', '.join(system.devices) or 'no devices'}"
        return f"the chain has no '{port.node}'", hint
    if port.channels and min(port.channels) < 1:
        return f"'{port}' counts outputs from 0", "the first output is 1"
    if device.kind == "network":
        return _network_refusal(device, port)
    if port.port is not None and not port.channels:
        return f"'{port}' names an output; its outputs are numbered", f"write {port.node}.1"
    if port.bridged and (device.kind != "amplifier" or port.channels[0] == port.channels[1]):
        return f"'{port}' bridges what cannot be bridged", "two different channels of one amplifier can"
    if to_way and device.kind == "amplifier" and port.port is None:
        return f"'{port}' is a whole amplifier", f"say which channel: {port.node}.1"
    if to_way and device.kind in ("processor", "interface"):
        return f"'{port}' is no speaker-level output", "a way is fed by an amplifier, a network or a source"
    return None


def _network_refusal(device: PlacedDevice, port: Port) -> tuple[str, str] | None:
    known = outputs_of(device)
    if port.port in known:
        return None
    wanted = f"write one of {', '.join(f'{port.node}.{name}' for name in known)}"
    return f"the network has no output '{port}'", wanted


def _outputs_taken(system: System, name: str) -> set[str | None]:
    """Return the outputs of a device that ways are fed from."""
    feeds = [way.spec.from_ for way in system.ways.values() if way.spec.from_]
    return {port.port for feed in feeds for port in feed.ports if port.node == name}


def _refuse_pads(device: PlacedDevice, taken: set[str | None], faults: list[Fault]) -> None:
    """Add a fault for each pad that nobody can make."""
    origin = device.spec.origin
    for output in device.spec.pad_db if origin else ():
        assert origin
        at = origin.down(("pad_db", output))[0]
        if device.kind != "network":
            fault = ("only a passive network has pads", "an active way is turned down in the processor")
        elif device.part is not None:
            fault = ("a ready-made network has the pad it was bought with", "pad_db is for `network: auto`")
        elif output not in BANDS:
            fault = (f"the network has no output '{output}' to turn down", did_you_mean(output, BANDS))
            fault = (fault[0], fault[1] or f"its outputs are {', '.join(BANDS)}")
        elif output not in taken:
            fault = (f"nothing is fed from {device.name}.{output}, so there is nothing to turn down", "")
        else:
            continue
        faults.append(at.fault(*fault, at_key=True))


def outputs_of(device: PlacedDevice) -> tuple[str, ...]:
    """Return the outputs of a network, from the lowest band up."""
    return device.part.outputs if isinstance(device.part, Network) else BANDS


def bank_of(amplifier: Amplifier, number: int) -> Bank | None:
    """Return the bank that holds a channel; None where the amplifier has not so many."""
    for bank in amplifier.banks:
        if number <= bank.channels:
            return bank
        number -= bank.channels
    return None


def fed_by(spec: Device, number: int) -> Port | None:
    """Return what feeds the n-th input of a device: the n-th port listed, or the only one for all."""
    ports = spec.from_.ports if spec.from_ else ()
    if not ports:
        return None
    if len(ports) == 1:
        only = ports[0]
        return only if only.port is not None else Port(only.node, str(number))
    return ports[number - 1] if number <= len(ports) else None


def upstream(system: System, node: str, kind: str, steps: int = 16) -> PlacedDevice | None:
    """Return the nearest device of a kind that a device is fed through, itself included."""
    device = system.devices.get(node)
    while device is not None and steps:
        if device.kind == kind:
            return device
        ports = device.spec.from_.ports if device.spec.from_ else ()
        device = system.devices.get(ports[0].node) if ports else None
        steps -= 1
    return None
