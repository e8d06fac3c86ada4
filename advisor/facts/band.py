"""The band of each mounted driver: what it is asked to play, and what it can."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL_1972 = "R. H. Small, Closed-Box Loudspeaker Systems, J. Audio Eng. Soc. 20(10), 1972, Part I"
SMALL_1973 = "R. H. Small, Vented-Box Loudspeaker Systems, J. Audio Eng. Soc. 21, 1973, Part I, eq. 22-24, 57"
LITRE = 1e-3


@fact("driver", unit="Hz")
def low_edge_hz(driver: View) -> float:
    """Low edge of the band the driver is asked to play."""
    return _edge(driver, 0)


@fact("driver", unit="Hz")
def high_edge_hz(driver: View) -> float:
    """High edge of the band the driver is asked to play."""
    return _edge(driver, 1)


def _edge(driver: View, index: int) -> float:
    edge = driver.way.plays[index]
    if edge.hz is None:
        raise NotDefined(f"the {('low', 'high')[index]} edge is open")
    return float(edge.hz)


@fact("driver")
def has_low_edge(driver: View) -> bool:
    """Whether a low edge is asked for."""
    plays = driver.way.get_("plays")
    return plays is not None and plays[0].hz is not None


@fact("driver")
def has_high_edge(driver: View) -> bool:
    """Whether a high edge is asked for."""
    plays = driver.way.get_("plays")
    return plays is not None and plays[1].hz is not None


@fact("driver", unit="dB/octave")
def low_slope_db_per_octave(driver: View) -> float:
    """Slope of the filter at the low edge; an edge with no filter named is taken as 24 dB/octave."""
    if not driver.has_low_edge:
        raise NotDefined("the low edge is open")
    slope = driver.way.plays[0].slope_db_per_octave
    return float(slope if slope is not None else driver.assume_("filter_slope"))


@fact("driver", unit="mm")
def nominal_size_mm(driver: View) -> float:
    """Nominal size of the driver, an inch being 25.4 mm."""
    size = driver.part.get_("size_mm")
    if size is not None:
        return float(size)
    inches = driver.part.get_("size_in")
    if inches is None:
        raise Missing(f"the nominal size of {driver}", driver.part.place_, "add size_in or size_mm to the driver")
    return 25.4 * float(inches)


@fact("driver")
def is_tweeter(driver: View) -> bool:
    """Whether it is a tweeter: by its type, or where that is not said, by its size."""
    kind = driver.part.get_("type")
    if kind is not None:
        return bool(kind == "tweeter")
    return bool(driver.nominal_size_mm <= driver.assume_("largest_tweeter"))


@fact("driver")
def mounting(driver: View) -> str:
    """What the driver's rear works into."""
    if driver.has_("box"):
        return "vented box" if driver.box.get_("vented_l") is not None else "closed box"
    if driver.is_tweeter:
        return "chamber of its own"
    behind = driver.location.spec.get_("behind") if driver.has_("location") else None
    if behind == "door":
        return "sealed door" if "seal" in driver.treatments else "bare door"
    if behind in ("cavity", "cabin"):
        return "open panel"
    return str(driver.assume_("mounting"))


@fact("driver")
def total_q(driver: View) -> float:
    """Total Q of the driver: as given, or from its electrical and mechanical Q."""
    given = driver.part.get_("qts")
    if given is not None:
        return float(given)
    return float(physics.thiele_small.total_q(electrical_q=driver.part.qes, mechanical_q=driver.part.qms))


@fact("driver")
def has_parameters(driver: View) -> bool:
    """Whether the datasheet has what the low end is computed from in this mounting."""
    part = driver.part
    q_known = part.get_("qts") is not None or (part.get_("qes") is not None and part.get_("qms") is not None)
    boxed = driver.mounting in ("closed box", "vented box")
    return part.get_("fs_hz") is not None and q_known and (not boxed or part.get_("vas_l") is not None)


@fact("driver", unit="Hz", source=SMALL_1972)
def box_resonance_hz(driver: View) -> float:
    """Resonance of the mounted driver: raised by the air of a closed box, its own in a baffle without end."""
    return _closed(driver)[0]


@fact("driver", source=SMALL_1972)
def box_q(driver: View) -> float:
    """Total Q of the mounted driver at that resonance."""
    return _closed(driver)[1]


def _closed(driver: View) -> tuple[float, float]:
    mounting = driver.mounting
    if mounting == "vented box":
        raise NotDefined("a vented box has two resonances and no single Q")
    if mounting != "closed box":
        return float(driver.part.fs_hz), float(driver.total_q)
    resonance, q = physics.box_response.closed_box(
        resonance_hz=driver.part.fs_hz,
        total_q=driver.total_q,
        compliance_volume_m3=driver.part.vas_l * LITRE,
        box_m3=driver.box_seems_l * LITRE,
    )
    return float(resonance), float(q)


