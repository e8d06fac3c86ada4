"""From the distribution to each amplifier: cable, fuse, and what is lost on the whole way."""

from __future__ import annotations

from typing import Literal

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.supply import FUSES, SECTIONS_MM2
from advisor.facts.views import SpecView, View
from advisor.facts.wiring import AMPACITY, ASTM_B258, CLASS_5, Conductor, carries_a, conductor, insulated_c

BEHIND_TRIM: Literal["engine space"] = "engine space"
"""Its row of the table, 50 °C, is what copper under carpet has as well."""


@fact("job")
def has_supply(job: View) -> bool:
    """Whether the job says anything of what feeds its amplifiers."""
    return bool(job.supplies)


@fact("amplifier")
def shares_supply(amplifier: View) -> bool:
    """Whether it is one of several amplifiers on the supply cable, so that a branch of its own leads to it."""
    return bool(amplifier.job.has_supply) and sum(bool(one.is_in_use) for one in amplifier.job.amplifiers) > 1


@fact("amplifier")
def needs_a_cable(amplifier: View) -> bool:
    """Whether a cable of its own has to be looked at: its branch, or all of it where nothing is planned yet."""
    return bool(amplifier.is_in_use and (amplifier.shares_supply or not amplifier.job.has_supply))


@fact("amplifier")
def has_branch_fuse(amplifier: View) -> bool:
    """Whether the job plans a fuse for its branch."""
    if not amplifier.shares_supply:
        return False
    branch = amplifier.job.supplies[0].spec.branches.get(str(amplifier))
    return branch is not None and branch.get_("fuse_a") is not None


def _nothing_planned(job: View) -> Missing:
    """Return all that has to be planned, and read off labels, before anything of the supply can be told."""
    what = ["supply: cable_mm2, run_m, fuse_a and fuse_from_battery_m"]
    way_out = "plan the cable, its length from the battery, the main fuse and how far from the battery it sits"
    electrics = job.electrics
    if electrics.get_("alternator_a") is None and electrics.get_("converter_a") is None:
        what.append("electrics: alternator_a (or converter_a)")
        way_out += "; read the alternator's label, or that of an electric vehicle's converter"
    if electrics.get_("battery_ah") is None:
        what.append("electrics: battery_ah")
        way_out += "; read the battery's label"
    return Missing("; ".join(what), job.place_, way_out)


def _branch(amplifier: View) -> SpecView:
    if not amplifier.job.has_supply:
        raise _nothing_planned(amplifier.job)
    if not amplifier.shares_supply:
        raise NotDefined("it has the supply cable to itself")
    supply = amplifier.job.supplies[0]
    branch = supply.spec.branches.get(str(amplifier))
    if branch is None:
        way_out = "say what leads from the distribution to it: {cable_mm2: 10, run_m: 0.8, fuse_a: 40}"
        raise Missing(f"supply.branches.{amplifier}", supply.place_, way_out)
    found: SpecView = branch
    return found


def _copper(amplifier: View) -> Conductor:
    return conductor(f"supply.branches.{amplifier}", _branch(amplifier))


@fact("amplifier", unit="mm²", source=ASTM_B258)
def branch_mm2(amplifier: View) -> float:
    """Copper section of the branch that leads to it."""
    return _copper(amplifier).area_mm2


@fact("amplifier", unit="m")
def branch_m(amplifier: View) -> float:
    """Length of its branch from the distribution, one way."""
    return float(_branch(amplifier).run_m)


@fact("amplifier", unit="A")
def branch_fuse_a(amplifier: View) -> float:
    """The fuse that the job plans for its branch."""
    return float(_branch(amplifier).fuse_a)


@fact("amplifier", unit="A")
def branch_protected_by_a(amplifier: View) -> float:
    """The fuse its branch depends on: its own, or the main one where it has none."""
    own = _branch(amplifier).get_("fuse_a")
    return float(own if own is not None else amplifier.job.supplies[0].planned_fuse_a)


def _carries_a(amplifier: View, area_mm2: float) -> float:
    branch, name = _branch(amplifier), f"supply.branches.{amplifier}"
    given = branch.get_("insulation_c")
    rated = insulated_c(name, branch.place_, float(given or amplifier.assume_("cable_insulation")))
    return carries_a(name, branch.place_, area_mm2, rated, BEHIND_TRIM)


