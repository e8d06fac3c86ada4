"""A job that is read again and again while its files are edited."""

from __future__ import annotations

from pathlib import Path

from advisor.reading.files import Files
from advisor.reading.library import Library
from advisor.reading.reader import JobReader
from advisor.reading.source import SourceFile
from advisor.reading.system import System


class JobOnDisk:
    """A job and all it names; reading it again reads only the files that changed."""

    def __init__(self, path: Path, name: str | None = None) -> None:
        self.path, self.name = path, name or str(path)
        self.files = Files()
        self._library: Library | None = None
        self._folders: object = None

    def read(self) -> System:
        """Read what changed, and tell places by the new files from then on.

        Raises InputError; then readings made before keep the places they had.
        """
        self.files.begin()
        source = self.files.read(self.path, self.name)
        library, self._library = self._known_library(source), None  # one with faults has to tell them again
        reader = JobReader(self.path, self.name, library, self.files)
        system = reader.system(source)
        self._library, self._folders = reader.library, _folders(source)
        self.files.use()
        return system

    def _known_library(self, source: SourceFile) -> Library | None:
        if self._library is None or self._folders != _folders(source) or not self._library.is_current():
            return None
        return self._library


def _folders(source: SourceFile) -> object:
    return source.data.get("library") if isinstance(source.data, dict) else None
