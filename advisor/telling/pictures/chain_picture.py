"""The chain as a picture: from source to drivers, every channel a line."""

from __future__ import annotations

from matplotlib.axes import Axes

from advisor.chain.build import Chain
from advisor.judging.formats import listed
from advisor.reading.shorthand import FAMILIES
from advisor.reading.system import PlacedDevice, PlacedWay
from advisor.telling.pictures.canvas import (
    FILL,
    INK,
    PAPER,
    SOFT,
    Picture,
    Point,
    area,
    clean,
    corners,
    draw,
    line,
    width_of,
    write,
)
from advisor.telling.pictures.chain_plan import NAME, SMALL, Plan, band_of, code_of, in_ranges, link_between, ports_of
from advisor.telling.pictures.layout import PAD, ROW, Box, arrange

MARGIN, TOP, LEAST_WIDTH = 8.0, 24.0, 430.0
ABREAST = 3
"""Drivers side by side where there is no chain to draw."""

SAMPLE = 22.0
LINK, CHANNEL, PASSIVE, NOT_FED = "link", "channel", "passive", "not fed"
LEGEND = {
    LINK: "link between devices",
    CHANNEL: "one channel",
    PASSIVE: "one channel, after a passive network",
    NOT_FED: "nothing feeds it",
}
DASHED, DOTTED = (0, (4, 2)), (0, (1, 1.5))
STROKES = {LINK: (2.0, "-"), CHANNEL: (1.0, "-"), PASSIVE: (1.0, DASHED), NOT_FED: (1.3, DOTTED)}


def chain_picture(chain: Chain) -> Picture:
    """Return the picture of a job's chain."""
    plan = Plan(chain)
    if chain.system.devices:
        width, bottom = arrange(plan.boxes, plan.wires, TOP, LEAST_WIDTH)
    else:
        width, bottom = _side_by_side(plan.boxes)
    legend = _legend(plan, max(width, LEAST_WIDTH))
    size = (max(width, LEAST_WIDTH) + 2 * MARGIN, bottom + MARGIN + (legend[-1][0][1] + ROW + 4 if legend else 0.0))
    alt = _in_words(chain, plan)
    svg = draw("chain", size, alt, lambda axes: _paint(axes, plan, legend, bottom + ROW))
    return Picture("chain", svg, alt, _caption(chain))


def _side_by_side(boxes: list[Box]) -> Point:
    width = max(box.width for box in boxes)
    height = max(box.height for box in boxes)
    for index, box in enumerate(boxes):
        box.text_width += width - box.width
        box.x = index % ABREAST * (width + 2 * PAD)
        box.y = TOP + height / 2 + index // ABREAST * (height + 2 * PAD)
    across = min(len(boxes), ABREAST)
    return across * (width + 2 * PAD) - 2 * PAD, max(box.y + box.height / 2 for box in boxes)


def _strokes(plan: Plan) -> list[str]:
    """Return the kinds of stroke that occur."""
    found = {LINK if wire.labels else PASSIVE if wire.passive else CHANNEL for wire in plan.wires}
    found |= {NOT_FED for box in plan.boxes if box.look == "not fed"}
    return [stroke for stroke in LEGEND if stroke in found]


def _legend(plan: Plan, width: float) -> list[tuple[Point, str]]:
    """Return where each entry of the legend stands below the picture, on as many lines as it takes."""
    x, y, placed = 0.0, ROW, []
    for stroke in _strokes(plan):
        wide = SAMPLE + 5 + width_of(LEGEND[stroke], SMALL)
        if x and x + wide > width:
            x, y = 0.0, y + ROW + 2
        placed.append(((x, y), stroke))
        x += wide + 16
    return placed


def _paint(axes: Axes, plan: Plan, legend: list[tuple[Point, str]], below: float) -> None:
    headed: set[tuple[int, int]] = set()
    for box in plan.boxes:
        if box.column not in headed:
            headed.add(box.column)
            write(axes, (MARGIN + box.x, 10), box.heading, SMALL, colour=SOFT)
    for wire in plan.wires:
        points = [(MARGIN + x, y) for x, y in wire.points]
        width, style = STROKES[LINK if wire.labels else PASSIVE if wire.passive else CHANNEL]
        line(axes, points, width=width, style=style)
        middle = (points[-1][0] - 1 - wire.label_width / 2, points[-1][1])
        for text, side in zip(wire.labels, (-1, 1), strict=False):
            write(axes, (middle[0], middle[1] + side * 6), text, SMALL, colour=INK, align="center")
    for box in plan.boxes:
        _paint_box(axes, box)
    for (x, y), stroke in legend:
        at = (MARGIN + x, below + y)
        width, style = STROKES[stroke]
        if stroke == NOT_FED:
            area(axes, corners(at[0], at[1] - 4, at[0] + SAMPLE, at[1] + 4), edge=INK, style=style, width=width)
        else:
            line(axes, [at, (at[0] + SAMPLE, at[1])], width=width, style=style)
        write(axes, (at[0] + SAMPLE + 5, at[1]), LEGEND[stroke], SMALL, colour=SOFT)


