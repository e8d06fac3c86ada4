"""What a change of data did: the same lines judged with the data as they were, and as they are."""

from __future__ import annotations

import io
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from advisor.catalogue.audit import Audit, Entry
from advisor.catalogue.row import VERDICTS, Noted, Row
from advisor.errors import Fault, InputError

OPEN = ("falls short", "too close to call", "cannot tell", "broken")


@dataclass(frozen=True)
class Change:
    """One line that comes out otherwise; `worse` and `better` name findings that came and went."""

    package: str
    choice: str
    customer: str
    vehicle: str
    before: str
    after: str
    worse: tuple[str, ...]
    better: tuple[str, ...]

    @property
    def says(self) -> str:
        """Return it in words."""
        which = f"{self.package} in {self.vehicle} for {self.customer}"
        which += f", with {self.choice}" if self.choice else ""
        if not self.before:
            return f"{which}: new, {self.after}"
        if not self.after:
            return f"{which}: gone, was {self.before}"
        how = f"{self.after}, was {self.before}" if self.after != self.before else f"{self.after} as before"
        return f"{which}: {how}"

    @property
    def order(self) -> tuple[int, int, str, str, str, str]:
        """What became worse first."""
        after = VERDICTS.index(self.after) if self.after else len(VERDICTS)
        before = VERDICTS.index(self.before) if self.before else len(VERDICTS)
        return (after - before, after, self.package, self.vehicle, self.customer, self.choice)


def changes(before: Audit, after: Audit) -> list[Change]:
    """Return every line that comes out otherwise, those that became worse first."""
    old = {_key(entry): entry for entry in before.entries}
    new = {_key(entry): entry for entry in after.entries}
    found = []
    for key in dict.fromkeys([*old, *new]):
        was, now = old.get(key), new.get(key)
        if was and now and was.key == now.key:
            continue
        change = _change(before.row(was) if was else None, after.row(now) if now else None)
        if change:
            found.append(change)
    return sorted(found, key=lambda change: change.order)


def _key(entry: Entry) -> tuple[str, object]:
    return entry.package, entry.line


def _change(was: Row | None, now: Row | None) -> Change | None:
    row = now or was
    assert row is not None
    mine, theirs = _open(was), _open(now)
    worse = tuple(_told(one) for key, one in theirs.items() if key not in mine)
    better = tuple(f"{_told(one)} (no more)" for key, one in mine.items() if key not in theirs)
    if was and now and was.verdict == now.verdict and not worse and not better:
        return None
    verdicts = (was.verdict if was else "", now.verdict if now else "")
    return Change(row.package, row.choice, row.customer, row.vehicle, *verdicts, worse, better)


def _open(row: Row | None) -> dict[tuple[str, str, str], Noted]:
    return {(one.rule, one.at, one.outcome): one for one in row.noted if one.outcome in OPEN} if row else {}


def _told(one: Noted) -> str:
    return f"{one.at}, {one.rule}, {one.outcome}: {one.says}"


@contextmanager
def as_it_was(folder: Path, since: str) -> Iterator[Path]:
    """Give a catalogue as it was: in another folder, or at a revision of the repository it lies in.

    Raises InputError.
    """
    if Path(since).is_dir():
        yield Path(since)
        return
    archive = _archived(folder, since)
    with tempfile.TemporaryDirectory(prefix="advisor-") as place:
        with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
            tar.extractall(place, filter="data")
        yield Path(place)


def _archived(folder: Path, since: str) -> bytes:
    """Return the folder as it was at a revision, as a tar file."""
    inside = _git(folder, since, "rev-parse", "--show-prefix").decode().strip()
    top = _git(folder, since, "rev-parse", "--show-toplevel").decode().strip()
    commit = _git(folder, since, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{since}^{{commit}}")
    return _git(Path(top), since, "archive", "--format=tar", f"{commit.decode().strip()}:{inside}")


def _git(folder: Path, since: str, *words: str) -> bytes:
    try:
        run = subprocess.run(["git", "-C", str(folder), *words], capture_output=True, check=False)
    except OSError:
        what = "there is no such folder, and no git to ask for a revision"
        raise InputError([Fault(since, 1, 1, "", what)]) from None
    if run.returncode:
        what = f"is neither a folder nor a revision in which {folder} is found"
        raise InputError([Fault(since, 1, 1, "", what, "name a folder, or a revision such as HEAD~1")])
    return run.stdout
