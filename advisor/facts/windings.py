"""Coils of the networks made for the job, as they are wound where none is bought."""

from __future__ import annotations

from typing import Any

from advisor import physics
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

BROOKS = "H. B. Brooks, Design of standards of inductance, 1931 (from memory); IEC 60317 wire, IEC 60028 copper"
MILLI = 1e-3


@fact("network", source=BROOKS)
def windings(network: View) -> tuple[str, ...]:
    """Its coils as they are wound: square winding on a bore of twice its side, wire no thicker than it has to be."""
    if not network.is_made_for_the_job:
        raise NotDefined("it is bought ready made")
    listed = [
        f"{driver}: {_words(bought)}"
        for driver in network.drivers
        for _, bought in driver.branch
        if bought.inductance_h
    ]
    if not listed:
        raise NotDefined("it has no coil")
    return tuple(listed)


def _words(bought: Any) -> str:
    coil = physics.winding.coil_with_at_most(
        inductance_h=bought.inductance_h, resistance_ohm=max(bought.resistance_ohm, 1e-3)
    )
    side, bore, wire = (length / MILLI for length in (coil.side_m, coil.bore_m, coil.wire_m))
    shape = f"{side:.0f} mm wide and deep, on a bore of {bore:.0f} mm"
    needs = f"{coil.length_m:.1f} m of it, {coil.resistance_ohm:.2f} Ω"
    return f"{bought.inductance_h / MILLI:.4g} mH, {coil.turns} turns of {wire:.3g} mm wire, {shape}; {needs}"
