"""The order packages are judged in: those built alike, of the same parts, come together; little is judged twice.

What they are told in is another matter: that is the order of their files.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

_BETWEEN = str.maketrans(dict.fromkeys(",{}[]\"'#", " "))
"""What stands between words."""


def by_likeness(paths: Sequence[Path], codes: Collection[str], drivers: Collection[str]) -> list[Path]:
    """Return package files so that those that name the same parts at the same places follow each other.

    First come together those with the same keys, as their chains are drawn alike; of these, those of the same drivers,
    the first named of them first, and then of the same other parts: what is dearest to judge hangs on drivers that are
    neighbours in the band, which most files name one after the other.
    """

    def order(path: Path) -> tuple[str, list[str], list[str], str]:
        words = _text(path).translate(_BETWEEN).split()
        named = [code for word in words if (code := word.removesuffix(":")) in codes]
        keys = " ".join([word for word in words if word[-1] == ":" and word[:-1] not in codes])
        first, then = [code for code in named if code in drivers], [code for code in named if code not in drivers]
        return keys, first, then, path.as_posix()

    return sorted(paths, key=order)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace")
    except OSError:  # told when the package is read
        return ""
