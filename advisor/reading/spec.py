"""What every dataclass read from a file has in common."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from advisor.reading.origin import Origin
from advisor.reading.within import Within

Steps = tuple[str | int, ...]
"""Keys and places in lists that lead from a mapping to a value."""


def _key_of(attribute: str) -> str:
    """The key in the file: `from_` and `class_` are words Python keeps for itself."""
    return attribute.rstrip("_")


@dataclass(frozen=True, kw_only=True)
class Spec:
    """A mapping of a file, checked. `origin` says where it stands."""

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid", "alias_generator": _key_of}

    origin: ClassVar[Origin | None] = None
    elsewhere: ClassVar[Mapping[str, Origin]] = {}
    """Values that were taken over from another file, by attribute, and where they stand there."""
    tolerances: ClassVar[Mapping[Steps, Within]] = {}
    """By how much numbers written here may be off, where that was written beside them."""
