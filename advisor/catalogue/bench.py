"""Where lines of an audit are judged: what they share is read once and kept."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import date

from advisor.catalogue.catalogue import Catalogue, codes_named, digest
from advisor.catalogue.claims import unfounded
from advisor.catalogue.leaves import Leaf, Names
from advisor.catalogue.row import Row
from advisor.catalogue.sharing import LineJudge, LineLeaves, Shared
from advisor.catalogue.told import KEPT, Told, rule_digits, told_of, verdict_of, worst_of
from advisor.chain.build import build_chain
from advisor.errors import Fault, InputError
from advisor.judging.review import conclude
from advisor.judging.rule import Rule
from advisor.judging.rulebook import load_rulebook
from advisor.reading.border import build
from advisor.reading.choices import Settled, settle
from advisor.reading.origin import root_of
from advisor.reading.package import OWN, PackageFile, job_of
from advisor.reading.reader import JobReader
from advisor.reading.shop import Shop
from advisor.reading.system import System

NOT_THERE = "the vehicle has no "
"""How the reader begins when a place or seat a package counts on is not in the vehicle: no slip, a claim that fails."""

FIGURES = (
    ("costs", "total_cost", "money", -1),
    ("level all ways reach, one side at 1 m", "loudest_db", "dB", 1),
    ("bass reaches down to, without the cabin's lift", "extension_6db_hz", "Hz", -1),
    ("widest hole between two ways", "widest_hole_octaves", "octaves", -1),
    ("share of the voice from below the knee", "voice_from_below_percent", "%", -1),
    ("stays in the workshop", "booked_days", "days", -1),
)
"""By which steps of price are told apart beside their findings: name, fact of the job, unit, 1 where more is better.

Steps are compared in one vehicle, so that what its cabin adds need not be worked out.
"""


@dataclass(frozen=True)
class Line:
    """What is judged: one way to settle a package's choices, one customer, one vehicle."""

    settled: Settled
    customer: str
    vehicle: str


@dataclass(frozen=True)
class Head:
    """What an audit has to know of a package before it is judged; `codes` are the parts named, by way to settle."""

    title: str
    line: str
    place: str
    lines: tuple[Line, ...]
    codes: dict[Settled, tuple[str, ...]] = field(repr=False)
    likeness: str = ""
    """The same for packages that differ in nothing but what they claim and are called."""
    dated: bool = False
    """Whether its verdicts hang on the day, as those of waivers do."""


def head_of(package: PackageFile) -> Head:
    """Return what is known of a package without judging it."""
    spec = package.spec
    ways = package.ways_to_settle
    lines = [Line(way, who, vehicle) for way in ways for who in spec.customers for vehicle in spec.vehicles]
    codes = {way: tuple(sorted(codes_named(settle(package.file, way).data))) for way in ways}
    place = root_of(package.file).place
    made_of = {key: value for key, value in package.file.data.items() if key not in OWN}
    likeness = digest(json.dumps(made_of, sort_keys=True))
    return Head(spec.package, spec.line or "", place, tuple(lines), codes, likeness, bool(spec.waive))


class Bench:
    """Judges lines of one catalogue, one after the other. Without `sharing` each is judged from the start."""

    def __init__(self, catalogue: Catalogue, today: date, *, sharing: bool = True) -> None:
        self.catalogue, self.today, self.sharing = catalogue, today, sharing
        self.rules = rulebook_of(catalogue)
        self.numbers = {name: number for number, name in enumerate(self.rules)}
        self.shared = Shared()
        self._fixed: tuple[object, dict[Leaf, int]] = (None, {})

    def row(self, package: PackageFile, line: Line) -> Row:
        """Judge one line. Raises InputError where a file is at fault, as against a claim that fails."""
        file = job_of(settle(package.file, line.settled), line.customer, line.vehicle)
        place = root_of(package.file).down(("vehicles", package.spec.vehicles.index(line.vehicle)))[0].place
        key = (package.code, line.settled, line.customer, line.vehicle)
        try:
            system = JobReader(file.path, file.name, self.catalogue.library).system(file)
            chain = build_chain(system, self.today)
        except InputError as error:
            if not all(fault.what.startswith(NOT_THERE) for fault in error.faults):
                raise
            return Row(*key, place, "cannot be built", noted=unfounded(error.faults))
        names = Names(file.name, self.catalogue.library.vehicles[line.vehicle].name)
        shared = self.shared if self.sharing else Shared()
        leaves = LineLeaves(chain, names, shared.numbers, self._fixed_of(package, line) if self.sharing else {})
        judge = LineJudge(chain, self.rules, shared, leaves)
        findings = self._waived(judge, system) if package.spec.waive else judge.findings()
        verdict = verdict_of(findings)
        kept = tuple(one.noted for one in findings if one.noted and one.outcome in KEPT)
        digits = rule_digits(findings, self.numbers)
        figures = ((name, judge.figure(fact)) for name, fact, _, _ in FIGURES)
        known = tuple((name, value) for name, value in figures if value is not None)
        return Row(*key, place, verdict, digits, worst_of(findings, verdict), kept, known)

    def _waived(self, judge: LineJudge, system: System) -> list[Told]:
        """Return the findings of a package that has waivers: what those meet is not told by a finding's own leaves."""
        review = conclude(system, judge.chain, judge.judge, self.today)
        return [told_of(finding) for finding in review.findings]

    def _fixed_of(self, package: PackageFile, line: Line) -> dict[Leaf, int]:
        """Return what is known of a package's own leaves: the same for all its vehicles and customers."""
        which = (package.code, line.settled)
        if self._fixed[0] != which:
            self._fixed = (which, {})
        return self._fixed[1]


def rulebook_of(catalogue: Catalogue) -> dict[str, Rule]:
    """Return the rules of a catalogue, its shop's own worked in. Raises InputError."""
    library = catalogue.library
    if library.shop is None:
        return load_rulebook()
    faults: list[Fault] = []
    file = library.files.read(library.shop, library.shop_name)
    shop = library.shops.get(file) or build(Shop, file.data, root_of(file), faults)
    if shop is None:
        raise InputError(faults)
    library.shops[file] = shop
    return load_rulebook(shop)
