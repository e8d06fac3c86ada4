"""A driver at work: what cone, coil, box and port do under a given voltage, from one model.

Voltage drives current through the coil, current pushes the cone, the cone pushes air through box and port, and all
of it pushes back on the amplifier as impedance. Sound, excursion, port flow and impedance therefore come out of the
same three equations and cannot contradict each other. Amplitudes are root mean square and complex; the cone moves as
one piece, the suspension and motor are linear, and the coil's inductance is one plain inductance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from advisor.physics.air import AIR_DENSITY_20C_KG_M3, SOUND_SPEED_20C_M_S
from advisor.physics.driver_parameters import Driver
from advisor.physics.guards import Number, above_zero, not_below_zero, within

__all__ = ["Driver", "Motion", "closed", "infinite_baffle", "vented"]

ISOTHERMAL_FILL = 1.4
Spectrum = NDArray[np.complex128]


@dataclass(frozen=True)
class Motion:
    """What a driver does at each frequency: one-dimensional arrays, root mean square.

    response: sound pressure against the flat passband of an infinite baffle at the same voltage [-];
    pressure_1m_pa: sound pressure at 1 m [Pa]; excursion_m: cone excursion [m]; impedance_ohm: at the driver's
    terminals, source not included [ohm]; port_flow_m3_s: volume flow in the port, zero without one [m3/s].
    """

    frequency_hz: NDArray[np.float64]
    response: Spectrum
    pressure_1m_pa: Spectrum
    excursion_m: Spectrum
    impedance_ohm: Spectrum
    port_flow_m3_s: Spectrum

    @property
    def peak_excursion_m(self) -> NDArray[np.float64]:
        """Largest excursion to one side for a sine [m]."""
        return math.sqrt(2) * np.abs(self.excursion_m)


@dataclass(frozen=True)
class _Air:
    """Acoustic admittances behind the cone, at each s: of the whole box, of its air alone, and of its port.

    Admittances, because that of a box without losses is zero at its tuning: the cone then stands still.
    """

    whole: Spectrum
    spring: Spectrum
    port: Spectrum | None = None


def _laplace(frequency_hz: Number) -> Spectrum:
    above_zero(frequency_hz=frequency_hz)
    return np.asarray(2j * math.pi * np.atleast_1d(frequency_hz), dtype=np.complex128)


def _moved(s: Spectrum, driver: Driver, air: _Air | None, voltage_v: float, source_ohm: float) -> Motion:
    above_zero(voltage_v=voltage_v)
    not_below_zero(source_ohm=source_ohm)
    area, force, mass = driver.cone_area_m2, driver.force_factor_tm, driver.moving_mass_kg
    mechanical = driver.loss_kg_s + s * mass + 1 / (s * driver.compliance_m_n)
    coil = driver.coil_ohm + s * driver.coil_h
    # The box adds area² / Y to the mechanical impedance; everything is multiplied by Y to go without the division.
    whole, on_the_back = (np.ones_like(s), 0.0) if air is None else (air.whole, area**2)
    load = mechanical * whole + on_the_back
    push = voltage_v * force / ((coil + source_ohm) * load + force**2 * whole)
    velocity = push * whole
    radiated, port_flow = area * velocity, np.zeros_like(s)
    if air is not None:
        # What port and leak let out cancels the cone's front; the flow that compresses the air in the box is left.
        radiated = area * push * air.spring
        if air.port is not None:
            port_flow = area * push * air.port
    pressure = AIR_DENSITY_20C_KG_M3 * s * radiated / (2 * math.pi)
    # In the passband the mass rules: velocity V Bl / (R s M), and a pressure that does not depend on frequency.
    flat = AIR_DENSITY_20C_KG_M3 * area * voltage_v * force / (2 * math.pi * (driver.coil_ohm + source_ohm) * mass)
    return Motion(
        frequency_hz=s.imag / (2 * math.pi),
        response=pressure / flat,
        pressure_1m_pa=pressure,
        excursion_m=velocity / s,
        impedance_ohm=coil + force**2 * whole / load,
        port_flow_m3_s=port_flow,
    )


def infinite_baffle(
    frequency_hz: Number, *, driver: Driver, voltage_v: float = 2.83, source_ohm: float = 0.0
) -> Motion:
    """Motion of a driver whose back plays into a space so large that it neither returns nor pushes back.

    Formula: v = V Bl / (Zc Zm + Bl²), Zc = Rs + Re + s Le, Zm = Rms + s Mms + 1/(s Cms), p = rho s Sd v / (2 pi)

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    driver : Driver
        The driver
    voltage_v : float
        Root-mean-square voltage of the source [V]
    source_ohm : float
        Resistance of amplifier, cable and network in front of the driver [ohm]

    Returns
    -------
    Motion, arrays even for one frequency

    Validity
    --------
    Half space, cone small against the wavelength. A boot behind a rear shelf is nearly this for a small driver.

    Raises
    ------
    ValueError
        For a frequency or voltage that is not above zero, or a negative source resistance.

    Examples
    --------
    >>> sub = Driver(resonance_hz=28.0, electrical_q=0.45, mechanical_q=5.0, compliance_volume_m3=0.060,
    ...              cone_area_m2=0.0330, coil_ohm=3.2)
    >>> at_resonance = infinite_baffle(28.0, driver=sub)
    >>> np.abs([at_resonance.impedance_ohm[0], at_resonance.response[0]]).round(3).tolist()
    [38.756, 0.413]

    References
    ----------
    R. H. Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20(5), 1972.

    """
    return _moved(_laplace(frequency_hz), driver, None, voltage_v, source_ohm)


def closed(
    frequency_hz: Number,
    *,
    driver: Driver,
    box_m3: float,
    leakage_q: float = math.inf,
    absorption_q: float = math.inf,
    fill_factor: float = 1.0,
    voltage_v: float = 2.83,
    source_ohm: float = 0.0,
) -> Motion:
    """Motion of a driver in a closed box.

    Formula: as `infinite_baffle` with Sd² Zb added to Zm; 1/Zb = 1/(Ra + 1/(s Cb)) + 1/Rl, Cb = fill Vb / (rho c²)

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    driver : Driver
        The driver
    box_m3 : float
        Inner volume, less what driver and bracing take up [m3]
    leakage_q : float
        Q by the leaks at the resonance of the box; infinite for a tight one [-]
    absorption_q : float
        Q by the filling at the resonance of the box; infinite for an empty one [-]
    fill_factor : float
        How much larger the filling makes the box seem, 1 to 1.4; 1.15 to 1.25 is what fillings reach [-]
    voltage_v : float
        Root-mean-square voltage of the source [V]
    source_ohm : float
        Resistance of amplifier, cable and network in front of the driver [ohm]

    Returns
    -------
    Motion, arrays even for one frequency

    Validity
    --------
    As `infinite_baffle`, and box small against the wavelength. The filling's own mass is neglected.

    Raises
    ------
    ValueError
        For a frequency, voltage, volume or Q that is not above zero, or a filling factor outside 1 to 1.4.

    Examples
    --------
    >>> sub = Driver(resonance_hz=28.0, electrical_q=0.45, mechanical_q=5.0, compliance_volume_m3=0.060,
    ...              cone_area_m2=0.0330, coil_ohm=3.2)
    >>> (1000 * closed(20.0, driver=sub, box_m3=0.025, voltage_v=20.0).peak_excursion_m).round(1).tolist()
    [10.4]

    References
    ----------
    R. H. Small, "Closed-Box Loudspeaker Systems, Part I: Analysis", JAES 20(10), 1972; the filling factor is bounded by
    air compressed at constant temperature.

    """
    s = _laplace(frequency_hz)
    compliance = _box_compliance(box_m3, fill_factor)
    resonance = driver.resonance_hz * math.sqrt(1 + driver.cone_area_m2**2 * driver.compliance_m_n / compliance)
    spring = _spring(s, compliance, resonance, absorption_q)
    return _moved(s, driver, _Air(spring + _leak(compliance, resonance, leakage_q), spring), voltage_v, source_ohm)


def vented(
    frequency_hz: Number,
    *,
    driver: Driver,
    box_m3: float,
    tuned_hz: float,
    leakage_q: float = 7.0,
    absorption_q: float = math.inf,
    port_q: float = math.inf,
    fill_factor: float = 1.0,
    voltage_v: float = 2.83,
    source_ohm: float = 0.0,
) -> Motion:
    """Motion of a driver in a vented box, and of the air in its port.

    Formula: as `closed` with 1 / (s Mp + Rp) added to 1/Zb, Mp = 1 / ((2 pi fB)² Cb)

    Parameters
    ----------
    frequency_hz : float or array
        Frequencies [Hz]
    driver : Driver
        The driver
    box_m3 : float
        Inner volume, less what driver, bracing and port take up [m3]
    tuned_hz : float
        Frequency the port is tuned to, with the filling in [Hz]
    leakage_q : float
        Q by the leaks at the tuning [-]
    absorption_q : float
        Q by the filling at the tuning; infinite for an empty box [-]
    port_q : float
        Q by friction in the port at the tuning; infinite for none [-]
    fill_factor : float
        How much larger the filling makes the box seem, 1 to 1.4 [-]
    voltage_v : float
        Root-mean-square voltage of the source [V]
    source_ohm : float
        Resistance of amplifier, cable and network in front of the driver [ohm]

    Returns
    -------
    Motion, arrays even for one frequency

    Validity
    --------
    As `closed`. Small signals: above about 17 m/s in the port its losses grow and output falls behind. Pipe resonances
    of the port are neglected.

    Raises
    ------
    ValueError
        For a frequency, voltage, volume, tuning or Q that is not above zero, or a filling factor outside 1 to 1.4.

    Examples
    --------
    >>> sub = Driver(resonance_hz=28.0, electrical_q=0.45, mechanical_q=5.0, compliance_volume_m3=0.060,
    ...              cone_area_m2=0.0330, coil_ohm=3.2)
    >>> hz = np.array([20.0, 30.0, 45.0])
    >>> (1000 * vented(hz, driver=sub, box_m3=0.05, tuned_hz=30.0, voltage_v=20.0).peak_excursion_m).round(1).tolist()
    [18.0, 3.2, 8.2]

    References
    ----------
    R. H. Small, "Vented-Box Loudspeaker Systems, Part I: Small-Signal Analysis", JAES 21(5), 1973.

    """
    above_zero(tuned_hz=tuned_hz)
    s = _laplace(frequency_hz)
    compliance = _box_compliance(box_m3, fill_factor)
    spring = _spring(s, compliance, tuned_hz, absorption_q)
    tuned = 2 * math.pi * tuned_hz
    port = tuned**2 * compliance / (s + tuned / _q(port_q=port_q))
    whole = spring + port + _leak(compliance, tuned_hz, leakage_q)
    return _moved(s, driver, _Air(whole, spring, port), voltage_v, source_ohm)


def _q(**named: float) -> float:
    ((name, value),) = named.items()
    if not value > 0:
        raise ValueError(f"{name} must be above zero (infinite for no loss), but is {value}")
    return value


def _box_compliance(box_m3: float, fill_factor: float) -> float:
    above_zero(box_m3=box_m3)
    within(1.0, ISOTHERMAL_FILL, fill_factor=fill_factor)
    return fill_factor * box_m3 / (AIR_DENSITY_20C_KG_M3 * SOUND_SPEED_20C_M_S**2)


def _spring(s: Spectrum, compliance: float, at_hz: float, absorption_q: float) -> Spectrum:
    """Return the admittance of the air, its filling in a row with it."""
    return compliance / (1 / s + 1 / (2 * math.pi * at_hz * _q(absorption_q=absorption_q)))


def _leak(compliance: float, at_hz: float, leakage_q: float) -> float:
    """Return the admittance of the leaks, which is zero for an infinite Q."""
    return 2 * math.pi * at_hz * compliance / _q(leakage_q=leakage_q)
