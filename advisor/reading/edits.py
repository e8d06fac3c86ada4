"""Changes to a job file: which value, by its path of keys, is to be what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import yaml

Path = tuple[str | int, ...]

REMOVED = object()
"""The value of an edit that takes something out."""


@dataclass(frozen=True, eq=False)
class Edit:
    """One value of a job file, and what it becomes. List items are counted from 0, as in the data."""

    path: Path
    value: Any

    @property
    def removes(self) -> bool:
        """Whether it takes something out."""
        return self.value is REMOVED

    @property
    def key(self) -> tuple[Path, str]:
        """What two edits that do the same have in common."""
        return self.path, "" if self.removes else repr(self.value)

    def __str__(self) -> str:
        where = ".".join(str(step + 1) if isinstance(step, int) else step for step in self.path)
        return f"take out {where}" if self.removes else f"{where}: {flow(self.value)}"


def flow(value: Any) -> str:
    """Return a value as it is written in a file, in one line."""
    text = yaml.safe_dump(value, default_flow_style=True, allow_unicode=True, width=10_000, sort_keys=False)
    return text.removesuffix("\n").removesuffix("\n...")


def edited(data: Any, edits: Iterable[Edit]) -> Any:
    """Return the data of a file with some edits made; what is given stays as it is.

    Mappings on the way to a new key are made. Raises KeyError or IndexError where a path leads nowhere.
    """
    for edit in edits:
        data = _set(data, edit.path, edit.value)
    return data


def _set(holder: Any, path: Path, value: Any) -> Any:
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        items = list(holder)
        if value is REMOVED and not rest:
            del items[step]
        else:
            items[step] = _set(items[step], rest, value) if rest else value
        return items
    mapping = dict(holder or {})
    if rest:
        mapping[step] = _set(mapping.get(step), rest, value)
    elif value is REMOVED:
        del mapping[step]
    else:
        mapping[step] = value
    return mapping
