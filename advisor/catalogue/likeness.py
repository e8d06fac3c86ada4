"""The order packages are judged in: those built alike, of the same parts, come together; little is judged twice.

What they are told in is another matter: that is the order of their files.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

_BETWEEN = str.maketrans(dict.fromkeys(",{}[]\"'#", " "))
"""What stands between words."""


def by_likeness(paths: Sequence[Path], codes: Collection[str]) -> list[Path]:
    """Return package files so that those that name the same parts at the same places follow each other.

    First come together those with the same keys, as their chains are drawn alike; of these, those that name as many
    parts; of what they name, what differs most.
    """
    keys, named = dict[Path, str](), dict[Path, list[str]]()
    for path in paths:
        words = _text(path).translate(_BETWEEN).split()
        named[path] = [code for word in words if (code := word.removesuffix(":")) in codes]
        keys[path] = " ".join([word for word in words if word[-1] == ":" and word[:-1] not in codes])
    apart: dict[tuple[int, int], set[str]] = {}
    for found in named.values():
        for place, code in enumerate(found):
            apart.setdefault((len(found), place), set()).add(code)

    def order(path: Path) -> tuple[str, int, list[str], str]:
        found = named[path]
        places = sorted(range(len(found)), key=lambda place: (-len(apart[len(found), place]), place))
        return keys[path], len(found), [found[place] for place in places], path.as_posix()

    return sorted(paths, key=order)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace")
    except OSError:  # told when the package is read
        return ""
