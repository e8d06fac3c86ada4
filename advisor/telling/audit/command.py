"""One run of an audit, from what was asked for to what is printed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.baseline import Baseline, read_baseline
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.changes import Change, as_it_was, changes
from advisor.catalogue.store import Store, cache_folder
from advisor.telling.audit.files import FORMS, write_audit, write_baseline
from advisor.telling.audit.progress import Progress
from advisor.telling.audit.text import audit_text


@dataclass(frozen=True)
class Asked:
    """What was asked for."""

    catalogue: Path
    output: tuple[Path, ...] = ()
    changed_since: str | None = None
    baseline: Path | None = None
    write_baseline: Path | None = None
    workers: int = 1
    cluster: str | None = None
    fresh: bool = False


@dataclass(frozen=True)
class Told:
    """What came of it: the text to print, the files written, and at which levels it fails."""

    text: str
    written: tuple[Path, ...]
    failing: frozenset[str]

    def fails(self, fail_on: str) -> bool:
        """Tell whether anything was found at a level or above."""
        return fail_on in self.failing


def run_audit(asked: Asked) -> Told:
    """Audit a catalogue and write what was asked for.

    Raises InputError and NotWritten.
    """
    for path in asked.output:
        if path.suffix not in FORMS:
            raise click.BadParameter(f"'{path}' is none of {', '.join(FORMS)}", param_hint="--output")
    today = date.today()
    baseline = read_baseline(asked.baseline) if asked.baseline else Baseline()
    catalogue = open_catalogue(asked.catalogue)
    with Store(None if asked.fresh else cache_folder()) as store:
        told: list[Change] | None = None
        before = None
        if asked.changed_since is not None:
            with as_it_was(asked.catalogue, asked.changed_since) as folder:
                old = open_catalogue(folder, catalogue.name)
                before = audit_catalogue(old, today, store, asked.workers, Progress("before"), cluster=asked.cluster)
        progress = Progress("audit")
        audit = audit_catalogue(catalogue, today, store, asked.workers, progress, baseline, asked.cluster)
        if before is not None:
            told = changes(before, audit)
        written = write_audit(audit, asked.output, told)
        if asked.write_baseline:
            write_baseline(audit, asked.write_baseline)
            written.append(asked.write_baseline)
        levels = ("must", "trade-off", "tip", "cannot tell")
        failing = frozenset(level for level in levels if audit.fails(level))
        return Told(audit_text(audit, told), tuple(written), failing)
