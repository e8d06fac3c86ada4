"""Where lines of an audit are judged: what they share is read once and kept."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from datetime import date

from advisor.catalogue.catalogue import Catalogue, codes_named, digest
from advisor.catalogue.claims import unfounded
from advisor.catalogue.leaves import PACKAGE
from advisor.catalogue.plan import Plan, Questions
from advisor.catalogue.row import Row
from advisor.catalogue.seating import Body, Seating, Shape, places_named
from advisor.catalogue.sharing import LineJudge, figure
from advisor.catalogue.tokens import DesignTokens, Numbers
from advisor.catalogue.told import Sum, told_of
from advisor.catalogue.traces import Traces
from advisor.chain.build import Chain, build_chain
from advisor.errors import Fault, InputError
from advisor.facts.engine import Engine
from advisor.judging.judge import Judge
from advisor.judging.review import conclude
from advisor.judging.rule import Rule
from advisor.judging.rulebook import load_rulebook
from advisor.reading.border import build
from advisor.reading.choices import Settled, settle
from advisor.reading.origin import root_of
from advisor.reading.package import OWN, PackageFile, job_of
from advisor.reading.reader import JobReader
from advisor.reading.shop import Shop
from advisor.reading.source import SourceFile
from advisor.reading.system import System

NOT_THERE = "the vehicle has no "
"""How the reader begins when a place or seat a package counts on is not in the vehicle: no slip, a claim that fails."""

FINDINGS_KEPT, FACTS_KEPT = 40_000, 40_000
"""Answers kept at once: memory is bounded, and what is dropped is worked out again. Facts hold curves."""

PLANS_KEPT = 8
"""Designs that the next of their form may begin with."""

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

FACTS = tuple(fact for _, fact, _, _ in FIGURES)


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


@dataclass
class _Design:
    """One way to settle a package for one customer, as lines are made of it."""

    key: tuple[str, Settled, str]
    settled: SourceFile
    places: tuple[str, ...]
    plans: dict[Shape, Plan] = field(default_factory=dict)


class Bench:
    """Judges lines of one catalogue, one after the other. Without `sharing` each is judged from the start."""

    def __init__(self, catalogue: Catalogue, today: date, *, sharing: bool = True) -> None:
        self.catalogue, self.today, self.sharing = catalogue, today, sharing
        self.rules = rulebook_of(catalogue)
        self.numbers = {name: number for number, name in enumerate(self.rules)}
        self._tokens = Numbers()
        self.traces, self.facts = (Traces(self._tokens.index, most) for most in (FINDINGS_KEPT, FACTS_KEPT))
        self._questions = Questions(self.rules, FACTS, self.traces)
        self._plans: dict[int, Plan] = {}
        """By the links of a chain and what vehicles have to be like, the design before; the latest last."""
        self._bodies: dict[str, Body] = {}
        self._design: _Design | None = None

    def row(self, package: PackageFile, line: Line) -> Row:
        """Judge one line. Raises InputError where a file is at fault, as against a claim that fails."""
        place = package.claimed_at[line.vehicle]
        key = (package.code, line.settled, line.customer, line.vehicle)
        try:
            found, figures = self._judged(package, line)
        except InputError as error:
            if not all(fault.what.startswith(NOT_THERE) for fault in error.faults):
                raise
            return Row(*key, place, "cannot be built", noted=unfounded(error.faults))
        known = tuple((name, value) for name, fact, _, _ in FIGURES if (value := figures[fact]) is not None)
        return Row(*key, place, found.verdict, found.rules, found.worst, found.kept, known)

    def _judged(self, package: PackageFile, line: Line) -> tuple[Sum, dict[str, float | None]]:
        """Return what comes of the findings of a line, and its figures."""
        design = self._design_of(package, line)
        if not self.sharing or package.spec.waive:  # what a waiver meets is not told by a finding's own leaves
            return self._alone(*self._drawn(design, line))
        body = self._body(line.vehicle)
        plan = design.plans.get(body.shape(design.places)) if body else None
        if body is None or plan is None:
            chain = self._drawn(design, line)[1]
            assert body is not None  # else the job could not be read
            shape = body.shape(design.places)
            plan = design.plans[shape] = self._plan(Seating(chain, body), shape)
        plan.seating.seat(body)
        return LineJudge(plan, body.tokens, self.facts).found()

    def _plan(self, seating: Seating, shape: Shape) -> Plan:
        links = tuple([subject.key for subject in seating.chain.subjects if subject.kind != "item"])
        form = self._tokens.of(("form", links, shape))
        tokens = DesignTokens(self._tokens, seating.chain)
        before = self._plans.pop(form, None)
        plan = Plan(seating, tokens, self._questions, before)
        if before is not None:
            before.seating.chain.let_go()
        self._plans[form] = plan
        if len(self._plans) > PLANS_KEPT:
            del self._plans[next(iter(self._plans))]
        return plan

    def _alone(self, system: System, chain: Chain) -> tuple[Sum, dict[str, float | None]]:
        """Judge a job with nothing taken over from others."""
        review = conclude(system, chain, Judge(Engine(chain), self.rules), self.today)
        job = chain.of_kind("job")[0]
        figures = {fact: figure(review.engine, job, fact) for fact in FACTS}
        found = Sum(len(self.rules))
        for finding in review.findings:
            found.add(told_of(finding, self.numbers[finding.rule.name]), finding.subject)
        return found, figures

    def _drawn(self, design: _Design, line: Line) -> tuple[System, Chain]:
        """Return a line's job and chain. Raises InputError."""
        file = job_of(design.settled, line.customer, line.vehicle)
        system = JobReader(file.path, file.name, self.catalogue.library).system(file)
        return system, build_chain(system, self.today)

    def _design_of(self, package: PackageFile, line: Line) -> _Design:
        key = (package.code, line.settled, line.customer)
        if self._design is None or self._design.key != key:
            file = replace(settle(package.file, line.settled), role=PACKAGE)
            self._design = _Design(key, file, places_named(file.data))
        return self._design

    def _body(self, vehicle: str) -> Body | None:
        """Return a vehicle, None where it cannot be read; reading the job tells why."""
        library = self.catalogue.library
        if vehicle not in self._bodies and (file := library.vehicles.get(vehicle)):
            library.faults = []
            if built := library.vehicle(vehicle, root_of(file)):
                self._bodies[vehicle] = Body(self._tokens, vehicle, file, built)
        return self._bodies.get(vehicle)


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
