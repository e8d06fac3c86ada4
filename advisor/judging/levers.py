"""From the levers a rule names to what can be turned in this job's file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Key
from advisor.facts.given import given_key
from advisor.judging import swaps
from advisor.judging.knobs import Choice, Knob, Number, Option, from_list, hz_step, litre_step, steps
from advisor.reading.edits import Edit
from advisor.reading.job import Way
from advisor.reading.origin import root_of
from advisor.reading.parts import Box
from advisor.reading.reader import OpenJob
from advisor.reading.shorthand import Edge
from advisor.reading.spec import Spec

EDGES = {"low_edge_hz": 0, "high_edge_hz": 1}

PHRASES = {
    "fuse_a": ("the main fuse", "A"), "fuse_from_battery_m": ("the cable from the battery to the main fuse", "m"),
    "run_m": ("the way of the cable", "m"),
    "loudness_db": ("the loudness asked for", "dB"), "budget": ("the budget", ""),
    "closed_l": ("the closed box of {}", "L"), "vented_l": ("the vented box of {}", "L"),
    "tuned_hz": ("the tuning of the box of {}", "Hz"), "port_mm": ("the port of the box of {}", "mm"),
    "deepest_hz": ("the depth of bass asked for", "Hz"), "pad_db": ("the pad of {}", "dB"),
    "trim_db": ("the trim of {}", "dB"), "delay_ms": ("the delay of {}", "ms"),
}  # fmt: skip
"""Numbers of a job that may be turned: what they are called, and their unit."""

BOX_NUMBERS = ("closed_l", "vented_l", "tuned_hz", "port_mm")
SECTIONS_MM2 = (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0)
FUSES_A = (5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0)


def knobs(lever: str, subject: Subject, chain: Chain, opened: OpenJob) -> Iterator[Knob]:
    """Yield what can be turned for a lever of a rule about a subject.

    What is a fact of the world (a surveyed place, a datasheet, an alternator) is no knob; nor is what only a person
    can decide.
    """
    first, *steps_, last = lever.split(".")
    if last == "branches":
        yield from _branch_knobs(subject, chain, opened)
        return
    seen: set[Any] = set()
    for start in _starts(first, last, subject, chain):
        for holder in _walk(start, steps_):
            yield from _knobs(holder, last, start, chain, opened, seen)


def _starts(kind: str, last: str, subject: Subject, chain: Chain) -> list[Subject]:
    """Return the subjects of a kind that are meant where a rule speaks of another."""
    if subject.kind == kind:
        return [subject]
    if subject.kind == "crossing" and last in EDGES:
        return _tied(subject, "upper" if last == "low_edge_hz" else "lower")
    tied = [one for tie in subject.ties for one in _tied(subject, tie) if one.kind == kind]
    back = [one for one in chain.of_kind(kind) if any(subject in _tied(one, tie) for tie in one.ties)]
    return tied or back or chain.of_kind(kind)


def _tied(subject: Subject, name: str) -> list[Subject]:
    tie = subject.ties.get(name, ())
    return [tie] if isinstance(tie, Subject) else list(tie)


def _walk(here: Subject | Spec, names: list[str]) -> list[Subject | Spec]:
    """Follow names through ties, specs and fields."""
    if not names:
        return [here]
    name, rest = names[0], names[1:]
    if isinstance(here, Subject):
        if name in here.specs:
            return _walk(here.specs[name], rest)
        return [found for one in _tied(here, name) for found in _walk(one, rest)]
    inner = getattr(here, name, None)
    return _walk(inner, rest) if isinstance(inner, Spec) else []


def _knobs(
    holder: Subject | Spec, last: str, start: Subject, chain: Chain, opened: OpenJob, seen: set[Any]
) -> Iterator[Knob]:
    """Yield the knobs of one name of one holder, each once: left and right share theirs."""
    spec = holder.specs.get("way") if isinstance(holder, Subject) else holder
    mark = (getattr(getattr(spec, "origin", None), "identity", id(holder)), last)
    if mark in seen:
        return
    seen.add(mark)
    if isinstance(holder, Subject):
        if last in EDGES:
            yield from _edge_knobs(holder, EDGES[last], chain)
        elif last == "box" and holder.kind == "driver":
            yield from _box_knobs(holder, chain, opened)
        elif last == "part":
            yield from swaps.of_part(holder, opened)
        elif holder.kind == "link" and last in ("receiver", "sender"):
            yield from swaps.of_device(str(holder.own[last]), chain, opened)
        return
    if start.kind == "link":  # a signal of a part: another part has another
        side = "receiver" if holder is start.specs.get("take") else "sender"
        yield from swaps.of_device(str(start.own[side]), chain, opened)
    elif _is_of_job(holder, opened):
        yield from _spec_knobs(holder, last, start, opened)


def _is_of_job(spec: Spec, opened: OpenJob) -> bool:
    module = type(spec).__module__.rpartition(".")[2]
    return spec.origin is not None and spec.origin.file.name == opened.name and (module == "job" or type(spec) is Box)


def _spec_knobs(spec: Spec, name: str, start: Subject, opened: OpenJob) -> Iterator[Knob]:
    if name == "plays" and isinstance(spec, Way):
        yield from _slope_knobs(spec, start)
    elif name in ("cable_mm2", "cable"):
        yield from _cable_knobs(spec, start, opened)
    elif name in PHRASES and isinstance(getattr(spec, name), int | float):
        yield _number(spec, name, start)
    else:
        yield from swaps.of_word(spec, name, start, opened)


def _number(spec: Spec, name: str, start: Subject) -> Number:
    value = float(getattr(spec, name))
    phrase, unit = PHRASES[name]
    what = phrase.format(start.bare)
    path = path_of(spec, name)

    def option(number: float) -> Option:
        pair = ("lengthen", "shorten") if name.endswith("_m") else ("raise", "lower")
        verb = pair[number < value]
        return Option((Edit(path, plain(number)),), f"{verb} {what} from {value:g} to {number:g} {unit}".rstrip())

    if name == "fuse_a":
        up, down = from_list(value, FUSES_A)
    else:
        step, least, most = _range(name, value)
        up, down = steps(value, step, least, most)
    if name in ("run_m", "budget"):  # a way around may be shorter by some, a budget only grows
        up, down = ([], down) if name == "run_m" else (up, [])
    key = given_key(spec, start, "", name)
    return Number(value, up, down, option, lambda number: {key: number})


def _range(name: str, value: float) -> tuple[Any, float, float]:
    ending = name.rpartition("_")[2]
    if name == "budget":
        return (lambda _: 50.0), value, value * 4
    if ending == "db":
        return (lambda _: 0.5), value - 20, value + 20
    if ending == "m":
        return (lambda _: 0.05 if value < 1 else 0.1), value * 0.85 if name == "run_m" else 0.05, value * 2
    if ending == "mm":
        return (lambda _: 5.0), value / 2, value * 2.5
    if ending == "l":
        return litre_step, value / 3, value * 3
    return hz_step, value / 4, value * 4


def _branch_knobs(amplifier: Subject, chain: Chain, opened: OpenJob) -> Iterator[Knob]:
    """The cable and the fuse of the branch that leads to an amplifier."""
    supply = opened.system.job.supply
    branch = supply.branches.get(amplifier.name) if supply else None
    if branch is None or branch.origin is None:
        return
    yield from _cable_knobs(branch, amplifier, opened)
    what, path = f"the fuse of the branch to {amplifier.name}", path_of(branch, "fuse_a")
    if branch.fuse_a is None:
        fuses = [
            Option((Edit(path, plain(fuse)),), f"put a fuse of {fuse:g} A before the branch to {amplifier.name}")
            for fuse in reversed(FUSES_A)
        ]
        yield Choice(tuple(fuses))
        return
    now = float(branch.fuse_a)

    def option(number: float) -> Option:
        return Option(
            (Edit(path, plain(number)),), f"{'raise' if number > now else 'lower'} {what} from {now:g} to {number:g} A"
        )

    yield Number(now, *from_list(now, FUSES_A), option)


def _edge_knobs(driver: Subject, index: int, chain: Chain) -> Iterator[Knob]:
    """One edge of a way; and where its neighbour's edge stands at the same frequency, the two together."""
    way = driver.specs["way"]
    assert isinstance(way, Way)
    edge = way.plays[index] if way.plays else None
    if edge is None or edge.hz is None:
        return
    yield _edge_number([(driver, index)], edge.hz, f"the {('low', 'high')[index]} edge of {driver.bare}")
    mine, others = ("upper", "lower") if index == 0 else ("lower", "upper")
    for crossing in chain.of_kind("crossing"):
        neighbour = crossing.ties[others]
        if crossing.ties[mine] is driver and isinstance(neighbour, Subject):
            spec = neighbour.specs["way"]
            assert isinstance(spec, Way)
            if spec.plays and spec.plays[1 - index].hz == edge.hz:
                names = sorted([driver.bare, neighbour.bare])
                what = f"the handover between {' and '.join(names)}"
                yield _edge_number([(driver, index), (neighbour, 1 - index)], edge.hz, what)
                return


