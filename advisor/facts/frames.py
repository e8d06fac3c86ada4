"""What is read while a fact, or one side of a check, is worked out."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.facts.reading import Reading


@dataclass
class Frame:
    """What was read while one fact (or one side of a check) was worked out."""

    readings: dict[tuple[str, ...], Reading] = field(default_factory=dict)
    touched: set[tuple[str, ...]] = field(default_factory=set)


class Framing:
    """Puts a frame on top of others for the time of a block; a generator would take thrice as long."""

    __slots__ = ("frame", "frames")

    def __init__(self, frames: list[Frame]) -> None:
        self.frame, self.frames = Frame(), frames

    def __enter__(self) -> Frame:
        self.frames.append(self.frame)
        return self.frame

    def __exit__(self, *stop: object) -> None:
        self.frames.pop()
