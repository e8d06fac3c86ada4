"""Twenty-four invented packages of four lines, and any number more of the same making."""

# ruff: noqa: E501 - tables read better in long lines

from __future__ import annotations

import copy
import random
from typing import Any

EVERYWHERE = (
    "town-hatch", "family-estate", "crew-pickup", "panel-camper", "open-two-seater", "electric-hatch",
    "compact-off-roader",
)  # fmt: skip
ROOMY = ("family-estate", "crew-pickup", "panel-camper", "compact-off-roader")
FOUR_DOORS = ("town-hatch", "family-estate", "crew-pickup", "electric-hatch", "compact-off-roader")

EVERYDAY = {"budget": 9000, "loudness_db": 94, "seats": ["driver", "passenger"], "keep": ["load floor"]}
LOUD = {"budget": 12000, "loudness_db": 98, "deepest_hz": 45, "seats": ["driver"], "keep": ["factory screen"]}

SUPPLY = {
    "cable": "CB-50", "run_m": 4.4, "fuse_a": 100, "fuse_from_battery_m": 0.15,
    "branches": {
        "front": {"cable_mm2": 16, "run_m": 0.8, "fuse_a": 60},
        "low": {"cable_mm2": 16, "run_m": 1.2, "fuse_a": 40},
    },
}  # fmt: skip
WORK = ["strip-and-refit-cabin", "battery-wiring", "signal-wiring", "fan-wiring", "service-lead", "set-up-and-tuning"]
EXTRAS = {"FU-100": 1, "FU-60": 1, "FU-40": 1, "CB-16": 4.0, "FN-80": 2}


def one_of(*codes: str) -> dict[str, Any]:
    """A choice left open."""
    return {"one of": list(codes)}


def _way(driver: Any, at: str, feed: Any, plays: list[Any], cable: str, run: float, work: list[str]) -> dict[str, Any]:
    way = {"driver": driver, "at": at, "from": feed, "plays": plays}
    return way | {"speaker_cable": {"cable": cable, "run_m": run}, "work": work}


DOOR_WORK = ["seal-door-skin", "damp-door", "ring-and-adapter"]


def _sub(driver: Any, box: Any) -> dict[str, Any]:
    way = _way(driver, "boot-side", "low.1", ["open", "80 LR24"], "CS-40", 1.9, ["box-build"])
    return way | {"box": box}


CLOSED = {"title": "Made for the boot side", "closed_l": 24, "wall_mm": 15, "weight_kg": 9, "price": 0, "fit_h": 0}


def _chain(front: Any, low: Any, outputs: int, processor: Any, *, split: bool) -> dict[str, Any]:
    fed = [f"brain.{number}" for number in range(1, outputs + 1)]
    chain: dict[str, Any] = {
        "screen": {"source": "SCR-2"},
        "brain": {"processor": processor, "from": "screen", "over": "optical", "at": "glovebox-back",
                  "service_lead": "inside the glovebox"},
        "front": {"amplifier": front, "at": "seat-base", "fan": "thermostatic", "over": "line", "from": fed},
    }  # fmt: skip
    if low is not None:
        chain["low"] = {"amplifier": low, "at": "boot-wall", "fan": "thermostatic", "over": "line"}
        chain["low"]["from"] = f"brain.{outputs + 1}"
    if split:
        chain["split"] = {"network": "auto", "from": ["front.1", "front.2"], "over": "speaker", "at": "dash-end"}
    return chain


def three_way_active(tweeter: Any, mid: Any, woofer: Any, sub: Any, **parts: Any) -> dict[str, Any]:
    """Tweeter, mid and midwoofer with a channel each, and a sub."""
    chain = _chain(parts.get("front", "AM-6"), parts.get("low", "AM-1"), 6, parts.get("brain", "DP-8"), split=False)
    ways = {
        "tweeter": _way(tweeter, "mirror-triangle", ["front.1", "front.2"], ["3200 LR24", "open"], "CS-15", 2.4, ["ring-and-adapter"]),
        "mid": _way(mid, "dash-corner", ["front.3", "front.4"], ["380 LR24", "3200 LR24"], "CS-15", 2.6, ["ring-and-adapter"]),
        "midwoof": _way(woofer, "door-low", ["front.5", "front.6"], ["80 LR24", "380 LR24"], "CS-25", 3.2, list(DOOR_WORK)),
        "sub": _sub(sub, copy.deepcopy(parts.get("box", CLOSED))),
    }  # fmt: skip
    return {"chain": chain, "ways": ways}


