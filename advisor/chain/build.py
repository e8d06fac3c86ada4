"""Builds the chain: the graph of subjects from source to every driver, sides expanded."""

from __future__ import annotations

import functools
from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from advisor.chain.crossings import pairs
from advisor.chain.kinds import KINDS
from advisor.chain.orders import items, tasks
from advisor.chain.ports import bank_of, check_feeds, fed_by, feed_origin, outputs_of, upstream
from advisor.chain.subject import Subject
from advisor.errors import Fault, InputError
from advisor.reading.job import Device, Way
from advisor.reading.origin import Origin
from advisor.reading.parts import Amplifier
from advisor.reading.quantities import Side
from advisor.reading.shorthand import Port
from advisor.reading.system import Placed, PlacedDevice, PlacedWay, System

if TYPE_CHECKING:
    import networkx as nx


@dataclass(frozen=True)
class Chain:
    """The subjects of a job in the order they are told of, and the wires of the signal between them."""

    system: System
    subjects: tuple[Subject, ...]
    wires: tuple[tuple[tuple[str, str], tuple[str, str]], ...]
    """From whom to whom the signal goes, by the keys of subjects."""

    @property
    def graph(self) -> nx.DiGraph:
        """The signal as a graph of all that takes part in it; this loads the library of graphs."""
        import networkx as nx

        carriers = ("source", "interface", "processor", "amplifier", "channel", "network", "driver")
        graph = nx.DiGraph()
        graph.add_nodes_from(subject.key for subject in self.subjects if subject.kind in carriers)
        graph.add_edges_from(self.wires)
        return graph

    def let_go(self) -> None:
        """Untie its subjects: who is done with it need not wait until circles of objects are looked for."""
        for subject in self.subjects:
            subject.ties.clear()

    def of_kind(self, kind: str) -> list[Subject]:
        """Return the subjects of one kind."""
        return list(self._by_kind.get(kind, ()))

    @functools.cached_property
    def _by_kind(self) -> dict[str, list[Subject]]:
        found: dict[str, list[Subject]] = {}
        for subject in self.subjects:
            found.setdefault(subject.kind, []).append(subject)
        return found


def build_chain(system: System, today: date | None = None) -> Chain:
    """Return the chain of a job; waivers count their days from `today`, the day it is unless said otherwise.

    Raises InputError where the chain names what does not exist, runs in a circle or uses one name twice. What can
    be built but should not be (a driver nothing feeds, a channel used twice) is left to the rules.
    """
    faults: list[Fault] = []
    check_feeds(system, faults)
    if faults:
        raise InputError(faults)
    return _Builder(system, today or date.today()).build()


def sided(name: str, side: Side | None) -> str:
    """Return the name of one side of something: `midwoof left`."""
    return f"{name} {side}" if side else name


