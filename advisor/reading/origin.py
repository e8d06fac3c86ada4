"""Where a value was written: the file, the path of keys to it, and its line and column."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import yaml

from advisor.errors import Fault
from advisor.reading.source import SourceFile


@dataclass(frozen=True, eq=False)
class Origin:
    """A place in a file that was read.

    `path` is the keys that lead to it, `node` its value, `key` its key (absent for list items and the root).
    """

    file: SourceFile
    path: tuple[str | int, ...]
    node: yaml.Node
    key: yaml.Node | None = None

    @cached_property
    def dotted(self) -> str:
        """The path as a person writes it: `ways.midwoof.plays`."""
        return ".".join(str(step + 1) if isinstance(step, int) else step for step in self.path)

    @property
    def place(self) -> str:
        """`file:line:col` of the value, in the file as it was read last."""
        file = self.file.latest()
        node = self.node if file is self.file else root_of(file).down(self.path)[0].node
        return f"{file.name}:{node.start_mark.line + 1}:{node.start_mark.column + 1}"

    @cached_property
    def identity(self) -> str:
        """A text that names this place and no other of a job, whatever line it moves to."""
        return f"{self.file.role or self.file.name}#{self.dotted}"

    @cached_property
    def keys(self) -> frozenset[str]:
        """The keys written in the mapping that stands here."""
        node = self.node
        return frozenset(key.value for key, _ in node.value) if isinstance(node, yaml.MappingNode) else frozenset()

    def child(self, step: str | int) -> Origin | None:
        """Return the place of one key or list item below this one, or None where it was not written."""
        if isinstance(self.node, yaml.MappingNode):
            name = str(step)
            for key, value in self.node.value:
                if key.value == name:
                    return Origin(self.file, (*self.path, name), value, key)
        elif isinstance(self.node, yaml.SequenceNode) and isinstance(step, int) and 0 <= step < len(self.node.value):
            return Origin(self.file, (*self.path, step), self.node.value[step])
        return None

    def down(self, steps: tuple[str | int, ...]) -> tuple[Origin, tuple[str | int, ...]]:
        """Follow steps as far as they were written; return that place and the steps that are left."""
        here = self
        for index, step in enumerate(steps):
            below = here.child(step)
            if below is None:
                return here, steps[index:]
            here = below
        return here, ()

    def fault(self, what: str, way_out: str = "", *, at_key: bool = False) -> Fault:
        """Return a fault at this place."""
        node = self.key if at_key and self.key is not None else self.node
        return self.file.fault(node, self.dotted, what, way_out)


@dataclass(frozen=True, eq=False)
class Unwritten:
    """Where a default stands in for what nobody wrote: beside the rest of its mapping, if there is one."""

    beside: Origin | None

    @property
    def place(self) -> str:
        """The place in words."""
        return f"default, not written in {self.beside.place}" if self.beside else "default"


Spot = Origin | Unwritten | str | None
"""Where something stands: a place of a file, a default, or the words for it."""


def place_of(spot: Spot) -> str:
    """Return a spot in words, empty for none.

    Asked for when it is told and not before: in a file that is being edited, lines move.
    """
    return spot if isinstance(spot, str) else spot.place if spot else ""


def root_of(file: SourceFile) -> Origin:
    """Return the place of a whole file."""
    return Origin(file, (), file.root)
