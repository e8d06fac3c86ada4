"""The whole audit: every package's lines judged or taken from what was judged before, and what follows from all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from advisor.catalogue.baseline import Baseline
from advisor.catalogue.bench import Head, Line
from advisor.catalogue.catalogue import Catalogue, program_digest
from advisor.catalogue.gist import Open, gists_of_texts, open_of
from advisor.catalogue.likeness import by_likeness
from advisor.catalogue.remarks import Remark, Tally
from advisor.catalogue.row import VERDICTS, Row, unpacked
from advisor.catalogue.shelf import shelf_of
from advisor.catalogue.store import Store
from advisor.catalogue.team import Team
from advisor.catalogue.work import Kept, Keys, head_of_text
from advisor.errors import Fault, InputError
from advisor.judging.finding import OUTCOMES
from advisor.judging.rule import LEVELS

Progress = Callable[[int, int], None]
"""Told how many packages of how many are done."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What stays in memory of a line: which it is, how it came out, and the key its row is kept by."""

    package: str
    line: Line
    verdict: str
    open: Open
    """Without what is in the baseline."""
    share: float | None
    key: str
    order: tuple[int, int, float, str, str] = field(init=False, repr=False)
    """Worst first."""

    def __post_init__(self) -> None:
        margin = self.share if self.share is not None else 0.0
        order = (VERDICTS.index(self.verdict), -self.musts, margin, self.package, self.line.vehicle)
        object.__setattr__(self, "order", order)

    @property
    def musts(self) -> int:
        """How many things must be fixed."""
        return self.open[0]


@dataclass
class Audit:
    """All that came of a catalogue. Rows are fetched when they are told, one at a time."""

    catalogue: Catalogue
    today: date
    store: Store
    rules: dict[str, str]
    """Every rule's level by its name, in the rulebook's order."""
    heads: dict[str, Head] = field(default_factory=dict)
    entries: list[Entry] = field(default_factory=list)
    counts: dict[str, Counter[str]] = field(default_factory=dict)
    """By rule, in how many lines it came out how."""
    remarks: list[Remark] = field(default_factory=list)
    baseline: Baseline = field(default_factory=Baseline)
    judged: int = 0
    """Lines that were judged now, as against known from before."""

    def fails(self, fail_on: str) -> bool:
        """Tell whether anything that is not in the baseline falls short at a level or above."""
        if fail_on == "never":
            return False
        if any(entry.verdict == "not judged" for entry in self.entries):
            return True
        reach = (*LEVELS, "cannot tell").index(fail_on) + 1
        remarks = [remark.level for remark in self.remarks if remark.identity not in self.baseline.known]
        return any(any(entry.open[:reach]) for entry in self.entries) or any(
            level in LEVELS[:reach] for level in remarks
        )

    def worst_first(self) -> list[Entry]:
        """Return every line, the worst first."""
        return sorted(self.entries, key=lambda entry: entry.order)

    def rows(self, entries: list[Entry] | None = None) -> Iterator[Row]:
        """Yield the rows of some lines, or of all from the worst."""
        for entry in self.worst_first() if entries is None else entries:
            yield self.row(entry)

    def row(self, entry: Entry) -> Row:
        """Return the row of a line."""
        return self.unpacked(entry.key)

    def unpacked(self, key: str) -> Row:
        """Return the row that is kept by a key."""
        return unpacked(next(self.store.rows([key])))


