"""Edits of job, library, vehicle and shop files as people make them, drawn by hypothesis; some leave a file faulty."""

from __future__ import annotations

import copy
import os
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

Steps = tuple[Any, ...]

PLAYS = ("75 LR24", "2400 LR12", "open", "28 BW24", "350", "3200 LR12", "90 BS12", "120 LR48")
WAIVERS = tuple(
    {"rule": rule, "at": at, "reason": "known", "until": until, "by": "us"}
    for rule, at, until in (
        ("way-reaches-its-low-edge", "sub", "2027-03-01"),
        ("job-keeps-to-the-budget", "job", "2027-03-01"),
        ("job-keeps-to-the-budget", "job", "2020-03-01"),
        ("no-such-rule", "job", "2027-03-01"),
    )
)
ADDED: dict[str, tuple[tuple[str, Any], ...]] = {
    "": (
        ("air_c", 31),
        *(("waive", [waiver]) for waiver in WAIVERS),
        ("extras", {"FU-100": 2}),
    ),
    "ways": (
        ("trim_db", -3), ("trim_db", {"left": -2, "right": -4}), ("polarity", "inverted"), ("delay_ms", 1.2),
        ("speaker_cable", {"cable_mm2": 2.5, "run_m": 4}), ("speaker_cable", {"cable": "CS-40", "run_m": 3}),
        ("work", []), ("box", {"closed_l": 12}), ("box", {"vented_l": 30, "tuned_hz": 36, "port_mm": 80}), ("count", 2),
        ("plays", ["75 LR24", "open"]),
    ),
    "chain": (("fan", "thermostatic"), ("fan", "none"), ("over", "line"), ("relay", True), ("at", "door-low"),
              ("pad_db", {"high": 3})),
    "customer": (("budget", 2500), ("loudness_db", 104), ("keep", ["load floor"]), ("seats", ["driver"]),
                 ("deepest_hz", 25)),
    "supply": (("fuse_a", 60), ("fuse_from_battery_m", 0.6), ("cable_mm2", 16), ("joints", 6), ("ground", "body")),
}  # fmt: skip
"""Keys that files may have, by the part of a job they go to; not every one suits every place."""


