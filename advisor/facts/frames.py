"""What is read while a fact, or one side of a check, is worked out."""

from __future__ import annotations

from advisor.facts.reading import Reading


class Frame:
    """What was read while one fact (or one side of a check) was worked out: the time of a `with` block."""

    __slots__ = ("_frames", "looked_at", "readings")

    def __init__(self, frames: list[Frame]) -> None:
        self.readings: dict[tuple[str, ...], Reading] = {}
        self.looked_at: set[tuple[str, ...]] = set()
        """What was asked for and gave no reading: what is missing, and the way to the next subject."""
        self._frames = frames

    def __enter__(self) -> Frame:
        self._frames.append(self)
        return self

    def __exit__(self, *stop: object) -> None:
        self._frames.pop()

    @property
    def touched(self) -> set[tuple[str, ...]]:
        """The key of all that was read or looked at."""
        return {*self.readings, *self.looked_at}
