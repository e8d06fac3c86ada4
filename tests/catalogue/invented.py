"""Invents catalogues: the one in examples/, and big ones for measurements. Nothing in them is real.

    python -m tests.catalogue.invented examples      writes examples/catalogue
    python -m tests.catalogue.invented FOLDER 500 20 writes 500 packages that claim 20 vehicles each

Parts come from examples/library, with a second series of those that can have one: a little heavier, a little
stronger, with what follows from that worked out (Small 1972), as a maker's next revision would be.
"""

from __future__ import annotations

import copy
import math
import random
import shutil
import sys
from pathlib import Path
from typing import Any

import yaml

from tests.catalogue.invented_packages import PACKAGES, big_packages
from tests.catalogue.invented_vehicles import VEHICLES, more_vehicles

ROOT = Path(__file__).parents[2]
LIBRARY = ROOT / "examples" / "library"
AIR = 1.184 * 345.9**2
"""Density times speed of sound squared, at 25 °C."""

HEADS = {
    "parts": "Invented. The second series (a code that ends in 2) is worked out from the first.",
    "vehicles": "Invented. Taped from the ear to the middle of the place.",
}

SHEET = "maker's sheet, revision 1 (invented)"
MORE: dict[str, dict[str, Any]] = {
    f"FU-{amps}": {
        "kind": "fuse", "title": f"{amps} A bolt-down fuse and holder", "rating_a": amps, "price": 14,
        "lead_days": 2, "fit_h": 0.2, "source": SHEET,
    }
    for amps in (30, 50, 125, 200, 250)
} | {
    f"CB-{mm2}": {
        "kind": "cable", "title": f"Supply cable {mm2} mm², fine-stranded copper", "use": "power", "mm2": mm2,
        "insulation_c": 105, "price": price, "lead_days": 2, "source": SHEET,
    }
    for mm2, price in ((6, 2.9), (70, 24.5))
} | {
    "CS-60": {
        "kind": "cable", "title": "Loudspeaker cable 6 mm²", "use": "speaker", "mm2": 6, "insulation_c": 90,
        "price": 3.9, "lead_days": 2, "source": SHEET,
    },
    "FN-120": {
        "kind": "fan", "title": "Quiet 120 mm fan with thermostat", "flow_m3_h": 95, "draws_a": 0.16, "noise_db": 20,
        "price": 32, "lead_days": 3, "fit_h": 0.6, "weight_kg": 0.2, "outer_mm": [120, 120, 25], "source": SHEET,
    },
}  # fmt: skip
"""What a distributor has beside what one shop keeps."""


def parts() -> dict[str, dict[str, Any]]:
    """Return the parts of the example library by file, with a second series of drivers, amplifiers and boxes."""
    found: dict[str, dict[str, Any]] = {}
    for path in sorted((LIBRARY / "parts").glob("*.yaml")):
        data = yaml.safe_load(path.read_text(encoding="utf-8"))["parts"]
        found[path.stem] = data
        for code, part in list(data.items()):
            if part["kind"] == "driver" and part.get("coils", 1) == 1 and "bl_tm" in part:
                data[f"{code}2"] = _second_driver(part)
            elif part["kind"] in ("amplifier", "box"):
                data[f"{code}2"] = _second(part)
    found["supply"] |= MORE
    return found


def _second(part: dict[str, Any]) -> dict[str, Any]:
    new = copy.deepcopy(part)
    new["title"] = f"{part['title']}, second series"
    new["price"] = round(part["price"] * 1.09)
    if "banks" in new:
        for bank in new["banks"]:
            for key in ("watts", "bridged_watts"):
                if key in bank:
                    bank[key] = {ohm: round(watts * 1.08) for ohm, watts in bank[key].items()}
    for key in ("closed_l", "vented_l"):
        if key in new:
            new[key] = round(new[key] * 1.1, 1)
    return new


def _second_driver(part: dict[str, Any]) -> dict[str, Any]:
    new = copy.deepcopy(part)
    new["title"] = f"{part['title']}, second series"
    new["price"] = round(part["price"] * 1.12)
    new["mms_g"] = _rounded(part["mms_g"] * 1.05)
    new["bl_tm"] = _rounded(part["bl_tm"] * 1.06)
    if "xmax_mm" in new:
        new["xmax_mm"] = _rounded(part["xmax_mm"] * 1.1)
    if "power_w" in new:
        new["power_w"] = round(part["power_w"] * 1.1)
    omega, mass, area = 2 * math.pi * part["fs_hz"], new["mms_g"] / 1e3, part["sd_cm2"] / 1e4
    qes = omega * mass * part["re_ohm"] / new["bl_tm"] ** 2
    new["qes"] = round(qes, 2)
    new["qts"] = round(qes * part["qms"] / (qes + part["qms"]), 2)
    old_q = part["qes"]
    if "vas_l" in part:
        new["vas_l"] = _rounded(AIR * area**2 / (omega**2 * mass) * 1e3)
        gain = 10 * math.log10((new["vas_l"] / new["qes"]) / (part["vas_l"] / old_q))
        new["sensitivity_db"] = round(part["sensitivity_db"] + gain, 1)
    return new


def _rounded(value: float) -> float:
    digits = 2 - math.floor(math.log10(abs(value)))
    return round(value, max(digits, 0))


def write(
    folder: Path,
    packages: dict[str, dict[str, Any]],
    vehicles: dict[str, dict[str, Any]],
    library: dict[str, dict[str, Any]] | None = None,
) -> None:
    """Write a catalogue."""
    for name in ("parts", "vehicles", "packages"):
        shutil.rmtree(folder / name, ignore_errors=True)
        (folder / name).mkdir(parents=True)
    for stem, found in (library or parts()).items():
        _write(folder / "parts" / f"{stem}.yaml", {"advisor": 1, "parts": found}, HEADS["parts"])
    for code, vehicle in vehicles.items():
        data = {"advisor": 1, "vehicle": code, **vehicle}
        _write(folder / "vehicles" / f"{code}.yaml", data, HEADS["vehicles"])
    for code, package in packages.items():
        head = package.pop("head", "Invented.")
        _write(folder / "packages" / f"{code}.yaml", {"advisor": 1, **package}, head)
    shop = (LIBRARY / "shop.yaml").read_text(encoding="utf-8")
    (folder / "shop.yaml").write_text(shop, encoding="utf-8")


def _write(path: Path, data: Any, head: str) -> None:
    text = yaml.dump(data, Dumper=_Plain, sort_keys=False, default_flow_style=None, width=118, allow_unicode=True)
    path.write_text(f"# {head}\n{text}", encoding="utf-8")


class _Plain(yaml.SafeDumper):
    """Writes what is the same twice, twice."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def main() -> None:
    if sys.argv[1:] == ["examples"]:
        from tests.catalogue.seeds import LISTED, seed

        folder, data = ROOT / "examples" / "catalogue", (copy.deepcopy(PACKAGES), copy.deepcopy(VEHICLES), parts())
        seed(*data)
        write(folder, *data)
        _write(folder / "seeded.yaml", LISTED, "The faults that were put into this catalogue on purpose.")
        return
    folder, packages, vehicles = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    write_big(folder, packages, vehicles)


def write_big(folder: Path, packages: int, vehicles: int) -> None:
    """Write a catalogue of any size; the same sizes give the same catalogue."""
    dice = random.Random(7)
    found = more_vehicles(vehicles, dice)
    write(folder, big_packages(packages, list(found), dice), found)


if __name__ == "__main__":
    main()
