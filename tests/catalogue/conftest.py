"""A small catalogue that is quick to audit."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from advisor.catalogue.audit import Audit, audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.store import Store

TODAY = date(2026, 11, 25)

PARTS = """\
advisor: 1
parts:
  T-1: {kind: driver, type: tweeter, size_mm: 25, impedance_ohm: 4, sensitivity_db: 90, power_w: 60, cutout_mm: 44,
        depth_mm: 18, fs_hz: 900, price: 50, fit_h: 0.5}
  W-1: {kind: driver, type: midwoof, size_in: 6.5, impedance_ohm: 4, sensitivity_db: 90, power_w: 80, cutout_mm: 143,
        depth_mm: 62, fs_hz: 60, price: 80, fit_h: 0.6}
  W-2: {kind: driver, type: midwoof, size_in: 6.5, impedance_ohm: 4, sensitivity_db: 90, power_w: 90, cutout_mm: 151,
        depth_mm: 62, fs_hz: 58, price: 99, fit_h: 0.6, discontinued: true}
  W-9: {kind: driver, type: midwoof, size_in: 6.5, price: 10}
"""

PACKAGE = """\
advisor: 1
package: Two ways for the front
line: Small
vehicles: [hatch, van]
customers:
  quiet: {loudness_db: 90}
ways:
  tweeter: {driver: T-1, at: dash, plays: [2800 LR24, open]}
  midwoof: {driver: {one of: [W-1, W-2]}, at: door, plays: [80 LR24, 2800 LR24], work: [seal-door-skin, damp-door]}
waive:
  - {rule: way-fits-its-depth, at: midwoof left, reason: ring of 5 mm, until: 2099-01-01, by: workshop}
"""


def vehicle(code: str, hole: int, depth: int = 70) -> str:
    return f"""\
advisor: 1
vehicle: {code}
seats: {{driver: {{side: left}}}}
locations:
  dash: {{pair: true, zone: front, hole_mm: 60, depth_mm: 40}}
  door: {{pair: true, zone: low, hole_mm: {hole}, depth_mm: {depth}, behind: door}}
"""


def write_small(folder: Path) -> Path:
    for name in ("parts", "vehicles", "packages"):
        (folder / name).mkdir(parents=True)
    (folder / "parts" / "parts.yaml").write_text(PARTS, encoding="utf-8")
    (folder / "vehicles" / "hatch.yaml").write_text(vehicle("hatch", 160), encoding="utf-8")
    (folder / "vehicles" / "van.yaml").write_text(vehicle("van", 146, 60), encoding="utf-8")
    (folder / "vehicles" / "bus.yaml").write_text(vehicle("bus", 160), encoding="utf-8")
    (folder / "packages" / "front.yaml").write_text(PACKAGE, encoding="utf-8")
    return folder


@pytest.fixture
def small(tmp_path: Path) -> Path:
    return write_small(tmp_path / "small")


@pytest.fixture(scope="session")
def small_audit(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Audit]:
    folder = write_small(tmp_path_factory.mktemp("catalogue") / "small")
    with Store(None) as store:
        yield audit_catalogue(open_catalogue(folder, "small"), TODAY, store)
