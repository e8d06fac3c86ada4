"""The faults of examples/catalogue: each put in on purpose, and listed in its seeded.yaml.

`lines` names where a rule has to fall short (in every line of a package in a vehicle, or in those with a choice);
`spared` names neighbours where it must not, so that a rule that falls short everywhere proves nothing.
"""

from __future__ import annotations

import copy
from typing import Any

Data = dict[str, dict[str, Any]]

OFF_ROADER, PICKUP, ESTATE, CAMPER = "compact-off-roader", "crew-pickup", "family-estate", "panel-camper"


def _at(package: str, vehicle: str, rule: str, outcome: str = "falls short", **choice: str) -> dict[str, Any]:
    found: dict[str, Any] = {"package": package, "vehicle": vehicle, "rule": rule, "outcome": outcome}
    return found | ({"choice": choice["choice"]} if choice else {})


LISTED: dict[str, Any] = {
    "lines": [
        _at("street-flat", "high-van", "way-fits-its-hole"),
        _at("street-flat", "high-van", "way-fits-its-depth"),
        _at("tour-rear-1", "open-two-seater", "claimed-vehicle-has-every-place"),
        _at("bass-dual", ESTATE, "load-is-not-under-the-amplifiers-minimum"),
        _at("tour-3", ESTATE, "fuse-protects-the-cable"),
        _at("stage-3", ESTATE, "main-fuse-sits-near-the-battery"),
        _at("street-3", ESTATE, "crossover-keeps-to-its-makers-limit"),
        _at("stage-ten", ESTATE, "processor-has-outputs-enough", choice="brain.processor DP-6"),
        _at("stage-ten", ESTATE, "both-ends-of-a-link-match", choice="brain.processor DP-6"),
        _at("tour-wide", CAMPER, "nothing-stands-in-an-airbags-path"),
        _at("stage-1", ESTATE, "job-keeps-to-the-budget"),
        _at("club-3", ESTATE, "what-the-customer-keeps-stays"),
        _at("street-big", PICKUP, "box-goes-into-its-place"),
        _at("bass-boxes", PICKUP, "way-fits-its-hole", choice="bass big"),
        _at("bass-doors", CAMPER, "main-fuse-sits-near-the-battery", "waived"),
        _at("stage-hundred", ESTATE, "channel-drives-one-way"),
    ],
    "spared": [
        _at("street-flat", ESTATE, "way-fits-its-hole"),
        _at("tour-rear-1", ESTATE, "claimed-vehicle-has-every-place"),
        _at("street-2", ESTATE, "load-is-not-under-the-amplifiers-minimum"),
        _at("tour-2", ESTATE, "fuse-protects-the-cable"),
        _at("stage-2", ESTATE, "main-fuse-sits-near-the-battery"),
        _at("street-2", ESTATE, "crossover-keeps-to-its-makers-limit"),
        _at("stage-ten", ESTATE, "processor-has-outputs-enough", choice="brain.processor DP-10"),
        _at("tour-2", CAMPER, "nothing-stands-in-an-airbags-path"),
        _at("club-2", ESTATE, "job-keeps-to-the-budget"),
        _at("club-2", ESTATE, "what-the-customer-keeps-stays"),
        _at("street-big", ESTATE, "box-goes-into-its-place"),
        _at("bass-boxes", PICKUP, "way-fits-its-hole", choice="bass small"),
        _at("stage-1", ESTATE, "channel-drives-one-way"),
    ],
    "catalogue": [
        {"rule": "vehicle-is-served-by-a-package", "at": "high-van"},
        {"rule": "part-used-is-still-made", "at": "MW-165X"},
        {"rule": "part-is-used-by-a-package", "at": "MW-165Q"},
        {"rule": "part-differs-from-the-next", "at": "MW-165R"},
        {"rule": "datasheet-agrees-with-itself", "at": "MW-165Q"},
        {"rule": "package-differs-from-the-next", "at": "stage-2"},
        {"rule": "dearer-step-buys-something", "at": "club-2"},
    ],
}


def seed(packages: Data, vehicles: Data, parts: Data) -> None:
    """Put the faults in."""
    del vehicles  # one of them has a door too small for all, as it is
    packages["street-flat"]["vehicles"].append("high-van")
    packages["tour-rear-1"]["vehicles"].append("open-two-seater")
    packages["bass-dual"]["ways"]["sub"]["coils"] = "parallel"
    packages["tour-3"]["supply"]["cable"] = "CB-10"
    packages["stage-3"]["supply"]["fuse_from_battery_m"] = 1.2
    packages["street-3"]["ways"]["tweeter"]["plays"] = ["1500 LR24", "open"]
    packages["street-3"]["ways"]["midwoof"]["plays"] = ["80 LR24", "1500 LR24"]
    packages["stage-ten"]["chain"]["brain"]["processor"] = {"one of": ["DP-10", "DP-6"]}
    packages["tour-wide"]["ways"]["tweeter"]["at"] = "a-pillar"
    packages["stage-1"]["customers"]["everyday"]["budget"] = 1500
    packages["club-3"]["customers"]["everyday"]["keep"] = ["load floor", "tool kit"]
    packages["stage-hundred"]["ways"]["mid"]["from"] = ["front.1", "front.2"]
    packages["stage-1"]["ways"]["midwoof"]["driver"] = "MW-165X"
    _waived(packages["bass-doors"])
    packages["club-2"]["extras"]["FN-120"] = 6  # which nobody hears, and nothing needs
    woofers = parts["midwoofers"]
    woofers["MW-165Q"] = {
        **copy.deepcopy(woofers["MW-165A"]),
        "title": "6.5-inch midwoofer, sheet misprinted",
        "qts": 0.95,
    }
    woofers["MW-165R"] = _again(woofers["MW-165B"])


def _waived(package: dict[str, Any]) -> None:
    package["supply"]["fuse_from_battery_m"] = 0.8
    package["waive"] = [
        {
            "rule": "main-fuse-sits-near-the-battery",
            "at": "supply",
            "reason": "run in a closed steel tube up to the fuse box",
            "until": "2099-12-31",
            "by": "workshop",
        }
    ]


def _again(part: dict[str, Any]) -> dict[str, Any]:
    new = copy.deepcopy(part)
    new |= {"title": "6.5-inch midwoofer, the same from another maker", "price": part["price"] + 11}
    new["depth_mm"] = part["depth_mm"] + 1
    return new
