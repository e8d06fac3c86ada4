"""A driver whose back is heard too: without any baffle, or in one with holes, as a door is until it is sealed.

Cone and impedance are those of an infinite baffle; what changes is the sound, of which the back takes some away.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from advisor.physics.air import SOUND_SPEED_20C_M_S
from advisor.physics.driver import Driver, Motion, infinite_baffle
from advisor.physics.guards import Number, above_zero, within
from advisor.physics.spectrum import level_db


def free_air(
    frequency_hz: Number, *, driver: Driver, path_m: float, voltage_v: float = 2.83, source_ohm: float = 0.0
) -> Motion:
    """Motion of a driver without a box, whose back reaches the listener a little later and in opposite phase.

    Formula: p = rho s Sd v / (4 pi) * (1 - exp(-s d / c)), v as in `infinite_baffle`

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    driver : Driver
        The driver
    path_m : float
        How much longer the way from the back of the cone is; about its diameter where nothing surrounds it [m]
    voltage_v : float
        Root-mean-square voltage of the source [V]
    source_ohm : float
        Resistance of amplifier, cable and network in front of the driver [ohm]

    Returns
    -------
    Motion, arrays even for one frequency; the response stays that against an infinite baffle

    Validity
    --------
    Full space, on the axis, front and back as two points: real edges smear the peaks and nulls above c / (2 d).

    Raises
    ------
    ValueError
        For a frequency, voltage or path that is not above zero, or a negative source resistance.

    Examples
    --------
    >>> cone = Driver(resonance_hz=60.0, electrical_q=0.6, mechanical_q=4.0, compliance_volume_m3=0.012,
    ...               cone_area_m2=0.0133, coil_ohm=3.2)
    >>> loss = abs(free_air(100.0, driver=cone, path_m=0.16).response / infinite_baffle(100.0, driver=cone).response)
    >>> (20 * np.log10(loss)).round(1).tolist()
    [-16.7]

    References
    ----------
    H. F. Olson, "Acoustical Engineering", 1957, doublet source (from memory).

    """
    above_zero(path_m=path_m)
    baffled = infinite_baffle(frequency_hz, driver=driver, voltage_v=voltage_v, source_ohm=source_ohm)
    doublet = 0.5 * -np.expm1(-2j * np.pi * baffled.frequency_hz * path_m / SOUND_SPEED_20C_M_S)
    return replace(baffled, response=baffled.response * doublet, pressure_1m_pa=baffled.pressure_1m_pa * doublet)


def leak_db(frequency_hz: Number, *, path_m: float, leak_share: float) -> Number:
    """What a baffle with holes takes off the sound of a driver, or adds to it where that is above 0.

    Formula: 20 log10 |1 - g exp(-j 2 pi f d / c)|

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    path_m : float
        From the cone round through the holes to the front [m]
    leak_share : float
        Share of the back's pressure that comes through [-]

    Returns
    -------
    float or array
        Change of level, shape of the frequencies [dB]

    Validity
    --------
    As `leaky_baffle`.

    Raises
    ------
    ValueError
        For a frequency or path that is not above zero, or a share outside 0 to 1.

    Examples
    --------
    >>> round(leak_db(80.0, path_m=0.3, leak_share=0.7), 1)
    -6.5

    References
    ----------
    As `leaky_baffle`.

    """
    above_zero(frequency_hz=frequency_hz)
    return level_db(_left(np.asarray(frequency_hz), path_m, leak_share))


def _left(hz: Any, path_m: float, leak_share: float) -> Any:
    above_zero(path_m=path_m)
    within(0.0, 1.0, leak_share=leak_share)
    return 1 - leak_share * np.exp(-2j * np.pi * hz * path_m / SOUND_SPEED_20C_M_S)


def leaky_baffle(
    frequency_hz: Number,
    *,
    driver: Driver,
    path_m: float,
    leak_share: float,
    voltage_v: float = 2.83,
    source_ohm: float = 0.0,
) -> Motion:
    """Motion of a driver in a large baffle with holes, as a door is: some of what its back plays comes out in front.

    Formula: p = rho s Sd v / (2 pi) * (1 - g exp(-s d / c)), v as in `infinite_baffle`

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    driver : Driver
        The driver
    path_m : float
        From the cone round through the holes to the front, about as far as the nearest large hole [m]
    leak_share : float
        Share of the back's pressure that comes through, 0 for a tight baffle, 1 for none at all [-]
    voltage_v : float
        Root-mean-square voltage of the source [V]
    source_ohm : float
        Resistance of amplifier, cable and network in front of the driver [ohm]

    Returns
    -------
    Motion, arrays even for one frequency

    Validity
    --------
    Half space, front and holes as two points, the share the same at all frequencies. In a real door it falls as
    frequency rises, so that the ripple above c / (2 d) is not to be believed; the loss below it is.

    Raises
    ------
    ValueError
        For a frequency, voltage or path that is not above zero, a share outside 0 to 1, or a negative resistance.

    Examples
    --------
    >>> cone = Driver(resonance_hz=60.0, electrical_q=0.6, mechanical_q=4.0, compliance_volume_m3=0.012,
    ...               cone_area_m2=0.0133, coil_ohm=3.2)
    >>> leaky = leaky_baffle(80.0, driver=cone, path_m=0.3, leak_share=0.7)
    >>> (20 * np.log10(abs(leaky.response / infinite_baffle(80.0, driver=cone).response))).round(1).tolist()
    [-6.5]

    References
    ----------
    H. F. Olson, "Acoustical Engineering", 1957, doublet source (from memory), its back weakened.

    """
    tight = infinite_baffle(frequency_hz, driver=driver, voltage_v=voltage_v, source_ohm=source_ohm)
    left = _left(tight.frequency_hz, path_m, leak_share)
    return replace(tight, response=tight.response * left, pressure_1m_pa=tight.pressure_1m_pa * left)
