"""Short ways to write a file and to read what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.errors import Fault, InputError
from advisor.reading.reader import read_job
from advisor.reading.system import System

JOB = """\
advisor: 1
job: Short
library: [library]
vehicle: van
chain:
  screen: {source: SCR}
  brain: {processor: DSP, from: screen, over: line}
  front: {amplifier: AMP, from: [brain.1, brain.2], at: shelf}
ways:
  mid: {driver: MID, at: door, from: [front.1, front.2], plays: [300 LR24, open], work: [damp-door]}
"""

PARTS = """\
advisor: 1
parts:
  SCR: {kind: source, outputs: {line: {channels: 4}}}
  DSP: {kind: processor, inputs: {line: {}}, outputs: {line: {channels: 8}}}
  AMP: {kind: amplifier, inputs: {line: {}}, banks: [{channels: 4, watts: {4: 50}, min_ohm: 2}]}
  MID: {kind: driver, size_mm: 80, fs_hz: 110, impedance_ohm: 4}
  WIRE: {kind: cable, mm2: 25}
"""

VAN = """\
vehicle: van
seats: {driver: {}, passenger: {}}
locations:
  door: {zone: front, pair: true, hole_mm: 90}
  shelf: {space_mm: [300, 200, 90]}
"""


class Desk:
    """A folder with a small job, library and vehicle, to be changed and read."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.write("library/parts/all.yaml", PARTS)
        self.write("library/vehicles/van.yaml", VAN)
        self.write("job.yaml", JOB)

    def write(self, name: str, text: str | bytes) -> Path:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def change(self, old: str, new: str, name: str = "job.yaml") -> None:
        text = (self.folder / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        self.write(name, text.replace(old, new))

    def read(self) -> System:
        return read_job(self.folder / "job.yaml", "job.yaml")

    def faults(self, act: Callable[[], object] | None = None) -> tuple[Fault, ...]:
        """Return the faults that reading the job (or something else) is refused with."""
        with pytest.raises(InputError) as caught:
            (act or self.read)()
        return caught.value.faults

    def fault(self, act: Callable[[], object] | None = None) -> Fault:
        """Return the only fault."""
        faults = self.faults(act)
        assert len(faults) == 1, [str(fault) for fault in faults]
        return faults[0]


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path)
