"""What the vehicle's supply can give: current to spare, and the voltage left at the amplifier.

An amplifier takes constant power: when its voltage sags it draws more current, which makes it sag further. Up to
a quarter of Vs**2/R there is a voltage where this comes to rest; beyond it there is none.
"""

from __future__ import annotations

import numpy as np

from advisor.physics.guards import Number, above_zero, not_below_zero, plain, within

IDLE_RPM = 1500.0
RATED_RPM = 6000.0
"""Speeds of the alternator, not the engine, at which its two currents are stated."""


def alternator_output_a(*, idle_a: Number, rated_a: Number, speed_rpm: Number) -> Number:
    """Current an alternator gives at some speed of its own.

    Formula: straight line between both stated points; above 6000 1/min the rated current

    Parameters
    ----------
    idle_a : float or array
        Current stated at 1500 1/min [A]
    rated_a : float or array
        Current stated at 6000 1/min [A]
    speed_rpm : float or array
        Speed of the alternator: two to three times the engine's [1/min]

    Returns
    -------
    Current, broadcast over the arguments [A]

    Validity
    --------
    1500 1/min and more. The real curve lies above the line, so this errs on the safe side; a hot alternator gives
    less. There is no safe share of the rated current to take for idle where only one figure is known.

    Raises
    ------
    ValueError
        Below 1500 1/min, or if the rated current is less than the idle one.

    Examples
    --------
    >>> alternator_output_a(idle_a=70.0, rated_a=140.0, speed_rpm=2400.0)
    84.0

    References
    ----------
    ISO 8854 (form of the rating read second-hand, speeds from memory); the straight line is ours.

    """
    above_zero(idle_a=idle_a, rated_a=rated_a)
    within(IDLE_RPM, 25000.0, speed_rpm=speed_rpm)
    gain = np.subtract(rated_a, idle_a)
    not_below_zero(rated_minus_idle_a=plain(gain))
    share = np.clip((np.asarray(speed_rpm) - IDLE_RPM) / (RATED_RPM - IDLE_RPM), 0.0, 1.0)
    return plain(idle_a + gain * share)


def alternator_reserve_a(*, output_a: Number, vehicle_a: Number, audio_a: Number = 0.0) -> Number:
    """Current left over when the vehicle and the audio system have had theirs.

    Formula: I = I_alternator - I_vehicle - I_audio

    Parameters
    ----------
    output_a : float or array
        What the alternator (or the converter of an electric vehicle) gives [A]
    vehicle_a : float or array
        What the vehicle itself draws: lights, blower, heated screen, engine control [A]
    audio_a : float or array
        Mean current of the audio system at the loudness wanted [A]

    Returns
    -------
    Reserve, broadcast over the arguments [A]; below zero the battery makes up for it and empties

    Validity
    --------
    Means over minutes. The battery covers peaks.

    Raises
    ------
    ValueError
        If a current is below zero.

    Examples
    --------
    >>> alternator_reserve_a(output_a=84.0, vehicle_a=45.0, audio_a=30.0)
    9.0

    References
    ----------
    Kirchhoff's current law.

    """
    not_below_zero(output_a=output_a, vehicle_a=vehicle_a, audio_a=audio_a)
    return plain(np.subtract(output_a, vehicle_a) - audio_a)


def greatest_power_w(*, source_v: Number, source_ohm: Number) -> Number:
    """Most power that can be taken through a resistance; beyond it the voltage collapses.

    Formula: P = Vs**2 / (4 R)

    Parameters
    ----------
    source_v : float or array
        Voltage of the source without load [V]
    source_ohm : float or array
        Resistance of source and cable, both ways, together [ohm]

    Returns
    -------
    Power at the load, broadcast over both [W]

    Validity
    --------
    Direct current, steady. A capacitor carries a short peak beyond it.

    Raises
    ------
    ValueError
        If either is not above zero.

    Examples
    --------
    >>> greatest_power_w(source_v=12.6, source_ohm=0.03)
    1323.

    References
    ----------
    Maximum power transfer, textbook.

    """
    above_zero(source_v=source_v, source_ohm=source_ohm)
    return plain(np.square(source_v) / (4.0 * np.asarray(source_ohm)))


def terminal_voltage_v(*, source_v: Number, source_ohm: Number, load_w: Number) -> Number:
    """Voltage at a load of constant power, behind the resistance of source and cable.

    Formula: V = [Vs + sqrt(Vs**2 - 4 R P)] / 2, the upper root of V = Vs - R P/V

    Parameters
    ----------
    source_v : float or array
        Voltage of the source without load [V]
    source_ohm : float or array
        Resistance of source and cable, both ways, together [ohm]
    load_w : float or array
        Power the load takes, whatever its voltage [W]

    Returns
    -------
    Voltage at the load, broadcast over the arguments [V]

    Validity
    --------
    Amplifiers with a regulated converter, and class D, over times in which the source keeps its voltage. An
    unregulated amplifier draws less as it sags, so this errs on the safe side.

    Raises
    ------
    ValueError
        If the load is more than `greatest_power_w`: there is no such voltage.

    Examples
    --------
    >>> terminal_voltage_v(source_v=12.6, source_ohm=0.01, load_w=1000.0)
    11.75

    References
    ----------
    Ohm's law with a load of constant power.

    """
    above_zero(source_v=source_v)
    not_below_zero(source_ohm=source_ohm, load_w=load_w)
    under_root = np.square(source_v) - 4.0 * np.asarray(source_ohm) * load_w
    if np.any(under_root < 0.0):
        raise ValueError(
            f"the supply collapses: load_w of {load_w} is more than source_v {source_v} can send through "
            f"source_ohm {source_ohm}"
        )
    return plain((source_v + np.sqrt(under_root)) / 2.0)
