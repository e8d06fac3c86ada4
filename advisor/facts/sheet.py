"""Whether a datasheet agrees with itself: the same number from two ways of its own."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from advisor import physics
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL = "R. H. Small, Direct-Radiator Loudspeaker System Analysis, J. Audio Eng. Soc. 20(5), 1972"
MOTOR = f"{SMALL}; L. L. Beranek, T. J. Mellow, Acoustics, 2012"
NAMES = {
    "fs_hz": ("fs", "Hz"), "qts": ("Qts", ""), "qes": ("Qes", ""), "qms": ("Qms", ""), "vas_l": ("Vas", "L"),
    "sd_cm2": ("Sd", "cm²"), "mms_g": ("Mms", "g"), "bl_tm": ("Bl", "T·m"), "re_ohm": ("Re", "Ω"),
}  # fmt: skip
"""The numbers of a sheet that hang together, as the trade writes them."""

SLIP = 1.15
"""By more than this ratio two ways to one number contradict each other; sheets are rounded, samples differ."""


@dataclass(frozen=True)
class _Check:
    """One number that the others of a sheet make too: which it is, as given, as it follows, and from what."""

    name: str
    given: float
    follows: float
    involved: frozenset[str]

    @property
    def ratio(self) -> float:
        """How many times too large or too small it is, 1 or more."""
        return math.exp(abs(math.log(self.follows / self.given)))


def _numbers(driver: View) -> dict[str, float]:
    part = driver.part
    return {name: float(value) for name in NAMES if (value := part.get_(name))}


def _checks(driver: View) -> Iterator[_Check]:
    """Yield every number of the sheet that can be checked by others."""
    number = _numbers(driver)

    def has(*names: str) -> bool:
        return all(name in number for name in names)

    def check(name: str, follows: float, *others: str) -> _Check:
        return _Check(name, number[name], follows, frozenset((name, *others)))

    if has("fs_hz", "vas_l", "sd_cm2", "mms_g"):
        compliance = physics.motor.compliance_m_n(
            compliance_volume_m3=number["vas_l"] * 1e-3, cone_area_m2=number["sd_cm2"] * 1e-4
        )
        resonance = 1 / (2 * math.pi * math.sqrt(number["mms_g"] * 1e-3 * float(compliance)))
        yield check("fs_hz", resonance, "vas_l", "sd_cm2", "mms_g")
    if has("fs_hz", "qes", "mms_g", "bl_tm", "re_ohm"):
        # both coils driven together: their resistances in parallel, the force factor of one
        resistance = number["re_ohm"] / driver.part.coils
        damping = 2 * math.pi * number["fs_hz"] * number["mms_g"] * 1e-3 * resistance / number["bl_tm"] ** 2
        yield check("qes", damping, "fs_hz", "mms_g", "bl_tm", "re_ohm")
    if has("qts", "qes", "qms"):
        total = physics.thiele_small.total_q(electrical_q=number["qes"], mechanical_q=number["qms"])
        yield check("qts", float(total), "qes", "qms")


def _worst(driver: View) -> _Check:
    checks = list(_checks(driver))
    if not checks:
        raise NotDefined("its sheet gives no number twice, so there is nothing to check")
    return max(checks, key=lambda check: check.ratio)


@fact("driver")
def can_be_doubted(driver: View) -> bool:
    """Whether its sheet gives enough numbers to check one by the others."""
    return any(True for _ in _checks(driver))


@fact("driver", unit="%", source=SMALL)
def sheet_doubt_percent(driver: View) -> float:
    """Farthest that a number of its sheet is from what the other numbers of the sheet make of it."""
    worst = _worst(driver)
    return 100 * abs(worst.follows / worst.given - 1)


@fact("driver", source=SMALL)
def doubtful_number(driver: View) -> str:
    """Which number of its sheet that is, as given and as it follows from the others."""
    worst = _worst(driver)
    word, unit = NAMES[worst.name]
    others = [NAMES[name][0] for name in NAMES if name in worst.involved and name != worst.name]
    by_others = f"{', '.join(others[:-1])} and {others[-1]} make it {worst.follows:.3g}"
    return f"{word} is given as {worst.given:.3g} {unit}".rstrip() + f", but {by_others}"


@fact("driver", source=SMALL)
def likely_slips(driver: View) -> tuple[str, ...]:
    """Which numbers would explain every contradiction by themselves: part of each that fails, of none that holds."""
    checks = list(_checks(driver))
    failing = [check.involved for check in checks if check.ratio > SLIP]
    if not failing:
        raise NotDefined("its sheet agrees with itself")
    cleared = frozenset().union(*(check.involved for check in checks if check.ratio <= SLIP))
    suspects = frozenset.intersection(*failing) - cleared
    return tuple(NAMES[name][0] for name in NAMES if name in (suspects or frozenset().union(*failing)))


@fact("driver")
def sensitivity_follows(driver: View) -> bool:
    """Whether its sheet gives a sensitivity and what it can be computed from."""
    if driver.part.get_("sensitivity_db") is None:
        return False
    return _shows_by_cone(_numbers(driver)) or _shows_by_motor(_numbers(driver))


def _shows_by_cone(number: dict[str, float]) -> bool:
    return {"fs_hz", "vas_l"} <= number.keys() and ("qes" in number or {"qts", "qms"} <= number.keys())


def _shows_by_motor(number: dict[str, float]) -> bool:
    return {"bl_tm", "sd_cm2", "mms_g", "re_ohm"} <= number.keys()


@fact("driver", unit="dB", source=MOTOR)
def sensitivity_shown_db(driver: View) -> float:
    """Level at 1 m for 1 W that its own numbers make: by resonance, compliance and Qes, else by motor and mass."""
    number = _numbers(driver)
    if _shows_by_cone(number):
        return float(driver.sensitivity_1w_db)
    if not _shows_by_motor(number):
        raise NotDefined("its sheet has too little to compute it from")
    share = physics.motor.efficiency_from_motor(
        force_factor_tm=number["bl_tm"],
        cone_area_m2=number["sd_cm2"] * 1e-4,
        moving_mass_kg=number["mms_g"] * 1e-3,
        coil_ohm=number["re_ohm"] / driver.part.coils,
    )
    return float(physics.thiele_small.sensitivity_1w_db(reference_efficiency=share))


@fact("driver", unit="dB", source="R. H. Small, J. Audio Eng. Soc. 20(10), 1972, Part I")
def sensitivity_boast_db(driver: View) -> float:
    """How much louder its sheet says it is than its own Thiele/Small numbers make it, at 1 W; below 0 where softer."""
    stated = float(driver.part.sensitivity_db)
    if driver.part.sensitivity_at != "1 W":
        stated = float(
            physics.thiele_small.sensitivity_from_voltage_db(
                sensitivity_2v83_db=stated, impedance_ohm=driver.part.impedance_ohm / driver.part.coils
            )
        )
    return stated - float(driver.sensitivity_shown_db)