@fact("amplifier", unit="A", source=f"{AMPACITY}; 50 °C around it")
def branch_carries_a(amplifier: View) -> float:
    """Current its branch carries for good, warm under the trim."""
    return _carries_a(amplifier, float(amplifier.branch_mm2))


@fact("amplifier")
def one_fuse_carries_it(amplifier: View) -> bool:
    """Whether there is a standard fuse that carries it at rated power without ageing."""
    largest = physics.fuses.STANDARD_RATINGS_A[-1]
    return bool(0 < amplifier.peak_current_a <= physics.fuses.continuous_limit_a(rating_a=largest))


@fact("amplifier", unit="A", source=f"{FUSES}; fuse makers' notes: no more than 75 % of the rating for good")
def branch_fuse_for_load_a(amplifier: View) -> float:
    """The standard fuse that carries it at rated power without ageing."""
    if not amplifier.one_fuse_carries_it:
        raise NotDefined("no single standard fuse carries it" if amplifier.peak_current_a else "it drives no speaker")
    return float(physics.fuses.rating_for_load_a(load_a=amplifier.peak_current_a))


@fact("amplifier", unit="A", source=f"{FUSES}; {AMPACITY}")
def branch_largest_fuse_a(amplifier: View) -> float:
    """The largest standard fuse that still protects its branch."""
    return float(physics.fuses.largest_rating_under_a(ampacity_a=amplifier.branch_carries_a))


def _drop_v(amplifier: View, ohm_per_m: float) -> float:
    warm = physics.conductors.resistance_factor(temperature_c=amplifier.assume_("warm_cable"))
    loop = physics.conductors.loop_ohm(ohm_per_m=ohm_per_m, run_m=amplifier.branch_m)
    return float(physics.conductors.drop_v(loop_ohm=loop * warm, current_a=amplifier.peak_current_a))


@fact("amplifier", unit="V", source=f"Ohm; {CLASS_5}")
def branch_drop_v(amplifier: View) -> float:
    """Voltage lost in its branch, warm, at its rated power."""
    return _drop_v(amplifier, _copper(amplifier).ohm_per_m)


@fact("amplifier", unit="%")
def branch_percent(amplifier: View) -> float:
    """That loss in per cent of the supply voltage."""
    return float(100 * amplifier.branch_drop_v / amplifier.job.supply_v)


@fact("amplifier", unit="V", source="Kirchhoff")
def lost_v(amplifier: View) -> float:
    """Voltage lost from the battery to it with all amplifiers at rated power, its branch included."""
    if not amplifier.job.has_supply:
        _branch(amplifier)
    main = float(amplifier.job.supplies[0].drop_v)
    return main + float(amplifier.branch_drop_v) if amplifier.shares_supply else main


@fact("amplifier", unit="%")
def lost_percent(amplifier: View) -> float:
    """What is lost on the whole way in per cent of the supply voltage."""
    return float(100 * amplifier.lost_v / amplifier.job.supply_v)


@fact("amplifier", unit="mm²", source=f"{CLASS_5}; {AMPACITY}")
def branch_smallest_mm2(amplifier: View) -> float:
    """The thinnest standard branch that bears the fuse for its load and keeps the whole way within what may be lost."""
    supply = amplifier.job.supplies[0] if amplifier.shares_supply else None
    if supply is None:
        raise NotDefined("it has the supply cable to itself")
    left_v = amplifier.job.supply_v * amplifier.assume_("supply_drop_allowed") / 100 - supply.drop_v
    for area in SECTIONS_MM2:
        drop = _drop_v(amplifier, float(physics.conductors.flexible_resistance_ohm_m(area_mm2=area)))
        if drop <= left_v and _carries_a(amplifier, area) >= amplifier.branch_fuse_for_load_a:
            return area
    raise NotDefined("no branch does; the supply cable before it already loses what may be lost")


@fact("supply")
def stray_branches(supply: View) -> tuple[str, ...]:
    """Branches that lead to nothing: no amplifier of the job has that name."""
    names = {str(amplifier) for amplifier in supply.job.amplifiers}
    return tuple(name for name in supply.spec.branches if name not in names)