def _edge_number(ends: list[tuple[Subject, int]], hz: float, what: str) -> Number:
    up, down = steps(hz, hz_step, max(hz / 4, 10), min(hz * 4, 20_000))

    def option(number: float) -> Option:
        verb = "raise" if number > hz else "lower"
        edits = tuple(_edge_edit(_way(driver), {index: number}) for driver, index in ends)
        return Option(edits, f"{verb} {what} from {hz:g} to {number:g} Hz")

    def given(number: float) -> Mapping[Key, Any]:
        return {
            given_key(_way(driver), driver, "way", "plays"): _turned(_way(driver), {index: number})
            for driver, index in ends
        }

    return Number(hz, up, down, option, given)


def _way(driver: Subject) -> Way:
    way = driver.specs["way"]
    assert isinstance(way, Way)
    return way


def _turned(way: Way, hz: dict[int, float]) -> tuple[Edge, ...]:
    assert way.plays
    return tuple(replace(edge, hz=hz.get(index, edge.hz)) for index, edge in enumerate(way.plays))


def _edge_edit(way: Way, hz: dict[int, float]) -> Edit:
    return Edit(path_of(way, "plays"), [str(edge) for edge in _turned(way, hz)])


FILTERS = (
    ("linkwitz-riley", 12), ("butterworth", 12), ("butterworth", 18), ("linkwitz-riley", 24), ("butterworth", 24),
)  # fmt: skip


