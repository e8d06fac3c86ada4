"""Pure functions of acoustics and electricity. SI in and out; no specs, subjects, rules or files.

Modules load when first used (`physics.air.sound_speed_m_s(...)`), so that a command that computes nothing
does not load numpy either.
"""

from __future__ import annotations

import importlib
from types import ModuleType


def __getattr__(name: str) -> ModuleType:
    try:
        return importlib.import_module(f"{__name__}.{name}")
    except ModuleNotFoundError as error:
        if error.name != f"{__name__}.{name}":
            raise
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}") from None
