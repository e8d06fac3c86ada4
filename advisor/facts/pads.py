"""Pads: by how much a passive network turns down a way that is louder than the one below it."""

from __future__ import annotations

import math

from advisor import physics
from advisor.facts.registry import fact
from advisor.facts.views import View
from advisor.reading.job import BANDS

AT_ONE_VOLTAGE = "definition of sensitivity; ways behind one network get the same voltage"


@fact("driver")
def level_is_known(driver: View) -> bool:
    """Whether its sheet says how loud it is: by its sensitivity, or by what that follows from."""
    part = driver.part
    by_numbers = driver.has_parameters and part.get_("vas_l") is not None
    by_q = part.get_("qes") is not None or (part.get_("qts") is not None and part.get_("qms") is not None)
    stated = part.get_("sensitivity_db") is not None
    return part.get_("impedance_ohm") is not None and (stated or (by_numbers and by_q))


@fact("driver", unit="dB", source="definition of sensitivity: 2.83 V are 1 W into 8 Ω")
def sensitivity_2v83_db(driver: View) -> float:
    """Level at 1 m of the drivers of one side as wired, at 2.83 V."""
    count = driver.way.count  # side by side they double pressure, where shared power alone would give half of that
    return float(driver.sensitivity_1w_db + 10 * math.log10(8 / driver.wired_ohm) + 10 * math.log10(count))


@fact("driver", unit="dB", source=AT_ONE_VOLTAGE)
def pad_db(driver: View) -> float:
    """How much a pad before it turns it down: as asked for, as designed, or as the resistors of its network do."""
    if not driver.has_("network"):
        return 0.0
    network = driver.network
    if not network.is_made_for_the_job:
        return _of_resistors_db(driver)
    asked = network.spec.pad_db
    output = driver.way.from_.ports[0].port
    if output in asked:
        return float(asked[output])
    below = [one for one in network.drivers if BANDS.index(one.way.from_.ports[0].port) < BANDS.index(output)]
    if not below or not all(one.level_is_known for one in (driver, *below)):
        return 0.0
    louder = float(driver.sensitivity_2v83_db - min(one.sensitivity_2v83_db for one in below))
    return louder if louder > 0 and louder >= driver.assume_("least_difference_padded") else 0.0


def _of_resistors_db(driver: View) -> float:
    """Return what the plain resistors of a ready-made network leave off a coil."""
    alone = [part for _, part in driver.branch if not part.inductance_h and part.capacitance_f is None]
    if not alone:
        return 0.0
    coil_ohm = float(driver.part.re_ohm * driver.wiring_factor)
    solved = physics.ladder.solve(physics.spectrum.at_hz(1000.0), elements=alone, load_ohm=coil_ohm)
    return -float(physics.spectrum.level_db(solved.transfer)[0])
