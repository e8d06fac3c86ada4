"""Where everything goes: drivers and their holes, boxes, devices, and what the places have to bear."""

from __future__ import annotations

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.reading.vehicle import Location
from advisor.telling.sheet.cells import NONE_HERE, NOT_KNOWN, Asker, Cell, Section, Table, words

HEAVY_KG = 1.0
"""What hangs lighter is held by its own screws."""


def place_of(subject: Subject) -> Cell:
    """Return where something sits, by the place's name."""
    location = subject.ties.get("location")
    if not isinstance(location, Subject):
        written = f" ({subject.origin.place})" if subject.origin else ""
        return Cell(NOT_KNOWN, missing=f"{subject.name}: location is not given{written}; say where it sits: at")
    return words(location.name)


def title_of(subject: Subject) -> str:
    """Return what a part is called."""
    return str(getattr(subject.specs["part"], "title", "")) or subject.name


def mounting(ask: Asker, chain: Chain) -> Section:
    """Return what is cut, built and held, and where."""
    drivers = chain.of_kind("driver")
    holes = Table(
        "drivers",
        ("driver", "what it is", "at", "cut-out", "ring", "takes behind", "left behind", "to the glass", "comes out"),
        tuple(
            (
                words(one.name),
                words(title_of(one)),
                place_of(one),
                *(ask.cell(one, name) for name in ("cutout_mm", "ring_mm", "depth_needed_mm", "depth_left_mm")),
                *(_if_asked(ask, one, *pair) for pair in _SURVEYED),
            )
            for one in drivers
        ),
    ).kept
    boxed = [one for one in drivers if "box" in one.specs]
    names = (
        "box_net_l",
        "box_gross_l",
        "box_outer_l",
        "tuning_hz",
        "ports",
        "port_mm",
        "port_length_mm",
        "empty_box_kg",
    )
    columns = (
        "box of",
        "net",
        "inside walls",
        "outside, at least",
        "tuned to",
        "ports",
        "inner width",
        "length",
        "empty",
    )
    boxes = Table(
        "boxes", columns, tuple((words(one.name), *(ask.cell(one, name) for name in names)) for one in boxed)
    ).kept
    notes = (
        "Look and feel behind every panel before the first hole. Net is the air that is left when driver and ports "
        "are in.",
    )
    found = tuple(
        table for table in (places(chain), holes, boxes, devices(ask, chain), loads(ask, chain)) if table.rows
    )
    return Section("What goes where", notes, found)


_SURVEYED = (("has_a_window_behind", "window_gap_mm"), ("front_is_surveyed", "comes_out_mm"))


def _if_asked(ask: Asker, subject: Subject, whether: str, name: str) -> Cell:
    """Return a fact where the survey went so far; a place without a window has no gap to tell."""
    reading = ask.reading(subject, whether)
    return ask.cell(subject, name) if reading is not None and reading.value else words("")


def devices(ask: Asker, chain: Chain) -> Table:
    """Return where devices sit and what air they have."""
    rows = []
    for kind in ("source", "interface", "processor", "amplifier", "network"):
        for one in chain.of_kind(kind):
            part = one.specs.get("part")
            title = title_of(one) if part is not None else "made for the job"
            factory = getattr(part, "factory", False)
            spare = ask.cell(one, "spare_mm") if kind == "amplifier" and "location" in one.ties else words("")
            fan = str(getattr(one.specs["spec"], "fan", "none")) if kind == "amplifier" else ""
            where = words("as in the vehicle") if factory else place_of(one)
            rows.append((words(one.name), words(title), where, spare, words("" if fan == "none" else fan)))
    return Table("devices", ("device", "what it is", "at", "least spare room", "fan"), tuple(rows)).kept


def places(chain: Chain) -> Table:
    """Return what each place is, left and right once, and what to beware of there."""
    sides: dict[str, list[str]] = {}
    specs: dict[str, Location] = {}
    for one in chain.of_kind("location"):
        spec = one.specs["spec"]
        if one.own["holds"] and isinstance(spec, Location):
            side = str(one.own["side"])
            name = one.name.removesuffix(f" {side}") if side else one.name
            sides.setdefault(name, []).append(side)
            specs[name] = spec
    rows = tuple(
        (words(name), words(specs[name].title), words(" and ".join(filter(None, found))), words(_beware(specs[name])))
        for name, found in sides.items()
    )
    return Table("places", ("place", "which is", "side", "beware"), rows).kept


def loads(ask: Asker, chain: Chain) -> Table:
    """Return what the places with weight on them carry, and what their fixing has to hold."""
    rows = []
    for one in chain.of_kind("location"):
        weight, shared = ask.reading(one, "carries_kg"), ask.reading(one, "is_shared")
        gap = ask.cell(one, "air_gap_mm") if shared is not None and shared.value else words("")
        if (weight is not None and weight.value >= HEAVY_KG) or gap.text != NONE_HERE or _is_unweighed(ask, one):
            names = ("carries_kg", "braking_n", "cornering_n", "bump_n", "crash_n")
            rows.append((words(one.name), gap, *(ask.cell(one, name) for name in names)))
    columns = ("place", "gap between devices", "carries", "braking pulls", "bends pull", "bumps pull", "a crash pulls")
    return Table("what fixings hold", columns, tuple(rows)).kept


def _is_unweighed(ask: Asker, location: Subject) -> bool:
    return bool(location.own["holds"]) and bool(ask.cell(location, "carries_kg").missing)


def _beware(spec: Location) -> str:
    found = [f"airbag {spec.airbag}"] if spec.airbag in ("near", "in its path") else []
    found += ["nobody said whether an airbag is near"] if spec.airbag is None else []
    found += [f"costs the {', '.join(spec.disturbs)}"] if spec.disturbs else []
    return "; ".join(found)
