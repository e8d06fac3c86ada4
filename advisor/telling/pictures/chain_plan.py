"""What the picture of a chain has to show: a box for each device and way, a wire for each link and channel."""

from __future__ import annotations

from advisor.chain.build import Chain
from advisor.chain.ports import outputs_of
from advisor.chain.subject import Subject
from advisor.reading.job import DEVICES
from advisor.reading.parts import Driver, Part
from advisor.reading.shorthand import Port
from advisor.reading.system import PlacedDevice, PlacedWay
from advisor.telling.pictures.canvas import fitted, width_of
from advisor.telling.pictures.layout import Box, Wire

NAME, SMALL = 9.0, 8.0
"""Sizes of text [pt]."""

BETWEEN_CHANNELS, BETWEEN_LINKS = 12.0, 23.0
"""Distances between wires that enter one box [pt]; links carry words above and below."""

DEVICE_ROOM, WAY_ROOM = 96.0, 150.0
"""The widest that text may get [pt]; what is longer is cut short."""


class Plan:
    """The boxes and wires of a chain, not yet placed."""

    def __init__(self, chain: Chain) -> None:
        self.chain, self.system = chain, chain.system
        self.wires: list[Wire] = []
        self.columns: dict[str, tuple[int, int]] = {}
        self.devices = {name: self.device(device) for name, device in self.system.devices.items()}
        for device in self.system.devices.values():
            self.feed_device(device)
        drivers = chain.of_kind("driver")
        self.drivers = {way: [d for d in drivers if d.specs["way"] is w.spec] for way, w in self.system.ways.items()}
        self.ways = {way.name: self.way(way) for way in sorted(self.system.ways.values(), key=self.rank)}
        self.boxes = [*self.devices.values(), *self.ways.values()]

    def column(self, name: str) -> tuple[int, int]:
        """Return the column of a device: that of its kind, unless what feeds it already stands there or beyond."""
        if name not in self.columns:
            device = self.system.devices[name]
            kind = DEVICES.index(device.kind)
            feeders = [self.column(port.node) for port in ports_of(device)]
            furthest = max(feeders, default=(-1, 0))
            self.columns[name] = (kind, 0) if furthest < (kind, 0) else (furthest[0], furthest[1] + 1)
        return self.columns[name]

    def rank(self, way: PlacedWay) -> tuple[int, ...]:
        """Order ways as what feeds them stands, highest output of a network first; those nothing feeds come last."""
        ports = ports_of(way)
        if not ports or not self.is_fed(way):
            return (len(self.system.devices), 0, 0)
        port, band = ports[0], 0
        device = self.system.devices[port.node]
        if device.kind == "network":
            band = -outputs_of(device).index(str(port.port))
            port = (ports_of(device) or [port])[0]
        return (list(self.system.devices).index(port.node), *(port.channels or (0,))[:1], band)

    def is_fed(self, way: PlacedWay) -> bool:
        """Tell whether anything feeds a driver of the way; where no chain is given nobody can say it is not so."""
        return not self.system.devices or any(driver.own["is_fed"] for driver in self.drivers[way.name])

    def device(self, device: PlacedDevice) -> Box:
        """Return the box of a device."""
        texts = [device.name, code_of(device.code, device.part)]
        if device.kind == "network":
            texts = [device.name, "made for the job" if device.part is None else texts[1], "passive"]
        dotted = device.kind != "source" and not ports_of(device)
        look = "network" if device.kind == "network" else "device"
        return _box(device.kind, self.column(device.name), texts, DEVICE_ROOM, look, dotted)

    def feed_device(self, device: PlacedDevice) -> None:
        """Draw one wire for each link to a device, one for each channel to a network."""
        box, ports = self.devices[device.name], ports_of(device)
        if device.kind == "network":
            box.ins_height = len(ports) * BETWEEN_CHANNELS
            for index, port in enumerate(ports):
                self.connect(port, box, _place(index, len(ports)))
            return
        senders = list(dict.fromkeys(port.node for port in ports))
        box.ins_height = len(senders) * BETWEEN_LINKS
        for index, sender in enumerate(senders):
            kind = link_between(self.chain, sender, device.name).own["kind"]
            numbers = in_ranges([n for port in ports if port.node == sender for n in port.channels])
            labels = tuple(text for text in (kind, numbers) if text)
            wire = Wire(self.devices[sender], "", box, labels, place=_place(index, len(senders), BETWEEN_LINKS))
            wire.label_width = max(width_of(text, SMALL) for text in labels) + 6
            self.wires.append(wire)

    def way(self, way: PlacedWay) -> Box:
        """Return the box of a way, with the channels that feed it."""
        sides = self.drivers[way.name]
        both = " left + right" if len(sides) == 2 else ""
        name = fitted(way.name, NAME, WAY_ROOM - width_of(both, NAME, bold=True), bold=True) + both
        count = f"{way.spec.count} × " if way.spec.count > 1 else ""
        texts = [name, band_of(way), count + code_of(way.code, way.part)]
        box = _box("drivers", (len(DEVICES), 0), texts, WAY_ROOM, "way", not self.is_fed(way))
        ports = ports_of(way)
        if ports and self.system.devices[ports[0].node].kind == "network":
            ports = ports * len(sides)
        taken = ports[: len(sides)]  # the chain takes no more than one for each side
        for index, port in enumerate(taken):
            self.connect(port, box, _place(index, len(taken)))
        return box

    def connect(self, port: Port, receiver: Box, place: float) -> None:
        """Draw one channel from its output to a network or way."""
        sender, out = self.devices[port.node], str(port.port or "")
        if out and out not in sender.outs:
            sender.outs.append(out)
            sender.out_width = max(sender.out_width, width_of(out, SMALL))
        passive = self.system.devices[port.node].kind == "network"
        self.wires.append(Wire(sender, out, receiver, passive=passive, place=place))


