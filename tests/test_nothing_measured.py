"""A job without supply or thermal data reviews, and asks for exactly what is to be read off a label or measured."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.judging.review import Review
from tests.facts.jobs import review

CHAIN = {
    "radio": {"source": {"outputs": {"line": {"channels": 4, "max_v": 4}}}},
    "front": {
        "amplifier": {
            "banks": [{"channels": 2, "watts": {4: 75}, "min_ohm": 4}],
            "inputs": {"line": {"channels": 2, "min_v": 0.3, "max_v": 6}},
        },
        "from": ["radio.1", "radio.2"],
    },
    "low": {
        "amplifier": {
            "banks": [{"channels": 1, "watts": {4: 300}, "min_ohm": 4}],
            "inputs": {"line": {"channels": 1, "min_v": 0.3, "max_v": 6}},
        },
        "from": "radio.3",
    },
}
WAYS = {
    "door": {
        "driver": {"type": "midwoof", "size_mm": 165, "impedance_ohm": 4, "power_w": 75},
        "from": ["front.1", "front.2"],
        "plays": ["80 LR24", "open"],
    },
    "sub": {
        "driver": {"type": "sub", "size_mm": 250, "impedance_ohm": 4, "power_w": 300},
        "from": "low.1",
        "plays": ["open", "80 LR24"],
    },
}
JOB = {"advisor": 1, "job": "Two amplifiers, nothing measured", "chain": CHAIN, "ways": WAYS}

THERMAL = ("class", "idle_a", "sink_k_per_w", "cut_out_c", "heat_j_per_k")
SUPPLY = ("cable_mm2", "run_m", "fuse_a", "fuse_from_battery_m")
LABELS = ("alternator_a", "converter_a", "battery_ah")


def asked(found: Review) -> dict[str, str]:
    """By rule, all that is asked for, whatever place it is asked for at."""
    words: dict[str, str] = {}
    for finding in found.of("cannot tell"):
        words[finding.rule.name] = f"{words.get(finding.rule.name, '')} {finding.why_not}"
    return words


@pytest.fixture
def bare(tmp_path: Path) -> Review:
    return review(tmp_path, JOB)


def test_it_reviews_without_a_broken_rule(bare: Review) -> None:
    assert not bare.of("broken")
    electrical = ("supply", "fuse", "branch", "alternator", "amplifier-stays", "amplifier-plays")
    told = {f.rule.name for f in bare.findings if f.outcome in ("holds", "falls short")}
    assert not [name for name in told if name.startswith(electrical)]


def test_all_labels_of_all_amplifiers_are_asked_for_by_name(bare: Review) -> None:
    words = asked(bare)["amplifier-plays-through-a-hot-hour"]
    for name in THERMAL:
        assert len(re.findall(rf"\b{name}\b", words)) == 2, name  # once for each amplifier
    assert "front (" in words
    assert "low (" in words
    assert "read it off the amplifier's label or sheet" in words


def test_the_whole_supply_is_asked_for_at_once(bare: Review) -> None:
    words = asked(bare)["branch-cable-is-protected"]
    for name in (*SUPPLY, *LABELS):
        assert name in words
    for way_out in ("plan the cable", "read the alternator's label", "read the battery's label"):
        assert way_out in words


def test_an_empty_supply_is_asked_for_piece_by_piece(tmp_path: Path) -> None:
    words = asked(review(tmp_path, JOB | {"supply": {}}))
    assert "cable_mm2" in words["supply-holds-up-on-bass-peaks"] + words["supply-cable-drops-little"]
    assert "fuse_a" in words["fuse-protects-the-cable"]
    assert "fuse_from_battery_m" in words["main-fuse-sits-near-the-battery"]
    assert "alternator_a" in words["alternator-keeps-up-on-the-road"]
    assert "battery_ah" in words["parked-vehicle-still-starts"]
    for name in ("front", "low"):
        assert f"supply.branches.{name}" in words["branch-cable-is-protected"]
    both = words["supply-cable-drops-little"]
    assert re.search(r"front \(.*\): class; low \(.*\): class", both)


def test_once_all_that_was_asked_for_is_given_nothing_electrical_is_left_open(tmp_path: Path) -> None:
    data = JOB | {
        "vehicle": {
            "electrics": {"alternator_a": 150, "battery_ah": 80},
            "locations": {"boot": {"air": "open", "hottest_c": 55, "space_mm": [500, 400, 200], "zone": "rear"}},
        },
        "supply": {
            "cable_mm2": 35, "run_m": 5, "fuse_a": 60, "fuse_from_battery_m": 0.2,
            "branches": {name: {"cable_mm2": 10, "run_m": 0.5, "fuse_a": 40} for name in ("front", "low")},
        },
    }  # fmt: skip
    sheet = {"class": "D", "idle_a": 0.5, "sink_k_per_w": 0.6, "cut_out_c": 85, "heat_j_per_k": 1900, "fuses_a": 40,
             "outer_mm": [200, 150, 50], "price": 0, "fit_h": 0}  # fmt: skip
    data["chain"] = {
        "radio": CHAIN["radio"],
        **{
            name: CHAIN[name] | {"amplifier": CHAIN[name]["amplifier"] | sheet, "at": "boot"}  # type: ignore[operator]
            for name in ("front", "low")
        },
    }
    electrical = ("supply", "fuse", "branch", "alternator", "amplifier", "cable", "main", "parked", "watts", "fan")
    left = {name: words for name, words in asked(review(tmp_path, data)).items() if name.startswith(electrical)}
    assert left == {}
