"""Datasheets against themselves: every part held against the rules by itself, used or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, cast

from advisor.catalogue.catalogue import Catalogue
from advisor.catalogue.remarks import Remark
from advisor.chain.build import build_chain
from advisor.facts.engine import Engine
from advisor.judging.finding import Finding
from advisor.judging.judge import Judge
from advisor.judging.rule import Rule
from advisor.reading.job import DEVICES, Device, Job, Way
from advisor.reading.origin import Origin
from advisor.reading.parts import Driver, Part
from advisor.reading.shop import Shop
from advisor.reading.system import PlacedDevice, PlacedWay, System
from advisor.reading.vehicle import Vehicle


def sheet_remarks(catalogue: Catalogue, rules: Mapping[str, Rule], today: date) -> Iterator[Remark]:
    """Yield what falls short of a datasheet's own figures, with nothing else known."""
    library = catalogue.library
    for code, place in library.parts.items():
        kind = library.data_of(code)["kind"]
        part = library.part(kind, code, place)
        if part is None or kind not in ("driver", *DEVICES):
            continue
        chain = build_chain(_alone(kind, code, part), today)
        judge = Judge(Engine(chain), dict(rules))
        for rule in rules.values():
            for subject in chain.of_kind(rule.about):
                if subject.specs.get("part") is part:
                    finding = judge.finding(rule, subject)
                    if finding.outcome == "falls short" and _rests_on_it_alone(finding, place):
                        yield Remark(rule.name, rule.level, code, finding.says, place.place, _operand(finding))


def _alone(kind: str, code: str, part: Part) -> System:
    """Return a job that is this part and nothing else."""
    devices, ways = {}, {}
    if kind == "driver":
        way = Way(driver=code)
        ways = {code: PlacedWay(code, way, cast(Driver, part), code, None, None, None)}
    else:
        written: dict[str, Any] = {kind: code}
        devices = {code: PlacedDevice(code, kind, Device(**written), part, code, None)}
    job = Job(job=f"datasheet of {code}", ways={})
    return System(
        job=job,
        name=code,
        vehicle=Vehicle(),
        vehicle_known=False,
        shop=Shop(),
        own_shop=None,
        devices=devices,
        ways=ways,
        seats=(),
        supply_cable=None,
        extras={},
    )


def _rests_on_it_alone(finding: Finding, place: Origin) -> bool:
    """Tell whether every given value below a finding is written in this part."""
    given = [leaf.spot for reading in finding.readings for leaf in reading.walk() if leaf.kind == "given"]
    written = [spot for spot in given if isinstance(spot, Origin)]
    return bool(written) and all(
        spot.file is place.file and spot.path[: len(place.path)] == place.path for spot in written
    )


def _operand(finding: Finding) -> str:
    return ", ".join(reading.name for reading in finding.measured.readings) if finding.measured else ""