class _Builder:
    def __init__(self, system: System, today: date) -> None:
        self.system, self.today = system, today
        self.found: dict[tuple[str, str], Subject] = {}
        self.by_kind: dict[str, list[Subject]] = {}
        self.wires: dict[tuple[tuple[str, str], tuple[str, str]], None] = {}
        job = system.job
        specs: dict[str, Any] = {"spec": job, "customer": job.customer, "shop": system.shop}
        specs |= {"vehicle": system.vehicle, "cabin": system.vehicle.cabin, "electrics": system.vehicle.electrics}
        self.job = self.add(Subject("job", "job", job.origin, specs, own={"has_chain": bool(system.devices)}))

    def add(self, subject: Subject) -> Subject:
        if subject.key in self.found:
            other = self.found[subject.key]
            assert subject.origin and other.origin
            what = f"'{subject.name}' is also the name of what stands at {other.origin.place}"
            raise InputError([subject.origin.fault(what, "give one of them another name", at_key=True)])
        self.found[subject.key] = subject
        self.by_kind.setdefault(subject.kind, []).append(subject)
        return subject

    def build(self) -> Chain:
        for device in self.system.devices.values():
            if device.kind != "network":
                self.device(device)
        for device in self.system.devices.values():
            if device.kind == "network":
                self.network(device)
        for way in self.system.ways.values():
            self.way(way)
        drivers = self.of_kind("driver")
        for lower, upper in pairs(drivers):
            self.crossing(lower, upper)
        self.links()
        self.supply_and_seats()
        self.orders()
        for tie, kinds in KINDS["job"].ties.items():
            self.job.ties[tie] = tuple(self.of_kind(kinds[0]))
        for channel in self.of_kind("channel"):
            served = [driver for driver in drivers if driver.ties.get("channel") is channel]
            channel.ties["drivers"] = tuple(served)
            channel.own["ways"] = tuple(dict.fromkeys(_feeder_name(driver) for driver in served))
        self.tie_devices(drivers)
        return Chain(self.system, tuple(self.found.values()), tuple(self.wires))

    def tie_devices(self, drivers: list[Subject]) -> None:
        """Tell devices what hangs on them and what feeds them."""
        for network in self.of_kind("network"):
            network.ties["drivers"] = tuple(d for d in drivers if d.ties.get("network") is network)
        for amplifier in self.of_kind("amplifier"):
            channels = [c for c in self.of_kind("channel") if c.ties["amplifier"] is amplifier]
            amplifier.ties["channels"] = tuple(sorted(channels, key=lambda c: int(c.own["number"])))
        for kind in ("interface", "processor", "amplifier"):
            for device in self.of_kind(kind):
                device.ties["links"] = tuple(k for k in self.of_kind("link") if k.own["receiver"] == device.name)

    def of_kind(self, kind: str) -> list[Subject]:
        return self.by_kind.get(kind, [])

    def orders(self) -> None:
        """Add what has to be bought and done."""
        for item in items(tuple(self.found.values()), self.job):
            self.add(item)
        for task in tasks(self.of_kind("way"), self.job):
            self.add(task)

    def device(self, device: PlacedDevice) -> None:
        specs: dict[str, Any] = {"spec": device.spec, "part": device.part}
        subject = self.add(Subject(device.kind, device.name, device.spec.origin, specs, {"job": self.job}))
        self.locate(subject, device.at, None)
        if device.kind == "processor":
            subject.own["taken"] = self.outputs_taken(device.name)

    def outputs_taken(self, processor: str) -> tuple[int, ...]:
        """Every output of a processor as often as something asks for it."""
        taken: list[int] = []
        for device in self.system.devices.values():
            ports = device.spec.from_.ports if device.spec.from_ else ()
            if device.kind == "amplifier" and len(ports) == 1 and ports[0] == Port(processor):
                assert isinstance(device.part, Amplifier)
                taken += range(1, sum(bank.channels for bank in device.part.banks) + 1)
            taken += [number for port in ports if port.node == processor for number in port.channels]
        return tuple(taken)

    def locate(self, subject: Subject, at: Placed | None, side: Side | None) -> None:
        """Tie a subject to the place it is mounted in, on its side where the place has two."""
        if at is None:
            return
        side = side if side in at.location.sides else at.location.sides[0] if side is None else None
        name = sided(at.name, side)
        location = self.found.get(("location", name))
        if location is None:
            location = Subject("location", name, at.location.origin, {"spec": at.location}, {"job": self.job})
            location.own |= {"side": side or "", "holds": ()}
            self.add(location)
        elif location.specs["spec"] is not at.location:
            assert at.location.origin and location.origin
            what = f"the place '{at.name}' and the one at {location.origin.place} are both called {name}"
            raise InputError([at.location.origin.fault(what, "give one of them another name", at_key=True)])
        if not getattr(subject.specs.get("part"), "factory", False):  # what is there already takes nothing away
            location.own["holds"] = (*location.own["holds"], subject.name)
        subject.ties["location"] = location

    def channel(self, port: Port, amplifier: Subject) -> Subject:
        """Return the subject of one amplifier channel, or of two that are bridged."""
        name = str(port)
        known = self.found.get(("channel", name))
        if known:
            return known
        part = amplifier.specs["part"]
        assert isinstance(part, Amplifier)
        banks = [bank_of(part, number) for number in port.channels]
        subject = Subject("channel", name, amplifier.origin, {}, {"amplifier": amplifier, "job": self.job})
        if banks[0] is not None and all(bank is not None for bank in banks):
            subject.specs["bank"] = banks[0]
        subject.own |= {
            "number": max(port.channels),
            "channels_there": sum(bank.channels for bank in part.banks),
            "bridged": port.bridged,
            "ways": (),
            "makers": self.makers(amplifier.name, part, port),
        }
        self.add(subject)
        self.wires[amplifier.key, subject.key] = None
        return subject

    def makers(self, name: str, part: Amplifier, port: Port) -> tuple[str, ...]:
        """What can make an active edge for a channel: the processor before it, the amplifier's own filters."""
        bank = bank_of(part, port.channels[0])
        fed = fed_by(self.system.devices[name].spec, port.channels[0])
        made: list[str] = []
        if fed and upstream(self.system, fed.node, "processor"):
            made += ["processor high-pass", "processor low-pass"]
        return tuple(made + [f"amplifier {name}" for name in (bank.filters if bank else ())])

    def network(self, device: PlacedDevice) -> None:
        ports = device.spec.from_.ports if device.spec.from_ else ()
        takers = [
            way for way in self.system.ways.values() if way.spec.from_ and way.spec.from_.ports[0].node == device.name
        ]
        sides: tuple[Side | None, ...] = ("left", "right") if any(_sides(way)[0] for way in takers) else (None,)
        for index, side in enumerate(sides):
            specs: dict[str, Any] = {"spec": device.spec} | ({"part": device.part} if device.part else {})
            subject = self.add(Subject("network", sided(device.name, side), device.spec.origin, specs))
            subject.own |= {"side": side or "", "sides_fed": len(ports), "sides_served": len(sides)}
            self.locate(subject, device.at, side)
            if ports:
                self.tie_channel(subject, ports[index] if index < len(ports) else ports[0])
            if channel := subject.ties.get("channel"):
                assert isinstance(channel, Subject)
                self.wires[channel.key, subject.key] = None

    def tie_channel(self, subject: Subject, port: Port) -> None:
        device = self.system.devices[port.node]
        if device.kind == "amplifier" and port.channels:
            amplifier = self.found["amplifier", port.node]
            subject.ties |= {"channel": self.channel(port, amplifier), "amplifier": amplifier}
        elif device.kind == "source":
            subject.own["source"] = port.node

    def way(self, way: PlacedWay) -> None:
        sides = _sides(way)
        drivers = tuple(self.driver(way, side, index) for index, side in enumerate(sides))
        specs: dict[str, Any] = {"spec": way.spec, "part": way.part}
        self.add(Subject("way", way.name, way.spec.origin, specs, {"drivers": drivers}))

    def driver(self, way: PlacedWay, side: Side | None, index: int) -> Subject:
        specs: dict[str, Any] = {"way": way.spec, "part": way.part} | ({"box": way.box} if way.box else {})
        subject = self.add(Subject("driver", sided(way.name, side), way.spec.origin, specs, {"job": self.job}))
        self.locate(subject, way.at, side)
        reach = way.at.location.reach(side) if way.at else None
        if reach:
            subject.specs["reach"] = reach
        subject.own |= {"side": side or "", "is_fed": False}
        subject.own["first_seat"] = self.system.seats[0].name if self.system.seats else ""
        ports = way.spec.from_.ports if way.spec.from_ else ()
        if ports:
            self.feed(subject, ports[index] if index < len(ports) else ports[0])
        self.name_edge_makers(subject, way, ports)
        if way.spec.speaker_cable:
            run: dict[str, Any] = {"spec": way.spec.speaker_cable} | ({"part": way.cable} if way.cable else {})
            ties: dict[str, Subject | tuple[Subject, ...]] = {"driver": subject, "job": self.job}
            cable = Subject("cable", f"{subject.name} cable", way.spec.speaker_cable.origin, run, ties)
            subject.ties["cable"] = self.add(cable)
        return subject

    def feed(self, driver: Subject, port: Port) -> None:
        device = self.system.devices[port.node]
        if device.kind == "network":
            side = driver.own["side"] or None
            network = self.found.get(("network", sided(device.name, side)))
            if network is None:  # one driver on a network that serves both sides: which of them would it hang on
                way = driver.specs["way"]
                assert isinstance(way, Way)
                what = f"the network '{device.name}' serves left and right, {driver.name} is a single driver"
                raise InputError(
                    [feed_origin(way).fault(what, "give it a place with two sides, or a network of its own")]
                )
            driver.ties["network"] = network
            driver.ties |= {tie: network.ties[tie] for tie in ("channel", "amplifier") if tie in network.ties}
            driver.own["is_fed"] = "channel" in network.ties or "source" in network.own
            self.wires[network.key, driver.key] = None
            return
        self.tie_channel(driver, port)
        driver.own["is_fed"] = True
        if channel := driver.ties.get("channel"):
            assert isinstance(channel, Subject)
            self.wires[channel.key, driver.key] = None

    def name_edge_makers(self, driver: Subject, way: PlacedWay, ports: tuple[Port, ...]) -> None:
        """Say what makes each edge of a driver's band: a passive network, a filter before the channel, or nothing."""
        channel = driver.ties.get("channel")
        makers = channel.own["makers"] if isinstance(channel, Subject) else ()
        passive = _passive_edges(self.system, way, ports)
        for which, filter_name in (("low", "high-pass"), ("high", "low-pass")):
            able = [maker.split()[0] for maker in makers if maker.endswith(filter_name)]
            driver.own[f"{which}_edge_maker"] = "network" if which in passive else (able[0] if able else "nothing")

    def crossing(self, lower: Subject, upper: Subject) -> None:
        side = upper.own["side"] or lower.own["side"]
        low_name, high_name = (_bare(driver) for driver in (lower, upper))
        network, channel = lower.ties.get("network"), lower.ties.get("channel")
        subject = Subject("crossing", sided(f"{low_name}/{high_name}", side or None), lower.origin)
        subject.ties |= {"lower": lower, "upper": upper, "job": self.job}
        subject.own |= {
            "side": side,
            "passive": network is not None and network is upper.ties.get("network"),
            "one_channel": channel is not None and channel is upper.ties.get("channel"),
        }
        self.add(subject)

    def links(self) -> None:
        for receiver in self.system.devices.values():
            ports = receiver.spec.from_.ports if receiver.spec.from_ else ()
            for sender, count in Counter(port.node for port in ports).items():
                self.link(self.system.devices[sender], receiver, count)

    def link(self, sender: PlacedDevice, receiver: PlacedDevice, count: int) -> None:
        self.wires[(sender.kind, sender.name), (receiver.kind, receiver.name)] = None
        if receiver.kind == "network":
            return
        offers: dict[str, Any] = (
            {"speaker": None} if sender.kind == "amplifier" else dict(getattr(sender.part, "outputs", {}))
        )
        takes: dict[str, Any] = dict(getattr(receiver.part, "inputs", {}))
        kind = receiver.spec.over or _shared_kind(offers, takes)
        subject = Subject("link", f"{sender.name} > {receiver.name}", _feed_place(receiver.spec), {}, {"job": self.job})
        subject.own |= {"kind": kind, "offered": tuple(offers), "taken": tuple(takes)}
        subject.own |= {"sender": sender.name, "receiver": receiver.name}
        subject.own["places_apart"] = bool(sender.at and receiver.at and sender.at.name != receiver.at.name)
        if offers.get(kind):
            subject.specs["offer"] = offers[kind]
        if takes.get(kind):
            subject.specs["take"] = takes[kind]
        self.add(subject)

    def supply_and_seats(self) -> None:
        supply = self.system.job.supply
        if supply:
            specs: dict[str, Any] = {"spec": supply}
            if self.system.supply_cable:
                specs["part"] = self.system.supply_cable
            self.add(Subject("supply", "supply", supply.origin, specs, {"job": self.job}))
        if self.system.vehicle_known:
            cabin = self.system.vehicle.cabin
            place = cabin.origin or self.system.vehicle.origin
            self.add(Subject("cabin", "cabin", place, {"spec": cabin}, {"job": self.job}))
        for index, seat in enumerate(self.system.seats):
            own = {"called": seat.name, "is_first": index == 0}
            self.add(Subject("seat", f"seat {seat.name}", seat.origin, {"spec": seat}, {"job": self.job}, own))
        for code, part in self.system.extras.items():
            count = self.system.job.extras[code]
            place = self.system.job.origin.down(("extras", code))[0] if self.system.job.origin else None
            self.add(Subject("extra", f"extra {code}", place, {"part": part}, own={"count": count}))
        for index, waiver in enumerate(self.system.job.waive):
            name = f"waiver {index + 1}"
            self.add(Subject("waiver", name, waiver.origin, {"spec": waiver}, own={"today": self.today}))


