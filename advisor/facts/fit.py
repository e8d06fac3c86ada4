"""What fits, what is lost by fitting it, and what can still be reached."""

from __future__ import annotations

from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View


@fact("location")
def lost(location: View) -> tuple[str, ...]:
    """What the customer keeps and building here would take."""
    keep = location.job.customer.keep
    return tuple(thing for thing in location.spec.disturbs if thing in keep)


@fact("location")
def holds_something(location: View) -> bool:
    """Whether something is mounted here."""
    return len(location.holds) > 0


def _needs_lead(device: View) -> bool:
    hidden = device.has_("location") and device.location.spec.hidden
    return bool(hidden and device.part.get_("setup_port") is not None)


def _service_lead(device: View) -> str:
    return str(device.spec.get_("service_lead") or "none")


@fact("processor")
def needs_service_lead(processor: View) -> bool:
    """Whether its set-up connector ends up behind trim."""
    return _needs_lead(processor)


@fact("processor")
def service_lead(processor: View) -> str:
    """Where the lead to its set-up connector comes out; none where nothing is planned."""
    return _service_lead(processor)


@fact("interface", name="needs_service_lead")
def interface_needs_service_lead(interface: View) -> bool:
    """Whether its set-up connector ends up behind trim."""
    return _needs_lead(interface)


@fact("interface", name="service_lead")
def interface_service_lead(interface: View) -> str:
    """Where the lead to its set-up connector comes out; none where nothing is planned."""
    return _service_lead(interface)


@fact("amplifier")
def has_fan(amplifier: View) -> bool:
    """Whether a fan is planned for the amplifier."""
    return bool(amplifier.spec.fan != "none")


@fact("amplifier", unit="mm")
def spare_mm(amplifier: View) -> float:
    """Least spare length of the place over the amplifier, longest side to longest; below 0 it does not fit."""
    space, outer = amplifier.location.spec.space_mm, amplifier.part.outer_mm
    return float(min(place - device for place, device in zip(sorted(space), sorted(outer), strict=True)))


@fact("driver", unit="mm")
def free_depth_mm(driver: View) -> float:
    """Free depth behind the mounting face, with the window down."""
    depth = driver.location.spec.get_("depth_mm")
    if depth is None:
        raise Missing(f"{driver.location}: depth_mm", driver.location.place_, "measure it with the window down")
    return float(depth)


@fact("driver")
def has_place(driver: View) -> bool:
    """Whether the job says where the driver sits."""
    return driver.has_("location")


@fact("amplifier", name="has_place")
def amplifier_has_place(amplifier: View) -> bool:
    """Whether the job says where the amplifier sits."""
    return amplifier.has_("location")


@fact("network", name="has_place")
def network_has_place(network: View) -> bool:
    """Whether the job says where the network sits."""
    return network.has_("location")
