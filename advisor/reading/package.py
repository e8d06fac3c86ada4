"""A standard package: a job with neither vehicle nor customer of its own, and those it claims to serve."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Annotated, Any, Literal

import yaml
from annotated_types import MinLen

from advisor.errors import Fault
from advisor.reading.border import checked, placed
from advisor.reading.choices import Choice, Settled, choices_of, settle, ways_to_settle
from advisor.reading.job import Customer, Device, Job, Supply, Waiver, Way
from advisor.reading.origin import Origin, root_of
from advisor.reading.quantities import Celsius, Positive
from advisor.reading.source import SourceFile
from advisor.reading.spec import Spec


@dataclass(frozen=True, kw_only=True)
class Package(Spec):
    """A package file. Any value may be left open: {one of: [A, B]}."""

    advisor: Literal[1] = 1
    package: Annotated[str, MinLen(1)]
    """What it is sold as."""
    line: str | None = None
    """Packages of one line are steps of price that a customer chooses between."""
    vehicles: Annotated[tuple[str, ...], MinLen(1)]
    """Codes of the vehicles it is said to fit."""
    customers: Annotated[dict[str, Customer], MinLen(1)]
    """Kinds of customer it is said to serve, by a name, with what each wants."""
    air_c: Celsius | None = None
    chain: dict[str, Device] = field(default_factory=dict)
    ways: Annotated[dict[str, Way], MinLen(1)]
    supply: Supply | None = None
    work: tuple[str, ...] = ()
    extras: dict[str, Positive] = field(default_factory=dict)
    """Other parts of the library and how many (or how many metres)."""
    waive: tuple[Waiver, ...] = ()


OWN = ("package", "line", "vehicles", "customers")
"""Keys of a package that a job has not."""

SHARED = tuple(field.name for field in fields(Package) if field.name not in OWN)
"""Keys that a package and a job have in common."""

assert {field.name for field in fields(Job)} >= set(SHARED)


@dataclass(frozen=True)
class PackageFile:
    """A package that was read: what it claims, the choices it leaves open, and the file to make jobs from."""

    code: str
    file: SourceFile
    spec: Package
    choices: tuple[Choice, ...]

    @cached_property
    def claimed_at(self) -> dict[str, str]:
        """`file:line:col` of each vehicle it claims."""
        listed = root_of(self.file).down(("vehicles",))[0]
        places = [listed.down((index,))[0].place for index in range(len(self.spec.vehicles))]
        return dict(zip(self.spec.vehicles, places, strict=True))

    @property
    def ways_to_settle(self) -> list[Settled]:
        """Every way to answer its choices."""
        return ways_to_settle(list(self.choices))

    def job(self, settled: Settled, customer: str, vehicle: str) -> SourceFile:
        """Return the file of the job it is for one customer and vehicle; every value stands where it was written."""
        return job_of(settle(self.file, settled), customer, vehicle)


def read_package(file: SourceFile, code: str, faults: list[Fault]) -> PackageFile | None:
    """Return a package as read; its faults are noted, those of parts it names are not looked for yet."""
    known = len(faults)
    choices = choices_of(file, faults) if isinstance(file.data, dict) else []
    if len(faults) > known:
        return None
    spec = None
    for settled in ways_to_settle(choices):  # what one choice leads to may be at fault where another is not
        whole = settle(file, settled)
        spec = checked(Package, whole.data, root_of(whole), faults)
        if spec is None:
            return None
    assert spec is not None
    for index, vehicle in enumerate(spec.vehicles):
        if vehicle in spec.vehicles[:index]:
            place = root_of(file).down(("vehicles", index))[0]
            faults.append(place.fault(f"the vehicle '{vehicle}' is listed twice", "keep one"))
    if len(faults) > known:
        return None
    return PackageFile(code, file if choices else replace(file, checked=spec), spec, tuple(choices))


def job_of(file: SourceFile, customer: str, vehicle: str) -> SourceFile:
    """Return a settled package as the file of a job."""
    root = root_of(file)
    title, wanted = root.child("package"), root.down(("customers", customer))[0]
    data = {key: value for key, value in file.data.items() if key not in OWN}
    nodes = [(key, value) for key, value in file.root.value if key.value not in OWN]
    claimed = root.down(("vehicles", file.data["vehicles"].index(vehicle)))[0]
    assert title is not None
    for key, value, place in (
        ("job", file.data["package"], title),
        ("customer", file.data["customers"][customer] or {}, wanted),
        ("vehicle", vehicle, claimed),
    ):
        data[key] = value
        nodes.append((_key_node(key, place), place.node))
    node = type(file.root)(file.root.tag, nodes, file.root.start_mark, file.root.end_mark)
    made = replace(file, data=data, root=node, checked=None)
    return replace(made, checked=_job(file.checked, made, customer, vehicle)) if file.checked else made


def _job(spec: Package, file: SourceFile, customer: str, vehicle: str) -> Job:
    """Return what the file of a job says, of what its package says: nothing of it need be checked again."""
    shared = {name: getattr(spec, name) for name in SHARED}
    job = Job(job=spec.package, customer=spec.customers[customer], vehicle=vehicle, **shared)
    within = {path: within for path, within in spec.tolerances.items() if path[0] in SHARED}
    if within:
        object.__setattr__(job, "tolerances", within)
    return placed(job, root_of(file))


def _key_node(key: str, place: Origin) -> Any:
    """Return the key a job would have, standing where the package has its own."""
    mark = (place.key or place.node).start_mark
    return yaml.ScalarNode("tag:yaml.org,2002:str", key, mark, mark)