def _sides(way: PlacedWay) -> tuple[Side | None, ...]:
    """Which sides a way stands for: those of its place; with no place, two where two ports feed it."""
    if way.at:
        return way.at.location.sides
    ports = way.spec.from_.ports if way.spec.from_ else ()
    return ("left", "right") if len(ports) == 2 else (None,)


def _passive_edges(system: System, way: PlacedWay, ports: tuple[Port, ...]) -> set[str]:
    """Which edges of a way are made by a network: those towards another way that the same network feeds."""
    if not ports or system.devices[ports[0].node].kind != "network":
        return set()
    name, mine = ports[0].node, ports[0].port
    taken = {p.port for w in system.ways.values() if w.spec.from_ for p in w.spec.from_.ports if p.node == name}
    outputs = [output for output in outputs_of(system.devices[name]) if output in taken]
    place = outputs.index(str(mine))
    return ({"low"} if place > 0 else set()) | ({"high"} if place < len(outputs) - 1 else set())


def _shared_kind(offers: dict[str, Any], takes: dict[str, Any]) -> str:
    """The kind of link meant where none was written: the first that both ends have."""
    return next((kind for kind in offers if kind in takes), next(iter(offers), "line"))


def _feeder_name(driver: Subject) -> str:
    network = driver.ties.get("network")
    return network.name if isinstance(network, Subject) else _bare(driver)


def _bare(driver: Subject) -> str:
    side = driver.own["side"]
    return driver.name.removesuffix(f" {side}") if side else driver.name


def _feed_place(spec: Device) -> Origin | None:
    return spec.origin.child("from") if spec.origin else None