class Editor:
    """A copy of some files, edited in a way that only a random generator decides."""

    def __init__(self, seed: int, data: dict[str, Any]) -> None:
        self.random = random.Random(seed)
        self.data = data

    def edit(self, name: str) -> str:
        """Change the values of one file, and say how."""
        acts = [self.scale, self.scale, self.within, self.delete, self.reorder, self.nothing]
        if name == "job":
            acts += [self.swap, self.swap, self.add, self.add, self.rename, self.drop, self.double, self.plays]
        else:
            acts += [self.title, self.estimated]
        act = self.random.choice(acts)
        return f"{name}: {act.__name__} {act(name)}"

    def numbers(self, name: str) -> list[tuple[Steps, Any]]:
        return [item for item in leaves(self.data[name]) if is_number(item[1]) and item[0] != ("advisor",)]

    def nothing(self, name: str) -> str:
        return "but the layout"

    def scale(self, name: str) -> str:
        numbers = [
            (steps, value) for steps, value in leaves(self.data[name]) if is_number(value) and steps != ("advisor",)
        ]
        steps, value = self.random.choice(numbers)
        factor = self.random.choice([0.5, 0.9, 1.1, 2, 10])
        put(self.data[name], steps, round(value * factor) if isinstance(value, int) else value * factor)
        return f"{steps} by {factor}"

    def within(self, name: str) -> str:
        """Say of a number how far it may be off; not every number may say so."""
        numbers = self.numbers(name)
        steps, value = self.random.choice([item for item in numbers if item[0][-1] != "value"] or numbers)
        put(self.data[name], steps, {"value": value, "within": self.random.choice(["5 %", "20 %", 1])})
        return str(steps)

    def delete(self, name: str) -> str:
        steps, _ = self.random.choice([item for item in branches(self.data[name]) if isinstance(item[0][-1], str)])
        holder(self.data[name], steps).pop(steps[-1])
        return str(steps)

    def reorder(self, name: str) -> str:
        places: list[Steps] = [()]
        places += [steps for steps, value in branches(self.data[name]) if isinstance(value, dict)]
        steps = self.random.choice(places)
        mapping = at(self.data[name], steps)
        items = list(mapping.items())
        self.random.shuffle(items)
        mapping.clear()
        mapping.update(items)
        return str(steps)

    def title(self, name: str) -> str:
        return self.in_a_part(name, "title", self.random.choice(["Another name", "One more name"]))

    def estimated(self, name: str) -> str:
        return self.in_a_part(name, "data", self.random.choice(["estimated", "measured"]))

    def in_a_part(self, name: str, key: str, value: str) -> str:
        parts = self.data[name].get("parts") or {"": self.data[name]}
        code = self.random.choice(sorted(parts))
        if isinstance(parts[code], dict):
            parts[code][key] = value
        return f"{code}.{key} {value}"

    def swap(self, name: str) -> str:
        """Name another part of the library, hardly ever of another kind."""
        codes = {code: part for data in self.data.values() for code, part in data.get("parts", {}).items()}
        named = [
            (steps, value) for steps, value in leaves(self.data[name]) if isinstance(value, str) and value in codes
        ]
        if not named:
            return "nothing"
        steps, old = self.random.choice(named)
        kind = codes[old].get("kind") if isinstance(codes[old], dict) else None
        alike = [code for code, part in codes.items() if isinstance(part, dict) and part.get("kind") == kind]
        new = self.random.choice(alike if alike and self.random.random() < 0.95 else sorted(codes))
        put(self.data[name], steps, new)
        return f"{steps} {old} {new}"

    def add(self, name: str) -> str:
        where = self.random.choice([where for where in ADDED if not where or self.data[name].get(where)])
        key, value = copy.deepcopy(self.random.choice(ADDED[where]))
        target = self.data[name][where] if where else self.data[name]
        if where in ("ways", "chain"):
            target = target[self.random.choice(sorted(target))]
        target[key] = value
        return f"{where} {key} {value}"

    def rename(self, name: str) -> str:
        ways = self.data[name].get("ways") or {}
        if not ways:
            return "nothing"
        old = self.random.choice(sorted(ways))
        self.data[name]["ways"] = {("other" if key == old else key): value for key, value in ways.items()}
        return old

    def drop(self, name: str) -> str:
        group = self.data[name].get(self.random.choice(["ways", "ways", "chain"])) or {}
        return str(group.pop(self.random.choice(sorted(group)))) if group else "nothing"

    def double(self, name: str) -> str:
        ways = self.data[name].get("ways") or {}
        if not ways:
            return "nothing"
        old = self.random.choice(sorted(ways))
        ways["second"] = copy.deepcopy(ways[old])
        return old

    def plays(self, name: str) -> str:
        ways = self.data[name].get("ways") or {}
        if not ways:
            return "nothing"
        way = self.random.choice(sorted(ways))
        edges = ways[way].get("plays")
        if isinstance(edges, list) and edges:
            edges[self.random.randrange(len(edges))] = self.random.choice(PLAYS)
        return f"{way} {edges}"

    def text(self, name: str) -> str:
        """Write a file out: in block or flow style, now and then with comments and empty lines."""
        flow = self.random.choice([None, None, False])
        text: str = yaml.safe_dump(
            self.data[name], allow_unicode=True, sort_keys=False, default_flow_style=flow,
            width=self.random.choice([60, 100, 200]), indent=self.random.choice([2, 4]),
        )  # fmt: skip
        lines = text.splitlines(keepends=True)
        for _ in range(self.random.randrange(4)):
            top = [number for number, line in enumerate(lines) if line[:1].isalpha()]
            lines.insert(self.random.choice(top or [0]), self.random.choice(["\n", "# a remark\n"]))
        return "".join(lines)


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def branches(data: Any, steps: Steps = ()) -> Iterator[tuple[Steps, Any]]:
    """Yield every path below the top, with what is there."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, value in items:
        yield (*steps, step), value
        yield from branches(value, (*steps, step))


def leaves(data: Any) -> Iterator[tuple[Steps, Any]]:
    return ((steps, value) for steps, value in branches(data) if not isinstance(value, dict | list))


def at(data: Any, steps: Steps) -> Any:
    for step in steps:
        data = data[step]
    return data


def holder(data: Any, steps: Steps) -> Any:
    return at(data, steps[:-1])


def put(data: Any, steps: Steps, value: Any) -> None:
    holder(data, steps)[steps[-1]] = value


_TIME = [1_700_000_000_000_000_000]


def save(path: Path, text: str) -> None:
    """Write a file, a second after the one before: tests are faster than the clock of a file system."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    _TIME[0] += 1_000_000_000
    os.utime(path, ns=(_TIME[0], _TIME[0]))