def _paint_box(axes: Axes, box: Box) -> None:
    """Devices are filled, ways are not, a passive network has its corners cut, what nothing feeds is dotted."""
    left, right = MARGIN + box.x, MARGIN + box.x + box.width
    top, bottom = box.y - box.height / 2, box.y + box.height / 2
    outline = corners(left, top, right, bottom)
    if box.heading == "network":
        cut = 5.0
        outline = [(left + cut, top), (right - cut, top), (right, top + cut), (right, bottom - cut)]
        outline += [(right - cut, bottom), (left + cut, bottom), (left, bottom - cut), (left, top + cut)]
    if box.look == "not fed":
        area(axes, outline, fill=PAPER, edge=INK, style=DOTTED, width=1.3)
    else:
        area(axes, outline, fill=FILL if box.look == "device" else PAPER, edge=INK, width=1.0)
    first = box.y - (len(box.texts) - 1) / 2 * ROW
    for index, text in enumerate(box.texts):
        bold = index == 0 or text == "not fed"
        write(axes, (left + PAD, first + index * ROW), text, SMALL if index else NAME, bold=bold)
    for out in box.outs:
        write(axes, (right - 4, box.out_y(out)), out, SMALL, align="right")


def _in_words(chain: Chain, plan: Plan) -> str:
    devices = [_device_in_words(chain, device) for device in chain.system.devices.values()]
    ways = [_way_in_words(plan, way) for way in chain.system.ways.values()]
    return clean(f"Chain: {'; '.join([*devices, *ways])}.")


def _device_in_words(chain: Chain, device: PlacedDevice) -> str:
    code = "made for the job" if device.part is None else code_of(device.code, device.part)
    kind = "passive network" if device.kind == "network" else device.kind
    said = f"{kind} {device.name} ({code})"
    ports = ports_of(device)
    if device.kind == "source":
        return said
    if device.kind == "network" and ports:
        return f"{said} fed by {listed(ports)}"
    feeds = []
    for sender in dict.fromkeys(port.node for port in ports):
        numbers = in_ranges([n for port in ports if port.node == sender for n in port.channels])
        outputs = f" ({'outputs' if len(numbers) > 1 else 'output'} {numbers})" if numbers else ""
        feeds.append(f"{sender}{outputs} over {link_between(chain, sender, device.name).own['kind']}")
    return f"{said} fed by {listed(feeds)}" if feeds else f"{said} not fed"


def _way_in_words(plan: Plan, way: PlacedWay) -> str:
    name = f"{way.name} left and right" if len(plan.drivers[way.name]) == 2 else way.name
    count = f"{way.spec.count} × " if way.spec.count > 1 else ""
    said = f"{name} ({count}{code_of(way.code, way.part)}), {band_of(way)}"
    if not plan.is_fed(way):
        return f"{said}, not fed"
    ports = ports_of(way)
    return f"{said}, fed by {listed(ports)}" if ports else said


def _caption(chain: Chain) -> str:
    edges = [edge for way in chain.system.ways.values() for edge in way.spec.plays or ()]
    used = [f"{short} {name.title()}" for short, name in FAMILIES.items() if any(e.family == name for e in edges)]
    said = ["The chain from source to drivers."] if chain.system.devices else ["The drivers; the job names no devices."]
    if any(edge.hz is not None for edge in edges):
        said.append(f"Edges in Hz{f', with filter ({listed(used)}) and slope in dB/octave' if used else ''}.")
    if any(len(ports_of(way)) > 1 for way in chain.system.ways.values()):
        said.append("Of two lines into one box the upper is the left side.")
    if chain.of_kind("link"):
        said.append("Numbers at a link are the outputs of the device on its left.")
    return " ".join(said)
