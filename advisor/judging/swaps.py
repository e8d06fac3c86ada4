"""Choices of a job: another part of the library, another place, another word, work added."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import cast

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.judging.knobs import Choice, Option
from advisor.reading.edits import REMOVED, Edit, Path
from advisor.reading.job import Device, Job, Way
from advisor.reading.origin import root_of
from advisor.reading.parts import Amplifier, Cable, Driver, Part
from advisor.reading.reader import OpenJob
from advisor.reading.spec import Spec
from advisor.reading.system import PlacedDevice

WORDS: dict[str, tuple[str, ...]] = {
    "fan": ("thermostatic", "switched", "always on", "none"),
    "coils": ("series", "parallel"),
    "joined": ("series", "parallel"),
    "polarity": ("normal", "inverted"),
    "ground": ("cable", "body"),
}
"""Words of a job of which another could stand."""


def of_part(subject: Subject, opened: OpenJob) -> Iterator[Choice]:
    """Yield the other parts of the library that could stand where one does."""
    system = opened.system
    if subject.kind == "driver":
        name = subject.bare
        yield _swap(("ways", name, "driver"), "driver", system.ways[name].part, system.ways[name].code, opened)
    elif subject.name in system.devices or subject.bare in system.devices:
        yield from of_device(subject.name if subject.name in system.devices else subject.bare, None, opened)


def of_device(name: str, chain: Chain | None, opened: OpenJob) -> Iterator[Choice]:
    """Yield the other parts that could stand for a device of the chain."""
    device = opened.system.devices.get(name)
    if device is None or device.part is None or getattr(device.part, "factory", False):
        return  # what is made for the job has no twin in the library; what the vehicle came with stays
    yield _swap(("chain", name, device.kind), device.kind, device.part, device.code, opened)


def of_box(driver: Subject, opened: OpenJob) -> Iterator[Choice]:
    """Yield the other boxes of the library."""
    name = driver.bare
    box = driver.specs["box"]
    assert isinstance(box, Part)
    yield _swap(("ways", name, "box"), "box", box, str(opened.system.ways[name].spec.box), opened)


def of_cable(spec: Spec, start: Subject, opened: OpenJob) -> Iterator[Choice]:
    """Yield the other cables of the library for the same use, thicker and thinner."""
    code = getattr(spec, "cable")  # noqa: B009 - a run's or the supply's
    part = opened.library.part("cable", code, root_of(opened.source)) if isinstance(code, str) else None
    if not isinstance(part, Cable) or spec.origin is None:
        return
    options = []
    for other, found in _parts("cable", opened):
        if isinstance(found, Cable) and found.use == part.use and other != code and not found.discontinued:
            says = f"take {other}{_titled(found)} for {cable_name(start)} instead of {code}"
            options.append((found.mm2 or 0.0, Option((Edit((*spec.origin.path, "cable"), other),), says)))
    yield Choice(tuple(option for _, option in sorted(options, key=lambda pair: pair[0])))


def cable_name(start: Subject) -> str:
    """Return what a cable is called."""
    if start.kind == "amplifier":
        return f"the branch to {start.name}"
    return "the supply cable" if start.kind == "supply" else f"the cable of {start.name.removesuffix(' cable')}"


def of_word(spec: Spec, name: str, start: Subject, opened: OpenJob) -> Iterator[Choice]:
    """Yield the other words a key of the job could have."""
    if spec.origin is None:
        return
    who, path = start.bare, (*spec.origin.path, name.rstrip("_"))
    now = getattr(spec, name, None)
    if name in WORDS:
        words = [word for word in WORDS[name] if word != now]
        yield Choice(tuple(Option((Edit(path, word),), _word_says(name, word, who, str(now))) for word in words))
    elif name == "at":
        yield Choice(tuple(_places(spec, path, who, opened)))
    elif name == "work":
        yield Choice(tuple(_work(spec, path, who, start, opened)))
    elif name == "count" and isinstance(spec, Way):
        count = spec.count + 1
        edits = [Edit(path, count)] + ([] if spec.joined else [Edit((*spec.origin.path, "joined"), "parallel")])
        yield Choice((Option(tuple(edits), f"mount {count} {who} instead of {spec.count}"),))
    elif name == "from" and isinstance(spec, Way | Device):
        yield Choice(tuple(_feeds(spec, path, who, start, opened)))
    elif name == "woken_by" and isinstance(spec, Device):
        feeding = dict.fromkeys(port.node for port in spec.from_.ports) if spec.from_ else {}
        yield Choice(tuple(Option((Edit(path, node),), f"switch {who} on from {node}") for node in feeding))
    elif name == "relay" and isinstance(spec, Device):
        says = f"leave the relay of {who} out" if spec.relay else f"put a relay into the switching lead of {who}"
        yield Choice((Option((Edit(path, REMOVED if spec.relay else True),), says),))
    elif name == "service_lead":
        open_places = [place for place, found in opened.system.vehicle.locations.items() if not found.hidden]
        yield Choice(tuple(Option((Edit(path, p),), f"bring a service lead of {who} out at {p}") for p in open_places))
    elif start.kind == "waiver":
        yield Choice((Option((Edit(spec.origin.path, REMOVED),), f"take {start.name} out"),))


def _word_says(name: str, word: str, who: str, now: str) -> str:
    if name == "fan":
        if word == "none":
            return f"leave the fan of {who} out"
        return f"give {who} a fan, {word}" if now == "none" else f"make the fan of {who} {word}"
    if name == "polarity":
        return f"set the polarity of {who} to {word}"
    if name == "ground":
        return "ground at the body" if word == "body" else "lay a ground cable along with the supply"
    what = "the coils of" if name == "coils" else "the drivers of"
    return f"wire {what} {who} in {word}"


def _places(spec: Spec, path: Path, who: str, opened: OpenJob) -> Iterator[Option]:
    """Other places of the vehicle: for a way those with as many sides, for a device those with room said.

    Nothing is proposed for a place in an airbag's path, for one whose loss the customer has ruled out, or for a hole
    that another driver fills.
    """
    kept = set(opened.system.job.customer.keep)
    taken = {way.at.name for way in opened.system.ways.values() if way.at and isinstance(spec, Way)}
    now = getattr(spec, "at", None)
    places = opened.system.vehicle.locations
    here = places.get(now) if isinstance(now, str) else None
    for name, place in places.items():
        ruled_out = place.airbag == "in its path" or bool(kept.intersection(place.disturbs))
        if name == now or name in taken or ruled_out:
            continue
        fits = place.space_mm is not None or place.pair
        if isinstance(spec, Way):
            fits = place.hole_mm is not None and (here is None or place.sides == here.sides)
        if fits:
            yield Option((Edit(path, name),), f"mount {who} at {name}" + (f" instead of {now}" if now else ""))


def _body_part(start: Subject) -> str:
    location = start.ties.get("location")
    place = location.specs["spec"] if isinstance(location, Subject) else None
    behind = getattr(place, "behind", None)
    return behind if behind == "door" else "panel"


def _work(spec: Spec, path: Path, who: str, start: Subject, opened: OpenJob) -> Iterator[Option]:
    """Work added, one operation or two."""
    now = cast("Job | Way", spec).work
    known = opened.system.shop.operations
    body = (
        {"seal", "damp", "build", "hold"}
        if isinstance(spec, Way)
        else {"build", "hold", "hold amplifiers", "wire", "set up"}
    )
    does = {name: set(one.does) & body for name, one in known.items() if name not in now}
    more = [name for name, what in does.items() if what and known[name].where in (None, _body_part(start))]
    pairs = [(one, two) for one, two in combinations(more, 2) if does[one] - does[two] and does[two] - does[one]]
    several = [*combinations(more, 1), *pairs]
    for names in sorted(several, key=lambda names: (sum(known[name].h for name in names), len(names))):
        where = "the job" if who == "job" else who
        told = " and ".join(f"{name} ({known[name].title})" if known[name].title else name for name in names)
        yield Option((Edit(path, [*now, *names]),), f"add to the work on {where}: {told}")


def _feeds(spec: Way | Device, path: Path, who: str, start: Subject, opened: OpenJob) -> Iterator[Option]:
    """Channels of amplifiers that nothing uses yet; for an amplifier, processor outputs that nothing else takes."""
    system = opened.system
    taken = {str(port) for way in system.ways.values() for port in (way.spec.from_.ports if way.spec.from_ else ())}
    taken |= {
        str(port)
        for device in system.devices.values()
        for port in (device.spec.from_.ports if device.spec.from_ and device.spec is not spec else ())
    }
    location = start.ties.get("location")
    sides = 2 if isinstance(spec, Way) and (start.own.get("side") or (location is None and not spec.from_)) else 1
    if isinstance(spec, Device):
        yield from _outputs(spec, path, who, taken, opened)
        return
    for name, device in system.devices.items():
        if not isinstance(device.part, Amplifier):
            continue
        free = _free(name, _channels(device.part), taken)
        if len(free) >= sides:
            yield Option((Edit(path, _listed(free[:sides])),), f"feed {who} from {' and '.join(free[:sides])}")
    for device in system.devices.values():
        if isinstance(device.part, Amplifier):
            yield from _larger(device, sides, path, who, taken, opened)


def _larger(
    device: PlacedDevice, sides: int, path: Path, who: str, taken: set[str], opened: OpenJob
) -> Iterator[Option]:
    """An amplifier with more channels, its new ones fed from what is free of the processor."""
    assert isinstance(device.part, Amplifier)
    name, ports = device.name, device.spec.from_.ports if device.spec.from_ else ()
    numbered = bool(ports) and all(port.channels for port in ports) and len({port.node for port in ports}) == 1
    for code, part in _parts("amplifier", opened):
        assert isinstance(part, Amplifier)
        free = _free(name, _channels(part), taken)[:sides]
        if part.discontinued or _channels(part) <= _channels(device.part) or len(free) < sides:
            continue
        edits = [Edit(("chain", name, "amplifier"), code), Edit(path, _listed(free))]
        says = f"take {code}{_titled(part)} instead of {device.code} and feed {who} from {' and '.join(free)}"
        if numbered:
            missing = max(int(port.rpartition(".")[2]) for port in free) - len(ports)
            outputs = _free(ports[0].node, 64, taken)[: max(missing, 0)]
            edits.append(Edit(("chain", name, "from"), [*map(str, ports), *outputs]))
        yield Option(tuple(edits), says)


def _channels(part: Amplifier) -> int:
    return sum(bank.channels for bank in part.banks)


def _free(node: str, there: int, taken: set[str]) -> list[str]:
    return [f"{node}.{number}" for number in range(1, there + 1) if not _is_taken(node, number, taken)]


def _listed(ports: list[str]) -> list[str] | str:
    return ports if len(ports) > 1 else ports[0]


def _is_taken(name: str, number: int, taken: set[str]) -> bool:
    numbers = {one for port in taken if port.startswith(f"{name}.") for one in port.rpartition(".")[2].split("+")}
    return str(number) in numbers


def _outputs(spec: Device, path: Path, who: str, taken: set[str], opened: OpenJob) -> Iterator[Option]:
    ports = spec.from_.ports if spec.from_ else ()
    if not ports or any(not port.channels for port in ports) or len({port.node for port in ports}) > 1:
        return
    node, wanted = ports[0].node, len(ports)
    free = _free(node, 64, taken)[:wanted]
    yield Option((Edit(path, _listed(free)),), f"feed {who} from {' and '.join(free)}")


def _swap(path: Path, kind: str, part: Part, code: str, opened: OpenJob) -> Choice:
    found = [(other, one) for other, one in _parts(kind, opened) if other != code and _could_stand_for(one, part)]
    options = [Option((Edit(path, other),), f"take {other}{_titled(one)} instead of {code}") for other, one in found]
    return Choice(tuple(options))


def _could_stand_for(other: Part, part: Part) -> bool:
    """Of the same sort, and to be had; whether it serves is for the rules to say."""
    if other.discontinued:
        return False
    if isinstance(part, Driver) and isinstance(other, Driver):
        return other.type == part.type and other.impedance_ohm in (part.impedance_ohm, None)
    if isinstance(part, Amplifier) and isinstance(other, Amplifier):
        return _channels(other) >= _channels(part)
    return True


def _parts(kind: str, opened: OpenJob) -> Iterator[tuple[str, Part]]:
    """Yield the parts of a kind that can be read, cheapest first; those nobody priced come last."""
    library, found = opened.library, []
    asked = root_of(opened.source)
    for code in library.codes(kind):
        part = library.part(kind, code, asked)
        if part is not None:
            found.append((code, part))
    library.faults.clear()  # of parts this job does not name
    yield from sorted(found, key=lambda pair: (pair[1].price is None, pair[1].price or 0.0, pair[0]))


def _titled(part: Part) -> str:
    return f" ({part.title})" if part.title else ""
