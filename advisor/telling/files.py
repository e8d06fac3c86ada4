"""Files are written beside their place and moved there whole, so that nobody finds half of one."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from advisor.errors import NotWritten


def write_whole(path: Path, text: str) -> None:
    """Write a text file in one step.

    Raises NotWritten; then what stood there before is untouched.
    """
    write_pieces(path, [text])


def write_pieces(path: Path, pieces: Iterable[str]) -> None:
    """Write a text file in one step, from pieces that need not all be in memory at once.

    Raises NotWritten; then, and where the pieces end in an error, what stood there before is untouched.
    """
    beside = ""
    try:
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.writelines(pieces)
        mask = os.umask(0)
        os.umask(mask)
        Path(beside).chmod(0o666 & ~mask)
        Path(beside).replace(path)
    except BaseException as error:
        if beside:
            Path(beside).unlink(missing_ok=True)
        if not isinstance(error, OSError):
            raise
        raise NotWritten(str(path), error.strerror or str(error)) from None