def three_way_passive(tweeter: Any, mid: Any, woofer: Any, sub: Any, **parts: Any) -> dict[str, Any]:
    """Tweeter and mid behind a passive network, the midwoofer active, and a sub."""
    chain = _chain(parts.get("front", "AM-6"), parts.get("low", "AM-1"), 6, parts.get("brain", "DP-8"), split=True)
    ways = {
        "tweeter": _way(tweeter, "mirror-triangle", "split.high", ["3200 LR12", "open"], "CS-15", 1.6, ["ring-and-adapter"]),
        "mid": _way(mid, "dash-corner", "split.low", ["380 LR24", "3200 LR12"], "CS-15", 2.8, ["ring-and-adapter"]),
        "midwoof": _way(woofer, "door-low", ["front.5", "front.6"], ["80 LR24", "380 LR24"], "CS-25", 3.4, list(DOOR_WORK)),
        "sub": _sub(sub, copy.deepcopy(parts.get("box", CLOSED))),
    }  # fmt: skip
    return {"chain": chain, "ways": ways}


def two_way_active(tweeter: Any, woofer: Any, sub: Any, **parts: Any) -> dict[str, Any]:
    """Tweeter and midwoofer with a channel each, and a sub."""
    chain = _chain(parts.get("front", "AM-4"), parts.get("low", "AM-1"), 4, parts.get("brain", "DP-8"), split=False)
    ways = {
        "tweeter": _way(tweeter, "mirror-triangle", ["front.1", "front.2"], ["2500 LR24", "open"], "CS-15", 2.4, ["ring-and-adapter"]),
        "midwoof": _way(woofer, "door-low", ["front.3", "front.4"], ["80 LR24", "2500 LR24"], "CS-25", 3.2, list(DOOR_WORK)),
        "sub": _sub(sub, copy.deepcopy(parts.get("box", CLOSED))),
    }  # fmt: skip
    return {"chain": chain, "ways": ways}


def with_rear(base: dict[str, Any], driver: Any) -> dict[str, Any]:
    """The same with a rear fill on the free channels of a six-channel amplifier."""
    fill = _way(driver, "rear-door", ["front.3", "front.4"], ["120 LR12", "open"], "CS-15", 4.2, list(DOOR_WORK))
    return {**base, "ways": {**base["ways"], "rear": fill}}


