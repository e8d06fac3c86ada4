"""The order packages are judged in: those of the same parts one after the other, so that little is judged twice.

What they are told in is another matter: that is the order of their files.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from pathlib import Path

_WORD = re.compile(r"[^\s,:{}\[\]\"'#]+")


def by_likeness(paths: Sequence[Path], codes: Collection[str]) -> list[Path]:
    """Return package files so that those that name the same parts at the same places follow each other.

    First come together those that name as many; of what they name, what differs most.
    """
    named = {path: _codes_in(path, codes) for path in paths}
    apart: dict[tuple[int, int], set[str]] = {}
    for found in named.values():
        for place, code in enumerate(found):
            apart.setdefault((len(found), place), set()).add(code)

    def order(path: Path) -> tuple[int, list[str], str]:
        found = named[path]
        places = sorted(range(len(found)), key=lambda place: (-len(apart[len(found), place]), place))
        return len(found), [found[place] for place in places], path.as_posix()

    return sorted(paths, key=order)


def _codes_in(path: Path, codes: Collection[str]) -> list[str]:
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError:  # told when the package is read
        return []
    return [word for word in _WORD.findall(text) if word in codes]
