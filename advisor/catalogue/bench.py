"""Where lines of an audit are judged: what they share is read once and kept."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import date

from advisor.catalogue.catalogue import Catalogue, codes_named, digest
from advisor.catalogue.claims import unfounded
from advisor.catalogue.row import Row, noted, rule_digits, verdict_of, worst_of
from advisor.chain.build import build_chain
from advisor.errors import Fault, InputError
from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined
from advisor.judging.judge import Judge
from advisor.judging.review import Review, conclude
from advisor.judging.rule import Rule
from advisor.judging.rulebook import load_rulebook
from advisor.reading.border import build
from advisor.reading.choices import Settled, settle
from advisor.reading.origin import root_of
from advisor.reading.package import OWN, PackageFile, job_of
from advisor.reading.reader import JobReader
from advisor.reading.shop import Shop
from advisor.reading.source import SourceFile

KEPT = ("falls short", "too close to call", "cannot tell", "broken", "waived")
"""Outcomes whose findings are kept whole."""

NOT_THERE = "the vehicle has no "
"""How the reader begins when a place or seat a package counts on is not in the vehicle: no slip, a claim that fails."""

FIGURES = (
    ("costs", "total_cost", "money", -1),
    ("level all ways reach, one side at 1 m", "loudest_db", "dB", 1),
    ("bass reaches down to, lifted by the cabin", "extension_in_cabin_hz", "Hz", -1),
    ("widest hole between two ways", "widest_hole_octaves", "octaves", -1),
    ("deepest fall where two ways hand over", "deepest_handover_db", "dB", -1),
    ("share of the voice from below the knee", "voice_from_below_percent", "%", -1),
    ("stays in the workshop", "booked_days", "days", -1),
)
"""By which lines are told apart beside their findings: name, fact of the job, unit, and 1 where more is better."""


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
    """Judges lines of one catalogue, one after the other."""

    def __init__(self, catalogue: Catalogue, today: date) -> None:
        self.catalogue, self.today = catalogue, today
        self.rules = rulebook_of(catalogue)
        self.numbers = {name: number for number, name in enumerate(self.rules)}
        self.judged = 0

    def row(self, package: PackageFile, line: Line) -> Row:
        """Judge one line. Raises InputError where a file is at fault, as against a claim that fails."""
        self.judged += 1
        file = job_of(settle(package.file, line.settled), line.customer, line.vehicle)
        place = root_of(package.file).down(("vehicles", package.spec.vehicles.index(line.vehicle)))[0].place
        key = (package.code, line.settled, line.customer, line.vehicle)
        try:
            review = self.review(file)
        except InputError as error:
            if not all(fault.what.startswith(NOT_THERE) for fault in error.faults):
                raise
            return Row(*key, place, "cannot be built", noted=unfounded(error.faults))
        findings = list(review.findings)
        verdict = verdict_of(findings)
        worst = worst_of(findings, verdict)
        kept = tuple(noted(finding) for finding in findings if finding.outcome in KEPT)
        digits = rule_digits(findings, self.numbers)
        return Row(*key, place, verdict, digits, noted(worst) if worst else None, kept, figures_of(review))

    def review(self, file: SourceFile) -> Review:
        """Review one job of the catalogue."""
        library = self.catalogue.library
        system = JobReader(file.path, file.name, library).system(file)
        chain = build_chain(system, self.today)
        return conclude(system, chain, Judge(Engine(chain), self.rules), self.today)


def figures_of(review: Review) -> tuple[tuple[str, float], ...]:
    """Return the figures of a review that are known."""
    job, found = review.chain.of_kind("job")[0], []
    for name, fact, _, _ in FIGURES:
        try:
            found.append((name, float(review.engine.ask(job, fact).value)))
        except (Missing, NotDefined, BrokenFact):
            continue
    return tuple(found)


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
