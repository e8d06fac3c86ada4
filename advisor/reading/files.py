"""The files a job is read from, kept until they change on disk."""

from __future__ import annotations

import os
from pathlib import Path

from advisor.reading.source import SourceFile, read_source

MAX_FILES = 20_000

Stamp = tuple[int, int, int] | None
"""What tells one state of a file from the next without reading it; None where there is no such file."""


class Files:
    """Reads files, each again only when it changed, and knows which were asked for."""

    def __init__(self) -> None:
        self._kept: dict[tuple[Path, str], tuple[Stamp, SourceFile]] = {}
        self._in_use: dict[tuple[Path, str], SourceFile] = {}
        self._asked: dict[Path, Stamp] = {}
        self._folders: set[Path] = set()

    def read(self, path: Path, name: str) -> SourceFile:
        """Return a file as it is now. Raises InputError."""
        stamp = self.ask_for(path)  # before it is read: what is written meanwhile is seen as a change
        stamp_then, file = self._kept.get((path, name), (None, None))
        if file is None or stamp != stamp_then:
            file = read_source(path, name)
            self._kept[path, name] = stamp, file
        return file

    def below(self, folder: Path) -> list[Path]:
        """Return every YAML file below a folder, in an order that does not change."""
        self._folders.add(folder)
        return _files_below(folder)

    def ask_for(self, path: Path) -> Stamp:
        """Note that a file is of interest, whether or not it is there, and return what state it is in."""
        if path not in self._asked:
            self._asked[path] = stamp_of(path)
        return self._asked[path]

    def begin(self) -> None:
        """Forget what was asked for (not what was read), before a job is read again."""
        self._asked.clear()
        self._folders.clear()

    def look(self) -> dict[Path, Stamp]:
        """Return the present state of all that was asked for; it differs from an earlier one after a change."""
        paths = [path for folder in self._folders for path in _files_below(folder)]
        return {path: stamp_of(path) for path in (*paths, *self._asked)}

    @property
    def asked(self) -> dict[Path, Stamp]:
        """The state all was in when it was asked for."""
        return dict(self._asked)

    def use(self) -> None:
        """Take what was read last as what the job now is: places in older readings follow it."""
        for key, (_, file) in self._kept.items():
            if key in self._in_use:
                self._in_use[key].follow(file)
            self._in_use[key] = file


def stamp_of(path: Path) -> Stamp:
    """Return what state a file is in."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def _files_below(folder: Path) -> list[Path]:
    """Every YAML file below a folder, in an order that does not change; links to folders are not followed."""
    found: list[Path] = []
    for base, folders, names in os.walk(folder, followlinks=False):
        folders.sort()
        found += [Path(base, name) for name in sorted(names) if name.endswith((".yaml", ".yml"))]
        if len(found) > MAX_FILES:
            break
    return found
