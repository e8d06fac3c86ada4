"""Copper cable: how thick a gauge is, what it drops, and what current it may carry.

Two kinds of resistance appear. `awg_resistance_ohm_m` is that of pure solid copper, the least a section can
have. `flexible_resistance_ohm_m` is the most that a standard fine-stranded cable of a nominal section may
have; it lies 10 to 16 % higher and is the one to plan a voltage drop with. Sections are in mm2, as sold.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, not_below_zero, plain, within

COPPER_OHM_MM2_PER_KM = 17.241
"""Resistivity of annealed copper at 20 C (IEC 60028)."""

# The last two rows are from memory, the others were read. 50 mm2 lies below class 2 (0.387), as printed there.
CLASS_5_OHM_PER_KM: dict[float, float] = {
    0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21,
    25.0: 0.780, 35.0: 0.554, 50.0: 0.386, 70.0: 0.272, 95.0: 0.206, 120.0: 0.161, 150.0: 0.129,
}  # fmt: skip
_LOG_SECTIONS, _PRODUCTS = np.log(list(CLASS_5_OHM_PER_KM)), np.array([a * r for a, r in CLASS_5_OHM_PER_KM.items()])

# By gauge: 105 C insulation, single conductor, 30 C around it.
AMPACITY_105_A: dict[int, float] = {
    18: 20.0, 16: 25.0, 14: 35.0, 12: 45.0, 10: 60.0, 8: 80.0, 6: 120.0, 4: 160.0, 3: 180.0, 2: 210.0,
    1: 245.0, 0: 285.0, -1: 330.0, -2: 385.0, -3: 445.0,
}  # fmt: skip
AMPACITY_AMBIENT_C = 30.0

# By insulation temperature, for 50 C around the cable; those of 80 and 125 C are quoted from memory.
ENGINE_SPACE_FACTOR: dict[float, float] = {
    60.0: 0.58, 75.0: 0.75, 80.0: 0.78, 90.0: 0.82, 105.0: 0.85, 125.0: 0.89,
}  # fmt: skip


def awg_diameter_mm(*, gauge: Number) -> Number:
    """Diameter of a solid wire of an American wire gauge.

    Formula: d = 0.127 mm * 92**((36 - n)/39)

    Parameters
    ----------
    gauge : float or array
        Gauge number; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3 [-]

    Returns
    -------
    Diameter, same shape [mm]

    Validity
    --------
    -3 (4/0) to 40. For stranded cable it is the diameter of the solid wire of equal copper section.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> awg_diameter_mm(gauge=8)
    3.264

    References
    ----------
    ASTM B258, "Standard specification for standard nominal diameters ... of solid round wires".

    """
    within(-3, 40, gauge=gauge)
    return plain(0.127 * 92.0 ** ((36.0 - np.asarray(gauge)) / 39.0))


def awg_area_mm2(*, gauge: Number) -> Number:
    """Copper section of an American wire gauge.

    Formula: A = pi d**2 / 4

    Parameters
    ----------
    gauge : float or array
        Gauge number; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3 [-]

    Returns
    -------
    Section, same shape [mm2]

    Validity
    --------
    As `awg_diameter_mm`.

    Raises
    ------
    ValueError
        Outside gauge -3 to 40.

    Examples
    --------
    >>> awg_area_mm2(gauge=4)
    21.15

    References
    ----------
    ASTM B258.

    """
    return plain(np.pi / 4.0 * np.square(awg_diameter_mm(gauge=gauge)))


def awg_resistance_ohm_m(*, gauge: Number) -> Number:
    """Resistance per metre of a solid copper wire of an American wire gauge at 20 C.

    Formula: R' = rho / A, rho = 17.241 ohm mm2/km

    Parameters
    ----------
    gauge : float or array
        Gauge number; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3 [-]

    Returns
    -------
    Resistance of one conductor, same shape [ohm/m]

    Validity
    --------
    Pure annealed copper, direct current. Stranding and tinning add 2 to 16 %; copper-clad aluminium has
    about 1.6 times as much. Neither is allowed for.

    Raises
    ------
    ValueError
        Outside gauge -3 to 40.

    Examples
    --------
    >>> awg_resistance_ohm_m(gauge=4) * 1000
    0.815

    References
    ----------
    IEC 60028 (resistivity); ASTM B258 (diameters).

    """
    return plain(COPPER_OHM_MM2_PER_KM / 1000.0 / np.asarray(awg_area_mm2(gauge=gauge)))


def flexible_resistance_ohm_m(*, area_mm2: Number) -> Number:
    """Greatest resistance per metre that a fine-stranded copper cable may have at 20 C (class 5).

    Formula: the table of the standard at its own sections. Between them R'A is interpolated linearly over
    log A, which is ours and not the standard's: R'A wanders only between 19.0 and 20.0 ohm mm2/km.

    Parameters
    ----------
    area_mm2 : float or array
        Nominal copper section [mm2]

    Returns
    -------
    Resistance of one conductor, same shape [ohm/m]

    Validity
    --------
    0.5 to 150 mm2 (120 and 150 from memory), plain copper, 20 C.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> flexible_resistance_ohm_m(area_mm2=50.0) * 1000
    0.386

    References
    ----------
    IEC 60228:2004, "Conductors of insulated cables", Table 3 (class 5, maximum).

    """
    within(min(CLASS_5_OHM_PER_KM), max(CLASS_5_OHM_PER_KM), area_mm2=area_mm2)
    area = np.asarray(area_mm2, dtype=np.float64)
    return plain(np.interp(np.log(area), _LOG_SECTIONS, _PRODUCTS) / area / 1000.0)


def resistance_factor(*, temperature_c: Number) -> Number:
    """How many times its resistance at 20 C a copper conductor has at another temperature.

    Formula: k = (234.5 + T) / 254.5

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the copper itself [C]

    Returns
    -------
    Factor, same shape [-]

    Validity
    --------
    -100 to 200 C, annealed copper.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> resistance_factor(temperature_c=70.0)
    1.196

    References
    ----------
    IEC 60228:2004, Annex B (temperature correction, the exact form).

    """
    within(-100.0, 200.0, temperature_c=temperature_c)
    return plain((234.5 + temperature_c) / 254.5)


def loop_ohm(*, ohm_per_m: Number, run_m: Number) -> Number:
    """Resistance of both legs of a cable run.

    Formula: R = 2 R' l

    Parameters
    ----------
    ohm_per_m : float or array
        Resistance of one conductor [ohm/m]
    run_m : float or array
        Length of one leg, broadcast against it [m]

    Returns
    -------
    Resistance there and back [ohm]

    Validity
    --------
    Both legs alike. A body used as the return is another resistance: add it apart, with l halved.

    Raises
    ------
    ValueError
        If either is below zero.

    Examples
    --------
    >>> loop_ohm(ohm_per_m=0.00521, run_m=50.0)
    0.521

    References
    ----------
    Ohm's law.

    """
    not_below_zero(ohm_per_m=ohm_per_m, run_m=run_m)
    return plain(2.0 * np.asarray(ohm_per_m) * run_m)


def drop_v(*, loop_ohm: Number, current_a: Number) -> Number:
    """Voltage lost along a cable run.

    Formula: V = R I

    Parameters
    ----------
    loop_ohm : float or array
        Resistance of the whole loop [ohm]
    current_a : float or array
        Current, broadcast against it [A]

    Returns
    -------
    Voltage lost [V]

    Validity
    --------
    Direct current, or audio current far below the frequency where the skin depth matters.

    Raises
    ------
    ValueError
        If either is below zero.

    Examples
    --------
    >>> drop_v(loop_ohm=0.01, current_a=80.0)
    0.8

    References
    ----------
    Ohm's law.

    """
    not_below_zero(loop_ohm=loop_ohm, current_a=current_a)
    return plain(loop_ohm * current_a)


def ambient_factor(*, insulation_c: float, ambient_c: float | Literal["engine space"]) -> float:
    """What the ampacity at 30 C is to be multiplied by where it is warmer (or colder) around the cable.

    Formula: k = sqrt((Ti - Ta)/(Ti - 30)) for a temperature; for "engine space" the rounded factor of the
    rules themselves (50 C), of the insulation class at or below Ti.

    Parameters
    ----------
    insulation_c : float
        Temperature the insulation is rated for, 60 to 125 [C]
    ambient_c : float or str
        Temperature around the cable, or "engine space" [C]

    Returns
    -------
    Factor [-]

    Validity
    --------
    One conductor in still air, heat lost in proportion to the temperature difference.

    Raises
    ------
    ValueError
        If the insulation is outside 60 to 125 C, or the ambient is not below it.

    Examples
    --------
    >>> ambient_factor(insulation_c=105.0, ambient_c="engine space")
    0.85
    >>> ambient_factor(insulation_c=105.0, ambient_c=50.0)
    0.856

    References
    ----------
    33 CFR 183.425 (engine space); NEC 310.15(B)(2) (factors and the square-root law).

    """
    within(60.0, 125.0, insulation_c=insulation_c)
    if ambient_c == "engine space":
        return ENGINE_SPACE_FACTOR[max(rated for rated in ENGINE_SPACE_FACTOR if rated <= insulation_c)]
    if not -60.0 <= ambient_c < insulation_c:
        raise ValueError(
            f"ambient_c must be -60 or more and below the insulation's {insulation_c:g} C, but is {ambient_c}"
        )
    return float(np.sqrt((insulation_c - ambient_c) / (insulation_c - AMPACITY_AMBIENT_C)))


_AREAS = np.asarray(awg_area_mm2(gauge=np.array(list(AMPACITY_105_A), dtype=np.float64)))
_LOG_RATED = np.log(list(AMPACITY_105_A.values()))


def ampacity_a(
    *, area_mm2: Number, insulation_c: float = 105.0, ambient_c: float | Literal["engine space"] = 30.0
) -> Number:
    """Current that a single copper cable may carry without overheating its insulation.

    Formula: the table for 105 C insulation by gauge, interpolated between gauges as log I over log A; times
    sqrt((Ti - 30)/(105 - 30)) for another insulation; times `ambient_factor`.

    Parameters
    ----------
    area_mm2 : float or array
        Copper section [mm2]
    insulation_c : float
        Temperature the insulation is rated for, 60 to 125 [C]
    ambient_c : float or str
        Temperature around the cable, or "engine space" (50 C, with the rounded factors of the rules) [C]

    Returns
    -------
    Current, same shape [A]

    Validity
    --------
    Gauge 18 to 4/0 (0.82 to 107 mm2), one conductor in free air; a bundle carries less. The factor for
    other insulation is derived, not printed: against the remembered columns of the same table it is within
    16 % from gauge 10 up, but up to half too generous for 60 and 75 C insulation thinner than that.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> ampacity_a(area_mm2=awg_area_mm2(gauge=4), ambient_c="engine space")
    136.0

    References
    ----------
    33 CFR 183.425, Table 5; ABYC E-11 (same table).

    """
    within(round(_AREAS[0] * 0.99, 2), round(_AREAS[-1] * 1.01, 1), area_mm2=area_mm2)  # sold by rounded sections
    at_105 = np.exp(np.interp(np.log(np.asarray(area_mm2, dtype=np.float64)), np.log(_AREAS), _LOG_RATED))
    hotter_insulation = np.sqrt((insulation_c - AMPACITY_AMBIENT_C) / (105.0 - AMPACITY_AMBIENT_C))
    return plain(at_105 * hotter_insulation * ambient_factor(insulation_c=insulation_c, ambient_c=ambient_c))
