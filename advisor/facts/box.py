"""What a box does to its driver: how long its port, how fast the air in it, how far the cone goes."""

from __future__ import annotations

import math
from typing import Any

from advisor import physics
from advisor.facts.band import fallen_hz
from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

SMALL_1973 = "R. H. Small, Vented-Box Loudspeaker Systems, J. Audio Eng. Soc. 21, 1973, Parts I and II"
END_CORRECTIONS = (
    "resonator of Helmholtz; ends 0.82 radii in a wall, 0.61 free (Norris and Sheng 1989; Levine and Schwinger 1948)"
)
DISPLACEMENT = "R. H. Small, J. Audio Eng. Soc. 20(10), 1972, displacement-limited power"
LITRE, MILLI = 1e-3, 1e-3


@fact("driver")
def is_vented(driver: View) -> bool:
    """Whether it plays into a box with a port."""
    return bool(driver.mounting == "vented box")


@fact("driver")
def is_closed(driver: View) -> bool:
    """Whether it plays into a closed box of its own."""
    return bool(driver.mounting == "closed box")


@fact("driver", unit="L", source="air compressed at constant temperature, as far as a filling brings it to that")
def box_seems_l(driver: View) -> float:
    """Volume the box seems to have for each driver in it, a filling counted."""
    if not (driver.is_closed or driver.is_vented):
        raise NotDefined("it has no box")
    litres = driver.box.closed_l if driver.is_closed else driver.box.vented_l
    filling = driver.box.fill
    larger = float(driver.assume_("box_fill")[filling]) if filling != "none" else 1.0
    return float(litres * larger / driver.way.count)


@fact("driver", unit="dB", source="H. F. Olson, Acoustical Engineering, 1957, doublet source (from memory)")
def unsealed_loss_db(driver: View) -> float:
    """What a door left open takes off at the low edge: the back of the cone comes out too, in opposite phase."""
    if not driver.is_in_a_door:
        raise NotDefined("it plays into no door")
    edge, leak = float(driver.low_edge_hz), float(driver.assume_("door_leak_share"))
    path = float(driver.assume_("door_leak_path"))
    return -float(physics.open_back.leak_db(edge, path_m=path, leak_share=leak))


@fact("driver", hidden=True, source="area of a circle")
def port_m2(driver: View) -> float:
    """Cross-section of one port."""
    if not driver.is_vented:
        raise NotDefined("the box has no port")
    return math.pi * float(driver.box.port_mm * MILLI / 2) ** 2


@fact("driver", unit="mm", source=END_CORRECTIONS)
def port_length_mm(driver: View) -> float:
    """Length of each port that tunes the box, one end in the baffle and the other in the air of the box."""
    area, tuned, box_m3 = driver.port_m2, float(driver.tuning_hz), driver.box_seems_l * driver.way.count * LITRE
    count = driver.box.ports
    if physics.port.tuned_hz(length_m=0.0, box_m3=box_m3, area_m2=area, count=count) < tuned:
        raise NotDefined("even a bare hole of that width tunes the box lower; the port has to be wider")
    length = physics.port.port_length_m(tuned_hz=tuned, box_m3=box_m3, area_m2=area, count=count)
    return float(length / MILLI)


@fact("driver", unit="L", source="volume of a cylinder")
def ports_take_l(driver: View) -> float:
    """What the air in all ports takes up, on top of the net volume of the box."""
    return float(driver.port_m2 * driver.port_length_mm * MILLI * driver.box.ports / LITRE)


@fact("driver", unit="%")
def ports_take_percent(driver: View) -> float:
    """What the ports take up, as a share of the net volume of the box."""
    return float(100 * driver.ports_take_l / driver.box.vented_l)


@fact("driver", unit="Hz", source="open pipe, half a wave long, its ends counted; textbook")
def port_rings_hz(driver: View) -> float:
    """Lowest frequency at which the port rings as a pipe."""
    length, area = float(driver.port_length_mm) * MILLI, driver.port_m2
    return float(physics.port.pipe_resonance_hz(length_m=length, area_m2=area))


@fact("driver", hidden=True, source=SMALL_1973)
def box_hump(driver: View) -> tuple[float, float]:
    """Where a vented box is loudest against its passband [Hz], and by how much [dB]."""
    if not driver.is_vented:
        raise NotDefined("the box has no port")
    hz = physics.spectrum.steps_hz(low_hz=10.0, high_hz=300.0, count=400)
    level = physics.spectrum.level_db(driver.response(hz))
    return float(hz[level.argmax()]), float(level.max())


@fact("driver", unit="Hz", source=SMALL_1973)
def box_hump_hz(driver: View) -> float:
    """Frequency at which the driver in its vented box is loudest against its passband."""
    return float(driver.box_hump[0])


@fact("driver", unit="dB", source=SMALL_1973)
def box_hump_db(driver: View) -> float:
    """How far it rises there above its passband."""
    return max(0.0, float(driver.box_hump[1]))