@fact("driver", unit="Hz")
def tuning_hz(driver: View) -> float:
    """Frequency a vented box is tuned to."""
    if driver.mounting != "vented box":
        raise NotDefined("the box has no port")
    return float(driver.box.tuned_hz)


@fact("driver", source=f"{SMALL_1972}; {SMALL_1973}", hidden=True)
def response(driver: View) -> Callable[[Any], Any]:
    """Response of the mounted driver against frequency, 1 far above its resonance."""
    if driver.mounting == "vented box":
        vented = {
            "resonance_hz": float(driver.part.fs_hz),
            "total_q": float(driver.total_q),
            "compliance_volume_m3": driver.part.vas_l * LITRE,
            "box_m3": driver.box_seems_l * LITRE,
            "tuned_hz": float(driver.tuning_hz),
            "leakage_q": float(driver.assume_("box_leakage_q")),
        }
        return lambda hz: physics.box_response.vented_response(hz, **vented)
    resonance, q = driver.box_resonance_hz, driver.box_q
    return lambda hz: physics.box_response.closed_response(hz, box_resonance_hz=resonance, box_q=q)


def fallen_hz(curve: Callable[[Any], Any], drop_db: float, of: View) -> float:
    """Return where a response has fallen so far; figures that put it out of all hearing are a slip of somebody's."""
    try:
        return float(physics.edges.lower_edge_hz(curve, drop_db=drop_db))
    except ValueError as error:
        raise Missing(f"a low end of {of} that can be believed", of.place_, f"{error}; check its figures") from None


@fact("driver", unit="Hz", source=SMALL_1972)
def half_power_hz(driver: View) -> float:
    """Frequency below which the mounted driver is 3 dB (half power) under its own passband."""
    if not driver.has_parameters:
        raise NotDefined("the datasheet has too little for it; the band is taken from nominal size")
    return fallen_hz(driver.response, 10 * math.log10(2), driver)


@fact("driver", unit="Hz", source=f"{SMALL_1972}; by nominal size: common practice")
def plays_down_to_hz(driver: View) -> float:
    """Frequency below which the mounted driver is 6 dB under its own passband; by nominal size where data lack."""
    if driver.has_parameters:
        return fallen_hz(driver.response, 6.0, driver)
    sizes = driver.assume_("low_end_by_nominal_size")
    return _by_size(sizes, driver.nominal_size_mm)


def _by_size(table: dict[float, float], size_mm: float) -> float:
    """Interpolate a table by size on logarithmic scales; beyond its ends the nearest size holds."""
    sizes = sorted(table)
    if size_mm <= sizes[0] or size_mm >= sizes[-1]:
        return float(table[sizes[0] if size_mm <= sizes[0] else sizes[-1]])
    upper = next(size for size in sizes if size >= size_mm)
    lower = sizes[sizes.index(upper) - 1]
    share = math.log(size_mm / lower) / math.log(upper / lower)
    return float(table[lower] * (table[upper] / table[lower]) ** share)


@fact("driver", unit="mm", source="area of a circle")
def cone_radius_mm(driver: View) -> float:
    """Radius of the moving cone: from its area, or as a share of nominal size."""
    area = driver.part.get_("sd_cm2")
    if area is not None:
        return math.sqrt(float(area) * 100 / math.pi)
    return float(driver.nominal_size_mm * driver.assume_("cone_radius_share"))


PISTON = "piston in a baffle, 2·J1(x)/x = -6 dB at x = ka·sin(angle) = 2.2118 (Bessel tables)"
PISTON_6DB = 2.2118


@fact("driver", unit="Hz", source=PISTON)
def plays_up_to_hz(driver: View) -> float:
    """Frequency up to which the driver spreads its sound: a cone until it beams, a dome to the top of hearing."""
    if driver.is_tweeter or driver.part.get_("type") in ("coaxial", "full-range"):
        return float(driver.assume_("top_of_a_dome"))
    speed = physics.air.SOUND_SPEED_20C_M_S
    ka = PISTON_6DB / math.sin(math.radians(driver.assume_("spread_angle")))
    return float(ka * speed / (2 * math.pi * driver.cone_radius_mm / 1000))


@fact("driver", unit="Hz", source="the maker's sheet")
def lowest_crossover_hz(driver: View) -> float:
    """Lowest crossover frequency the maker allows."""
    lowest = driver.part.get_("crossed_from_hz")
    if lowest is None:
        raise NotDefined("its maker names no lowest crossover frequency")
    return float(lowest)