def package(title: str, line: str, vehicles: tuple[str, ...], made: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return a package file's data."""
    customers = more.pop("customers", {"everyday": EVERYDAY})
    found = {"package": title, "line": line, "vehicles": list(vehicles), "customers": copy.deepcopy(customers)}
    found |= copy.deepcopy(made)
    found["supply"] = copy.deepcopy(more.pop("supply", SUPPLY))
    return found | {"work": list(WORK), "extras": dict(EXTRAS)} | more


BOTH = {"everyday": EVERYDAY, "loud": LOUD}

PACKAGES: dict[str, dict[str, Any]] = {
    "street-1": package("Street one", "Street", EVERYWHERE, two_way_active("TW-28A", "MW-165A", "SB-200")),
    "street-2": package("Street two", "Street", EVERYWHERE, two_way_active("TW-28A", "MW-165B", "SB-250")),
    "street-3": package("Street three", "Street", EVERYWHERE, two_way_active("TW-28A2", "MW-165B2", "SB-2502")),
    "street-flat": package("Street, flat sub", "Street flat", EVERYWHERE, two_way_active("TW-28A", "MW-165B", "SB-250S")),
    "street-choice": package(
        "Street, sub of your choice", "Street choice", EVERYWHERE,
        two_way_active("TW-28A", "MW-165B", one_of("SB-200", "SB-250", "SB-2502")), customers=BOTH,
    ),
    "street-big": package("Street, two hundred and fifty watts more", "Street big", ROOMY,
                          two_way_active("TW-28A", "MW-165B", "SB-300", box={**CLOSED, "closed_l": 36})),
    "tour-1": package("Tour one", "Tour", EVERYWHERE, three_way_passive("TW-25A", "M-80A", "MW-165A", "SB-200")),
    "tour-2": package("Tour two", "Tour", EVERYWHERE, three_way_passive("TW-25A", "M-80A", "MW-165B", "SB-250")),
    "tour-3": package("Tour three", "Tour", EVERYWHERE, three_way_passive("TW-25A2", "M-80A2", "MW-165B2", "SB-2502")),
    "tour-rear-1": package("Tour with rear fill", "Tour rear", FOUR_DOORS,
                           with_rear(three_way_passive("TW-25A", "M-80A", "MW-165B", "SB-250"), "CX-130")),
    "tour-rear-2": package(
        "Tour with rear fill of your choice", "Tour rear", FOUR_DOORS,
        with_rear(three_way_passive("TW-25A", "M-80A", "MW-165B", "SB-250"), one_of("CX-130", "CX-165")), customers=BOTH,
    ),
    "tour-wide": package("Tour, wide doors", "Tour wide", ("crew-pickup", "panel-camper"),
                         three_way_passive("TW-25A", "M-100A", "MW-165B", "SB-250")),
    "stage-1": package("Stage one", "Stage", EVERYWHERE, three_way_active("TW-25A", "M-80A", "MW-165A", "SB-250")),
    "stage-2": package("Stage two", "Stage", EVERYWHERE, three_way_active("TW-25A", "M-80A", "MW-165B", "SB-250")),
    "stage-3": package("Stage three", "Stage", EVERYWHERE, three_way_active("TW-25A2", "M-80A2", "MW-165B2", "SB-2502", front="AM-62")),
    "stage-choice": package(
        "Stage, tweeter and sub of your choice", "Stage choice", EVERYWHERE,
        three_way_active(one_of("TW-25A", "TW-25A2"), "M-80A", "MW-165B", one_of("SB-250", "SB-2502")),
    ),
    "stage-hundred": package("Stage with a four-inch mid", "Stage hundred", ROOMY,
                             three_way_active("TW-28A", "M-100A", "MW-165B", "SB-250"), customers=BOTH),
    "stage-ten": package("Stage on ten outputs", "Stage ten", EVERYWHERE,
                         three_way_active("TW-25A", "M-80A", "MW-165B", "SB-250", brain="DP-10")),
    "bass-boxes": package(
        "Two boxes to choose from", "Bass", ROOMY,
        two_way_active(
            "TW-28A", "MW-165B",
            {"choice": "bass", "one of": {"small": "SB-200", "big": "SB-300"}},
            box={"choice": "bass", "one of": {"small": {**CLOSED, "closed_l": 16}, "big": {**CLOSED, "closed_l": 38}}},
        ),
    ),
    "bass-doors": package("No sub, woofers in the doors", "Bass doors", ("crew-pickup", "panel-camper"),
                          two_way_active("TW-28A", "MW-165P", "SB-250")),
    "bass-dual": package("A sub of two coils", "Bass dual", ROOMY, two_way_active("TW-28A", "MW-165B", "SB-250D")),
    "club-1": package("Club one", "Club", ROOMY, three_way_active("TW-25A", "M-80A", "MW-165B", "SB-250", front="AM-6")),
    "club-2": package("Club two", "Club", ROOMY, three_way_active("TW-25A", "M-80A", "MW-165B", "SB-250", front="AM-6")),
    "club-3": package("Club three", "Club", ROOMY, three_way_active("TW-25A", "M-80A2", "MW-165B2", "SB-250", low="AM-12")),
}  # fmt: skip
PACKAGES["bass-dual"]["ways"]["sub"]["coils"] = "series"


def big_packages(count: int, vehicles: list[str], dice: random.Random) -> dict[str, dict[str, Any]]:
    """Return so many packages without open choices, each claiming all of the vehicles."""
    tweeters, mids = ["TW-25A", "TW-25A2", "TW-25M", "TW-28A", "TW-28A2"], ["M-80A", "M-80A2", "M-80B"]
    woofers = ["MW-165A", "MW-165A2", "MW-165B", "MW-165B2", "MW-165P", "MW-165S"]
    subs, fronts, lows = ["SB-200", "SB-250", "SB-2502", "SB-250S"], ["AM-6", "AM-62"], ["AM-1", "AM-12", "AM-1L"]
    found = {}
    for number in range(1, count + 1):
        kind = dice.choice((three_way_active, three_way_passive))
        litres = dice.choice((20, 22, 24, 26))
        made = kind(
            dice.choice(tweeters), dice.choice(mids), dice.choice(woofers), dice.choice(subs),
            front=dice.choice(fronts), low=dice.choice(lows), box={**CLOSED, "closed_l": litres},
        )  # fmt: skip
        wanted = {**EVERYDAY, "loudness_db": dice.choice((92, 94, 96)), "budget": dice.choice((8000, 9000, 10000))}
        title, line = f"Package {number}", f"Line {number % 25}"
        found[f"package-{number:05d}"] = package(title, line, tuple(vehicles), made, customers={"everyday": wanted})
    return found
