"""Whether a datasheet agrees with itself: the same number from two ways of its own."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor import physics
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL = "R. H. Small, Direct-Radiator Loudspeaker System Analysis, J. Audio Eng. Soc. 20(5), 1972"


def _pairs(driver: View) -> Iterator[tuple[str, float, float]]:
    """Yield what can be checked: its name, as given, and as it follows from the other numbers."""
    part = driver.part
    given = {name: part.get_(name) for name in _NAMES}
    fs, qts, qes, qms, vas, sd, mms, bl, re = (given[name] for name in _NAMES)
    if fs and vas and sd and mms:
        compliance = physics.motor.compliance_m_n(compliance_volume_m3=vas * 1e-3, cone_area_m2=sd * 1e-4)
        yield "fs_hz", fs, 1 / (2 * math.pi * math.sqrt(mms * 1e-3 * float(compliance)))
    if fs and qes and mms and bl and re:
        # both coils driven together: their resistances in parallel, the force factor of one
        yield "qes", qes, 2 * math.pi * fs * mms * 1e-3 * re / part.coils / bl**2
    if qts and qes and qms:
        yield "qts", qts, float(physics.thiele_small.total_q(electrical_q=qes, mechanical_q=qms))


_NAMES = ("fs_hz", "qts", "qes", "qms", "vas_l", "sd_cm2", "mms_g", "bl_tm", "re_ohm")


def _worst(driver: View) -> tuple[str, float, float]:
    pairs = list(_pairs(driver))
    if not pairs:
        raise NotDefined("its sheet gives no number twice, so there is nothing to check")
    return max(pairs, key=lambda pair: abs(math.log(pair[2] / pair[1])))


@fact("driver")
def can_be_doubted(driver: View) -> bool:
    """Whether its sheet gives enough numbers to check one by the others."""
    return any(True for _ in _pairs(driver))


@fact("driver", unit="%", source=SMALL)
def sheet_doubt_percent(driver: View) -> float:
    """Farthest that a number of its sheet is from what the other numbers of the sheet make of it."""
    _, given, follows = _worst(driver)
    return 100 * abs(follows / given - 1)


@fact("driver", source=SMALL)
def doubtful_number(driver: View) -> str:
    """Which number of its sheet that is, as given and as it follows from the others."""
    name, given, follows = _worst(driver)
    return f"{name} is given as {given:.3g}; from the other numbers it would be {follows:.3g}"


@fact("driver")
def sensitivity_follows(driver: View) -> bool:
    """Whether its sheet gives a sensitivity and what it can be computed from."""
    part = driver.part
    known = [part.get_(name) is not None for name in ("sensitivity_db", "fs_hz", "vas_l")]
    q_given = [part.get_(name) is not None for name in ("qes", "qts", "qms")]
    return all(known) and (q_given[0] or (q_given[1] and q_given[2]))


@fact("driver", unit="dB", source="R. H. Small, J. Audio Eng. Soc. 20(10), 1972, Part I")
def sensitivity_boast_db(driver: View) -> float:
    """How much louder its sheet says it is than its own Thiele/Small numbers make it, at 1 W."""
    stated = float(driver.part.sensitivity_db)
    if driver.part.sensitivity_at != "1 W":
        stated = float(
            physics.thiele_small.sensitivity_from_voltage_db(
                sensitivity_2v83_db=stated, impedance_ohm=driver.part.impedance_ohm / driver.part.coils
            )
        )
    return stated - float(driver.sensitivity_1w_db)