def _slope_knobs(way: Way, driver: Subject) -> Iterator[Knob]:
    """The filters of a way's edges as they stand, and each steep one together with where the edge stands."""
    if not way.plays:
        return
    options = []
    for index, edge in enumerate(way.plays):
        if edge.hz is None:
            continue
        which = f"the {('low', 'high')[index]} edge of {driver.bare}"
        for family, slope in FILTERS:
            other = Edge(edge.hz, family, slope)
            if other != edge:
                says = f"set {which} to {other} instead of {edge}"
                options.append(Option((_plays_edit(way, index, other),), says))
            if other != edge and slope >= 24:
                yield _steep_number(way, driver, index, edge, other)
    yield Choice(tuple(options))


def _steep_number(way: Way, driver: Subject, index: int, edge: Edge, other: Edge) -> Number:
    assert edge.hz is not None
    up, down = steps(edge.hz, hz_step, max(edge.hz / 4, 10), min(edge.hz * 4, 20_000))
    key, which = given_key(way, driver, "way", "plays"), f"the {('low', 'high')[index]} edge of {driver.bare}"

    def option(number: float) -> Option:
        turned = replace(other, hz=number)
        return Option((_plays_edit(way, index, turned),), f"set {which} to {turned} instead of {edge}")

    def given(number: float) -> Mapping[Key, Any]:
        return {key: _with_edge(way, index, replace(other, hz=number))}

    return Number(edge.hz, up, down, option, given)


def _with_edge(way: Way, index: int, edge: Edge) -> tuple[Edge, ...]:
    assert way.plays
    return tuple(edge if place == index else kept for place, kept in enumerate(way.plays))


def _plays_edit(way: Way, index: int, edge: Edge) -> Edit:
    return Edit(path_of(way, "plays"), [str(kept) for kept in _with_edge(way, index, edge)])


def _box_knobs(driver: Subject, chain: Chain, opened: OpenJob) -> Iterator[Knob]:
    box = driver.specs.get("box")
    if isinstance(box, Box) and _is_of_job(box, opened):
        for name in BOX_NUMBERS:
            if isinstance(getattr(box, name), int | float):
                yield _number(box, name, driver)
    elif isinstance(box, Box):
        yield from swaps.of_box(driver, opened)


def _cable_knobs(spec: Spec, start: Subject, opened: OpenJob) -> Iterator[Knob]:
    if getattr(spec, "cable", None) is not None:
        yield from swaps.of_cable(spec, start, opened)
        return
    value = getattr(spec, "cable_mm2", None)
    if value is None:
        return
    up, down = from_list(float(value), SECTIONS_MM2)
    if start.kind == "amplifier":  # a branch thicker than the cable that feeds it gains nothing
        up = [section for section in up if section <= _supply_mm2(opened)]
    path, what = path_of(spec, "cable_mm2"), swaps.cable_name(start)

    def option(number: float) -> Option:
        return Option((Edit(path, plain(number)),), f"take {number:g} mm² for {what} instead of {value:g} mm²")

    yield Number(float(value), up, down, option)


def _supply_mm2(opened: OpenJob) -> float:
    """Return the section of the supply cable, the thickest there is where it is not given."""
    supply = opened.system.job.supply
    if supply is None:
        return SECTIONS_MM2[-1]
    if isinstance(supply.cable, str):
        part = opened.library.part("cable", supply.cable, root_of(opened.source))
        return getattr(part, "mm2", None) or SECTIONS_MM2[-1]
    return supply.cable_mm2 or SECTIONS_MM2[-1]


def path_of(spec: Spec, name: str) -> tuple[str | int, ...]:
    """Return the path of one value of a mapping of the job."""
    assert spec.origin is not None
    return (*spec.origin.path, name.rstrip("_"))


def plain(number: float) -> float | int:
    """Return a number as one writes it."""
    return int(number) if number == int(number) else number