def _box(heading: str, column: tuple[int, int], texts: list[str], room: float, look: str, dotted: bool) -> Box:
    if dotted:
        texts, look = [*texts, "not fed"], "not fed"
    texts = [fitted(texts[0], NAME, room, bold=True), *(fitted(text, SMALL, room) for text in texts[1:])]
    widths = [width_of(texts[0], NAME, bold=True), *(width_of(text, SMALL) for text in texts[1:])]
    return Box(heading, column, texts, max(widths), look)


def _place(index: int, count: int, apart: float = BETWEEN_CHANNELS) -> float:
    return (index - (count - 1) / 2) * apart


def ports_of(thing: PlacedDevice | PlacedWay) -> list[Port]:
    """Return what feeds a device or way."""
    return list(thing.spec.from_.ports) if thing.spec.from_ else []


def code_of(code: str, part: Part | None) -> str:
    """Return the code of a part; one written in the job has none and goes by its title, or its size."""
    return code if part is None or code != "written in place" else title_of(part) or code


def title_of(part: Part) -> str:
    """Return what a part is called; a driver without a title goes by its size."""
    if part.title or not isinstance(part, Driver):
        return part.title
    return f"{part.size_mm:g} mm" if part.size_mm else f"{part.size_in:g} in" if part.size_in else ""


def band_of(way: PlacedWay) -> str:
    """Write the band a way is to play."""
    return " – ".join(map(str, way.spec.plays)) if way.spec.plays else "band not said"


def link_between(chain: Chain, sender: str, receiver: str) -> Subject:
    """Return the link between two devices."""
    return next(s for s in chain.of_kind("link") if (s.own["sender"], s.own["receiver"]) == (sender, receiver))


def in_ranges(numbers: list[int]) -> str:
    """Write numbers of outputs, three or more in a row as a range.

    >>> in_ranges([1, 2, 3, 4, 7]), in_ranges([5, 6])
    ('1–4, 7', '5, 6')
    """
    rows: list[list[int]] = []
    for number in sorted(set(numbers)):
        if rows and number == rows[-1][-1] + 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(map(str, row)) for row in rows)