@fact("driver", unit="W")
def drive_w(driver: View) -> float:
    """Most power each driver of a side gets: what its channel leaves it, a pad taken off, or what it is rated for."""
    drivers = len(driver.channel.drivers) if not driver.has_("network") else 1
    share = driver.way.count * drivers * 10 ** (driver.pad_db / 10)
    return driver.engine_.decisive(min, lambda: driver.channel.watts / share, lambda: driver.part.power_w)


@fact("driver", hidden=True, source=SMALL_1973)
def motion(driver: View) -> Any:
    """Motion of one driver in its share of the box, by frequency and voltage."""
    shared = {"driver": driver.model}
    if driver.is_vented:
        box = {
            "box_m3": float(driver.box_seems_l) * LITRE,
            "tuned_hz": float(driver.tuning_hz),
            "leakage_q": float(driver.assume_("box_leakage_q")),
        }
        return lambda hz: physics.driver.vented(hz, voltage_v=1.0, **shared, **box)
    if driver.is_closed:
        closed_m3 = float(driver.box_seems_l) * LITRE
        return lambda hz: physics.driver.closed(hz, voltage_v=1.0, box_m3=closed_m3, **shared)
    return lambda hz: physics.driver.infinite_baffle(hz, voltage_v=1.0, **shared)


@fact("driver", hidden=True, source="response of the named filter, see physics/filters.py")
def high_pass(driver: View) -> Any:
    """Response of the filter at the low edge; one where the edge is open."""
    if not driver.has_low_edge:
        return lambda hz: 1.0 + 0.0 * hz
    edge = driver.way.plays[0]
    order = edge.order if edge.order is not None else int(driver.assume_("filter_slope")) // 6
    shape = {"family": edge.family or "linkwitz-riley", "order": order, "edge_hz": float(edge.hz)}
    return lambda hz: physics.filters.response(hz, kind="high-pass", **shape)


@fact("driver", unit="m/s", source=SMALL_1973)
def port_velocity_m_s(driver: View) -> float:
    """Fastest the air in the port goes, on a sine at the power it gets or, if that is less, at the cone's travel."""
    area, hz = driver.port_m2, physics.spectrum.steps_hz(low_hz=10.0, high_hz=200.0, count=200)
    voltage = math.sqrt(driver.drive_w * driver.part.impedance_ohm)
    moved = driver.motion(hz)
    driven = voltage * abs(driver.high_pass(hz))
    reached = physics.spectrum.lesser(driven, driver.part.xmax_mm * MILLI / moved.peak_excursion_m)
    flow = math.sqrt(2) * abs(moved.port_flow_m3_s) * reached * driver.way.count
    return float(physics.port.port_velocity_m_s(flow_m3_s=flow.max(), area_m2=area, count=driver.box.ports))


@fact("driver", unit="Hz", source="R. H. Small, Closed-Box and Vented-Box Loudspeaker Systems, 1972 and 1973")
def tenth_power_hz(driver: View) -> float:
    """Frequency below which the mounted driver is 10 dB (a tenth of the power) under its own passband."""
    if not driver.has_parameters:
        raise NotDefined("the datasheet has too little for it; the band is taken from nominal size")
    return fallen_hz(driver.response, 10.0, driver)


@fact("driver", unit="dB", source=DISPLACEMENT)
def excursion_limited_db(driver: View) -> float:
    """Highest level at 1 m in half space that travel allows at the low edge, all drivers of a side together."""
    edge, travel = float(driver.low_edge_hz), driver.part.xmax_mm * MILLI
    if driver.is_vented:
        moved = driver.motion(physics.spectrum.at_hz(edge))
        pressure = abs(moved.pressure_1m_pa) * travel / moved.peak_excursion_m * driver.way.count
        return float(physics.spectrum.level_db(pressure[0] / physics.air.REFERENCE_PRESSURE_PA))
    displacement = driver.part.sd_cm2 * 1e-4 * travel * driver.way.count
    return float(physics.loudness.excursion_limited_db(edge, displacement_m3=displacement))


@fact("driver", unit="dB", source="definition of sensitivity")
def thermal_limited_db(driver: View) -> float:
    """Level at 1 m in half space at the rated power of the coils of a side, hot as they are then."""
    # several drivers side by side double pressure where power alone would give half of that
    power, lost = driver.part.power_w * driver.way.count**2, driver.assume_("loss_of_a_hot_coil")
    level = driver.sensitivity_1w_db
    return float(physics.loudness.thermally_limited_db(sensitivity_1w_db=level, power_w=power, compression_db=lost))


@fact("driver")
def has_to_be_loud(driver: View) -> bool:
    """Whether the loudness asked for is asked of it: all but what only plays along from behind."""
    return bool(not driver.is_behind or driver.carries_bass_behind)
