"""Whether what is mounted goes in: depth and window, room in front, the box in its space, devices side by side."""

from __future__ import annotations

from advisor import physics
from advisor.facts.band import _by_size
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

LITRE, MILLI = 1e-3, 1e-3
GEOMETRY = "geometry"


@fact("driver", unit="mm")
def depth_needed_mm(driver: View) -> float:
    """Depth it takes behind the panel: its own, less the ring it is mounted on."""
    return float(driver.part.depth_mm - (driver.way.get_("ring_mm") or 0.0))


@fact("driver", unit="mm")
def depth_left_mm(driver: View) -> float:
    """Free depth that is left behind its magnet; below 0 it does not go in."""
    return float(driver.free_depth_mm - driver.depth_needed_mm)


@fact("driver")
def has_a_window_behind(driver: View) -> bool:
    """Whether the glass on its way down was measured behind the place."""
    return bool(driver.has_("location") and driver.location.spec.get_("window_mm") is not None)


@fact("driver", unit="mm")
def window_gap_mm(driver: View) -> float:
    """Gap between its magnet and the glass on its way down; below 0 they meet."""
    return float(driver.location.spec.window_mm - driver.depth_needed_mm)


@fact("driver")
def has_a_vented_pole(driver: View) -> bool:
    """Whether it breathes through the back of its magnet, in a place whose depth is known."""
    known = driver.has_("location") and driver.location.spec.get_("depth_mm") is not None
    return bool(known and driver.part.vented_pole and driver.part.get_("depth_mm") is not None)


@fact("driver")
def front_is_surveyed(driver: View) -> bool:
    """Whether the room before the panel is known, and how far the driver comes out."""
    there = driver.has_("location") and driver.location.spec.get_("front_mm") is not None
    return bool(there and driver.part.get_("stands_out_mm") is not None)


@fact("driver", unit="mm")
def comes_out_mm(driver: View) -> float:
    """How far it comes out before the panel at full travel, on its ring."""
    return float(driver.part.stands_out_mm + (driver.way.get_("ring_mm") or 0.0))


@fact("driver")
def box_room_is_surveyed(driver: View) -> bool:
    """Whether it has a box, and the volume of the place for it is known."""
    there = driver.has_("box") and driver.has_("location")
    return bool(there and driver.location.spec.get_("volume_l") is not None)


@fact("driver", unit="L")
def box_net_l(driver: View) -> float:
    """Net volume of its box."""
    if not driver.has_("box"):
        raise NotDefined("it has no box of its own")
    vented = driver.box.get_("vented_l")
    return float(vented if vented is not None else driver.box.closed_l)


@fact("driver", unit="L", source="common practice")
def displaced_l(driver: View) -> float:
    """What all its drivers take up inside the box."""
    table = driver.assume_("driver_takes_up_by_nominal_size")
    return float(_by_size(table, driver.nominal_size_mm) * driver.way.count)


@fact("driver", unit="L", source=GEOMETRY)
def port_l(driver: View) -> float:
    """What its ports take up inside the box."""
    if not driver.is_vented or driver.box.get_("port_mm") is None:
        return 0.0
    return float(driver.port_m2 * driver.port_length_mm * MILLI * driver.box.ports / LITRE)


@fact("driver", unit="L", source=GEOMETRY)
def box_gross_l(driver: View) -> float:
    """Volume inside the walls of its box: net, with driver and ports."""
    return float(driver.box_net_l + driver.displaced_l + driver.port_l)


@fact("driver", unit="L", source="a cube of that volume with its walls; geometry")
def box_outer_l(driver: View) -> float:
    """Volume its box takes at least, walls included."""
    wall = driver.box.get_("wall_mm")
    wall = float(wall if wall is not None else driver.assume_("box_wall"))
    outer = physics.room.cube_outer_m3(inner_m3=driver.box_gross_l * LITRE, wall_m=wall * MILLI)
    return float(outer / LITRE)


def _devices(location: View) -> list[View]:
    job = location.job
    devices = [*job.interfaces, *job.processors, *job.amplifiers]
    return [one for one in devices if one.has_("location") and str(one.location) == str(location)]


@fact("location")
def devices_here(location: View) -> tuple[str, ...]:
    """Processors, interfaces and amplifiers that sit here."""
    return tuple(str(device) for device in _devices(location))


@fact("location")
def is_shared(location: View) -> bool:
    """Whether several devices sit here, and the space was measured."""
    return len(location.devices_here) > 1 and location.spec.get_("space_mm") is not None


@fact("location", unit="mm", source=GEOMETRY)
def air_gap_mm(location: View) -> float:
    """Widest even gap around and between the devices that sit here, set in a row; below 0 they do not go in."""
    devices = _devices(location)
    if not devices:
        raise NotDefined("no device sits here")
    lacking = [str(one.part) for one in devices if one.part.get_("outer_mm") is None]
    if lacking:
        raise Missing(f"outer_mm of {', '.join(lacking)}", devices[0].place_, "length, width and height, off the sheet")
    sizes = [tuple(side * MILLI for side in one.part.outer_mm) for one in devices]
    space = tuple(side * MILLI for side in location.spec.space_mm)
    return float(physics.room.row_gap_m(space_m=space, devices_m=sizes)) / MILLI


@fact("driver", unit="mm")
def cutout_mm(driver: View) -> float:
    """Cut-out it needs."""
    return float(driver.part.cutout_mm)


@fact("driver", unit="mm")
def ring_mm(driver: View) -> float:
    """Thickness of the ring it is mounted on."""
    ring = driver.way.get_("ring_mm")
    if ring is None:
        raise NotDefined("it is mounted without a ring")
    return float(ring)


@fact("driver", unit="mm")
def port_mm(driver: View) -> float:
    """Inner diameter of each of its ports."""
    if not driver.is_vented:
        raise NotDefined("the box has no port")
    return float(driver.box.port_mm)


@fact("driver")
def ports(driver: View) -> int:
    """How many ports its box has."""
    if not driver.is_vented:
        raise NotDefined("the box has no port")
    return int(driver.box.ports)
