"""Claims that fail before anything can be judged: places and seats a package counts on and a vehicle has not."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.catalogue.row import Noted
from advisor.errors import Fault

RULE = "claimed-vehicle-has-every-place"


def unfounded(faults: Iterable[Fault]) -> tuple[Noted, ...]:
    """Return a finding for each place or seat that the vehicle has not."""
    return tuple(
        Noted(
            rule=RULE,
            level="must",
            at=fault.where,
            outcome="falls short",
            says=f"{fault.what[0].upper()}{fault.what[1:]}" + (f"; {fault.way_out}" if fault.way_out else "") + ".",
            place=f"{fault.file}:{fault.line}:{fault.column}",
            operand=fault.what,
        )
        for fault in faults
    )
