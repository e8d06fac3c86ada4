"""What the job costs in money and time."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import SpecView, View
from advisor.reading.parts import Cable


def _parts(job: View) -> Iterator[tuple[SpecView, float]]:
    """Yield every part of the job and how many (or how many metres) of it."""
    for group in (job.sources, job.interfaces, job.processors, job.amplifiers):
        for device in group:
            yield device.part, 1.0
    for network in job.networks:
        if network.has_("part"):
            yield network.part, 1.0
    for driver in job.drivers:
        yield driver.part, float(driver.way.count)
        if driver.has_("box"):
            yield driver.box, 1.0
        if driver.has_("cable") and driver.cable.has_("part"):
            yield driver.cable.part, float(driver.cable.spec.run_m)
    for supply in job.supplies:
        if supply.has_("part"):
            yield supply.part, float(supply.spec.run_m)
    for extra in job.extras:
        yield extra.part, float(extra.count)


def _summed(job: View, name: str) -> float:
    total, unknown = 0.0, []
    for part, count in _parts(job):
        value = part.get_(name)
        if value is None and name == "fit_h" and isinstance(part.spec_, Cable):
            continue  # laying cable is an operation of the job
        if value is None:
            unknown.append(str(part))
        else:
            total += float(value) * count
    if unknown:
        what = "price" if name == "price" else "labour hours (fit_h)"
        raise Missing(f"the {what} of {', '.join(dict.fromkeys(unknown))}", job.place_, "add it to the part")
    return total


def _made_networks(job: View) -> int:
    return sum(not network.has_("part") for network in job.networks)


@fact("job", unit="money")
def parts_cost(job: View) -> float:
    """Price of all parts, networks made for the job included."""
    made = _made_networks(job)
    return _summed(job, "price") + (made * float(job.shop.auto_network_price) if made else 0.0)


@fact("job", unit="h")
def work_h(job: View) -> float:
    """Hours of the operations listed in the job, each side of a pair counted."""
    return float(sum(hours for hours, _ in _operations(job)))


@fact("job", unit="money")
def consumables_cost(job: View) -> float:
    """Consumables of the operations listed in the job."""
    return float(sum(cost for _, cost in _operations(job)))


def _operations(job: View) -> Iterator[tuple[float, float]]:
    listed = [name for holder in (job, *job.drivers) for name in (holder.spec if holder is job else holder.way).work]
    operations = job.shop.operations
    for name in listed:
        yield operations[name].h, operations[name].consumables


@fact("job", unit="h")
def labour_h(job: View) -> float:
    """Hours to fit every part, and of the operations listed."""
    made = _made_networks(job)
    return _summed(job, "fit_h") + (made * float(job.shop.auto_network_h) if made else 0.0) + float(job.work_h)


@fact("job", unit="days")
def labour_days(job: View) -> float:
    """Working days at the shop's hours."""
    return float(job.labour_h / job.shop.day_h)


@fact("job", unit="money")
def labour_cost(job: View) -> float:
    """Labour at the shop's rate."""
    return float(job.labour_h * job.shop.rate_per_h)


@fact("job", unit="money")
def total_cost(job: View) -> float:
    """Parts, consumables and labour together."""
    return float(job.parts_cost + job.consumables_cost + job.labour_cost)


@fact("job")
def has_budget(job: View) -> bool:
    """Whether the customer named a budget."""
    return job.customer.get_("budget") is not None