def audit_catalogue(
    catalogue: Catalogue,
    today: date,
    store: Store,
    workers: int = 1,
    progress: Progress | None = None,
    baseline: Baseline | None = None,
    cluster: str | None = None,
) -> Audit:
    """Judge every claim of a catalogue, in this process, by several workers, or on a cluster told by its address.

    Raises InputError with every fault of every package, after all were looked at.
    """
    keys = Keys(catalogue, program_digest(), today)
    # now and not at the end: what it loads, workers have from the start where they are copies of this process
    shelf = shelf_of(keys, store)
    audit = Audit(catalogue, today, store, shelf.rules)
    audit.baseline = baseline or audit.baseline
    outcomes: Counter[str] = Counter()
    tally, faults = Tally(catalogue), list(shelf.faults)
    kept, faulty = _judge_what_is_not_known(audit, keys, Team(workers, cluster), progress)
    faults += [fault for path in catalogue.packages for fault in faulty.get(path, ())]
    for path in catalogue.packages:
        if path in faulty:  # it may be there as it was before a part of it went
            continue
        known = store.gists(kept[path].lines)
        head = store.head(kept[path].key)
        if head is None or len(known) < len(kept[path].lines) or kept[path].key != keys.of_head(path):
            faults.append(Fault(catalogue.shown(path), 1, 1, "", "changed while it was judged", "audit again"))
            continue
        _pass(audit, tally, outcomes, path, head_of_text(head), {key: known[key] for key in kept[path].lines})
    if faults:
        raise InputError(faults)
    audit.counts = _counts(shelf.rules, outcomes)
    audit.remarks = sorted([*shelf.sheets, *tally.remarks()], key=lambda remark: remark.order)
    return audit


def _pass(audit: Audit, tally: Tally, outcomes: Counter[str], path: Path, head: Head, gists: dict[str, str]) -> None:
    """Take a package's lines in, each with its key and gist."""
    code, known = audit.catalogue.code(path), audit.baseline.known
    audit.heads[code] = head
    for line, key, gist in zip(head.lines, gists, gists_of_texts(gists.values()), strict=True):
        counts = open_of(audit.unpacked(key), known) if known else gist.open
        audit.entries.append(Entry(code, line, gist.verdict, counts, gist.share, key))
        outcomes[gist.rules] += 1
        tally.line(code, line, gist)
    tally.close(code, head)


def _counts(rules: Iterable[str], outcomes: Mapping[str, int]) -> dict[str, Counter[str]]:
    """Return how often each rule came out how, of the outcomes of whole lines and how often there were such."""
    found: dict[str, Counter[str]] = {name: Counter() for name in rules}
    for digits, count in outcomes.items():
        for name, digit in zip(found, digits, strict=False):
            found[name]["nothing" if digit == "-" else OUTCOMES[int(digit)]] += count
    return found


def _judge_what_is_not_known(
    audit: Audit, keys: Keys, team: Team, progress: Progress | None
) -> tuple[dict[Path, Kept], dict[Path, tuple[Fault, ...]]]:
    """Judge the packages of which not every line is in the store, and put what comes of them there.

    Returns what each package is known by, and the faults of those that have some.
    """
    store, catalogue = audit.store, audit.catalogue
    kept, known = dict[Path, Kept](), dict[Path, frozenset[str]]()
    for path in catalogue.packages:
        own = keys.of_head(path)
        head = store.head(own)
        lines = keys.of_lines(own, head_of_text(head)) if head is not None else ()
        there = store.gists(lines)
        if head is None or len(there) < len(lines):
            known[path] = frozenset(there)
        else:
            kept[path] = Kept(own, lines)
    parts, drivers = catalogue.library.parts, frozenset(catalogue.library.codes("driver"))
    tasks = [(path, known[path]) for path in by_likeness(list(known), parts, drivers)]
    through, faulty = len(catalogue.packages) - len(tasks), dict[Path, tuple[Fault, ...]]()
    for (path, _), done in team.judged(catalogue, keys.program, audit.today, tasks):
        if done.faults:
            faulty[path] = done.faults
        elif done.kept is not None:
            audit.judged += len(done.rows)
            kept[path] = done.kept
            if done.kept.key == keys.of_head(path):  # else it changed meanwhile, who knows when
                store.keep((done.kept.key, done.head), done.rows)
        through += 1
        if progress:
            progress(through, len(catalogue.packages))
    return kept, faulty
