"""Where the boxes and wires of a chain stand: columns from left to right, as few crossings as a plain order gives."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from advisor.telling.pictures.canvas import Point

ROW = 11.5
PAD = 6.0
GAP = 9.0
TERMINAL = 11.0
SLANT = 26.0
"""Least width between two columns that wires use to change their height."""

MOST_SPARE = 60.0


@dataclass(eq=False)
class Box:
    """A device or way: lines of text, the outputs that are labelled at its right edge, and how it is outlined."""

    heading: str
    column: tuple[int, int]
    texts: list[str]
    text_width: float
    look: str = "device"
    outs: list[str] = field(default_factory=list)
    out_width: float = 0.0
    ins_height: float = 0.0
    """What the wires that enter it take."""
    x: float = 0.0
    y: float = 0.0
    """Of the middle of its height."""

    @property
    def width(self) -> float:
        """How wide the texts and output labels make it."""
        return self.text_width + 2 * PAD + (self.out_width + PAD if self.outs else 0)

    @property
    def height(self) -> float:
        """How high the texts, the outputs or the wires that enter make it, whichever are most."""
        return max(len(self.texts) * ROW + 8, len(self.outs) * TERMINAL + 8, self.ins_height)

    def out_y(self, out: str) -> float:
        """Return the height of an output at the right edge."""
        if out not in self.outs:
            return self.y
        return self.y + (self.outs.index(out) - (len(self.outs) - 1) / 2) * TERMINAL


@dataclass(eq=False)
class Wire:
    """A connection between two boxes; `place` is where among the inputs of its receiver it ends."""

    sender: Box
    out: str
    receiver: Box
    labels: tuple[str, ...] = ()
    label_width: float = 0.0
    passive: bool = False
    place: float = 0.0
    """Offset from the middle of the receiver [pt]."""
    slots: list[Box] = field(default_factory=list)
    """Where it passes through the columns between."""
    points: list[Point] = field(default_factory=list)


def arrange(boxes: Sequence[Box], wires: Sequence[Wire], top: float, least_width: float) -> Point:
    """Give every box its place and every wire its points; return width and height used.

    Boxes of the last column stand in the order they come in; every other box stands as near as it can to the middle
    of what it feeds.
    """
    columns = sorted({box.column for box in boxes})
    _order_last(boxes, columns[-1])
    standing: dict[tuple[int, int], list[Box]] = {
        column: [b for b in boxes if b.column == column] for column in columns
    }
    for wire in wires:
        _pass_through(wire, columns, standing)
    for column in reversed(columns[:-1]):
        _stand(standing[column], wires)
    for box in boxes:
        heights = {out: _mean(_targets(wires, box, out), 0.0) for out in box.outs}
        box.outs.sort(key=heights.__getitem__)
    every = [box for column in standing.values() for box in column]
    drop = top - min(box.y - box.height / 2 for box in every)
    for box in every:
        box.y += drop
    width, slant = _columns_apart(columns, standing, wires, least_width)
    for wire in wires:
        _route(wire, slant)
    return width, max(box.y + box.height / 2 for box in every)


def _order_last(boxes: Sequence[Box], column: tuple[int, int]) -> None:
    below = 0.0
    for box in boxes:
        if box.column == column:
            box.y = below + box.height / 2
            below += box.height + GAP


def _pass_through(wire: Wire, columns: list[tuple[int, int]], standing: dict[tuple[int, int], list[Box]]) -> None:
    """Reserve a slot in each column that a wire only passes."""
    for column in columns[columns.index(wire.sender.column) + 1 : columns.index(wire.receiver.column)]:
        slot = Box("", column, [], -2 * PAD, look="slot")
        wire.slots.append(slot)
        standing[column].append(slot)


def _targets(wires: Iterable[Wire], box: Box, out: str | None = None) -> list[float]:
    """Return the heights that the wires of a box (or of one output, or through a slot) lead to."""
    found = []
    for wire in wires:
        way = [wire.sender, *wire.slots, wire.receiver]
        if box in way[:-1] and (out is None or (box is wire.sender and out == wire.out)):
            after = way[way.index(box) + 1]
            found.append(after.y + (wire.place if after is wire.receiver else 0.0))
    return found


def _mean(values: list[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise


def _stand(boxes: list[Box], wires: Sequence[Wire]) -> None:
    """Place the boxes of a column: least squared distance from where each would like to stand, none touching."""
    wanted = {box: _mean(_targets(wires, box), float("inf")) for box in boxes}
    lowest = max((y for y in wanted.values() if y != float("inf")), default=0.0)
    wanted = {box: lowest if y == float("inf") else y for box, y in wanted.items()}
    # neighbours that would touch form a block, which stands where its members would like to on average
    blocks: list[tuple[float, list[tuple[Box, float]]]] = []
    for box in sorted(boxes, key=lambda box: wanted[box]):
        block = (wanted[box], [(box, 0.0)])
        while blocks and _reach(blocks[-1], down=True) + _between(blocks[-1], block) > _reach(block, down=False):
            block = _joined(blocks.pop(), block, wanted)
        blocks.append(block)
    for start, members in blocks:
        for box, offset in members:
            box.y = start + offset


Block = tuple[float, list[tuple[Box, float]]]


def _reach(block: Block, *, down: bool) -> float:
    box, offset = block[1][-1 if down else 0]
    return block[0] + offset + box.height / 2 * (1 if down else -1)


def _between(upper: Block, lower: Block) -> float:
    slots = upper[1][-1][0].look == "slot" and lower[1][0][0].look == "slot"
    return 0.0 if slots else GAP


def _joined(upper: Block, lower: Block, wanted: dict[Box, float]) -> Block:
    last, last_offset = upper[1][-1]
    first = lower[1][0][0]
    shift = last_offset + last.height / 2 + _between(upper, lower) + first.height / 2
    members = upper[1] + [(box, offset + shift) for box, offset in lower[1]]
    return _mean([wanted[box] - offset for box, offset in members], 0.0), members


def _columns_apart(
    columns: list[tuple[int, int]], standing: dict[tuple[int, int], list[Box]], wires: Sequence[Wire], least: float
) -> tuple[float, float]:
    """Set columns side by side, labels before the boxes they lead to; return the width, and the room for slants."""
    widths = [max(box.width for box in standing[column]) for column in columns]
    labels = [
        max((wire.label_width for wire in wires if wire.receiver.column == column), default=0.0)
        for column in columns[1:]
    ]
    spare = least - sum(widths) - sum(labels) - SLANT * len(labels)
    # a short chain is drawn wider, not left at the edge of the sheet
    slant = SLANT + min(max(0.0, spare) / max(1, len(labels)), MOST_SPARE)
    left = 0.0
    for index, column in enumerate(columns):
        for box in standing[column]:
            box.x = left
            box.text_width += widths[index] - box.width
        left += widths[index] + (labels[index] + slant if index < len(labels) else 0.0)
    return left, slant


def _route(wire: Wire, slant: float) -> None:
    """Level out of the sender, one slant after each column, level through the next column or to the receiver."""
    x, y = wire.sender.x + wire.sender.width, wire.sender.out_y(wire.out)
    wire.points = [(x, y)]
    for box in (*wire.slots, wire.receiver):
        last = box is wire.receiver
        height = box.y + (wire.place if last else 0.0)
        wire.points += [(x + 4, y), (x + slant - 4, height)]
        x, y = box.x + (0.0 if last else box.width), height
        wire.points.append((x, y))
