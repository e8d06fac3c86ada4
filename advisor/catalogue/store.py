"""What was judged before, by a hash of all it hangs on: SQLite, outside the catalogue.

Each package is written in one transaction, so that the file is whole whenever the program is ended. A file that
cannot be used is set aside and begun anew: nothing in it is lost that could not be worked out again.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from advisor.errors import NotWritten

MOST_BYTES = 1_000_000_000
"""A file that grows beyond this loses what was written first."""

_TABLES = """
create table if not exists heads (key text primary key, value text not null) without rowid;
create table if not exists rows
 (number integer primary key, key text not null unique, gist text not null, value text not null);
"""


def cache_folder() -> Path:
    """Return where the system wants files kept that can be made again."""
    if named := os.environ.get("XDG_CACHE_HOME"):
        return Path(named) / "advisor"
    if sys.platform == "win32" and (local := os.environ.get("LOCALAPPDATA")):
        return Path(local) / "advisor" / "cache"
    return Path.home() / ("Library/Caches" if sys.platform == "darwin" else ".cache") / "advisor"


class Store:
    """Heads of packages and rows of audits by key. Without a folder it lasts as long as it is open."""

    def __init__(self, folder: Path | None) -> None:
        self._passing = tempfile.TemporaryDirectory(prefix="advisor-") if folder is None else None
        self.path = Path(self._passing.name if self._passing else str(folder)) / "audit.sqlite"
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._open = self._opened()
        except OSError as error:
            raise NotWritten(str(self.path), error.strerror or str(error)) from None

    def _opened(self) -> sqlite3.Connection:
        try:
            return self._connected()
        except sqlite3.DatabaseError:
            for path in (self.path, Path(f"{self.path}-wal"), Path(f"{self.path}-shm")):
                path.unlink(missing_ok=True)
            return self._connected()

    def _connected(self) -> sqlite3.Connection:
        opened = sqlite3.connect(self.path, timeout=60, isolation_level=None)
        try:
            opened.execute("pragma journal_mode=wal")
            opened.execute("pragma synchronous=normal")  # a power cut may lose the last packages, never the file
            opened.executescript(_TABLES)
            opened.execute("select gist, value from rows limit 1").fetchone()
            opened.execute("select value from heads limit 1").fetchone()
        except sqlite3.DatabaseError:
            opened.close()
            raise
        return opened

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; one that was not to last is gone."""
        with contextlib.suppress(sqlite3.Error):
            self._shrink()
        self._open.close()
        if self._passing:
            self._passing.cleanup()

    def head(self, key: str) -> str | None:
        """Return what was kept of a package."""
        found = self._open.execute("select value from heads where key = ?", (key,)).fetchone()
        return str(found[0]) if found else None

    def gists(self, keys: Sequence[str]) -> dict[str, str]:
        """Return the gist of each of some keys that has a row."""
        found: dict[str, str] = {}
        for start in range(0, len(keys), 500):
            some = keys[start : start + 500]
            marks = ",".join("?" * len(some))
            found.update(self._open.execute(f"select key, gist from rows where key in ({marks})", some).fetchall())
        return found

    def rows(self, keys: Iterable[str]) -> Iterator[str]:
        """Yield the rows of some keys, in their order; each is there."""
        for key in keys:
            yield str(self._open.execute("select value from rows where key = ?", (key,)).fetchone()[0])

    def keep(self, head: tuple[str, str] | None, rows: Iterable[tuple[str, str, str]]) -> None:
        """Keep a package's head and rows (key, gist, row), all or none."""
        self._open.execute("begin immediate")
        try:
            if head:
                self._open.execute("insert or replace into heads values (?, ?)", head)
            self._open.executemany("insert or replace into rows (key, gist, value) values (?, ?, ?)", rows)
        except BaseException:
            self._open.execute("rollback")
            raise
        self._open.execute("commit")

    def _shrink(self) -> None:
        if self._passing or self.path.stat().st_size <= MOST_BYTES:
            return
        (last,) = self._open.execute("select max(number) from rows").fetchone()
        (first,) = self._open.execute("select min(number) from rows").fetchone()
        self._open.execute("delete from rows where number < ?", ((first + last) // 2,))
        self._open.execute("vacuum")
