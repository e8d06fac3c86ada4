"""What has to be bought: how many of each part, at what price, and how long it takes to come."""

from __future__ import annotations

import math

from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

BY_KIND = {
    "source": "source", "interface": "processing", "processor": "processing", "network": "front",
    "amplifier": "amplification", "fan": "amplification", "cable": "wiring", "fuse": "wiring",
}  # fmt: skip


@fact("item")
def is_cable(item: View) -> bool:
    """Whether it is sold by the metre."""
    return bool(item.kind == "cable")


@fact("item")
def is_made_here(item: View) -> bool:
    """Whether it costs nothing to buy, because work listed makes it."""
    return bool(item.part.get_("price") == 0)


@fact("item", unit="m")
def length_m(item: View) -> float:
    """Metres of the cable that the job takes, all runs together."""
    if not item.is_cable:
        raise NotDefined("it is sold by the piece")
    runs = [float(cable.spec.run_m) for cable in item.cables]
    runs += [float(supply.copper_m) for supply in item.supplies]
    return sum(runs) + sum(float(extra.count) for extra in item.extras)


@fact("item")
def quantity(item: View) -> float:
    """How many to order: pieces, or of cable whole metres, as it is sold."""
    if item.is_cable:
        return float(math.ceil(round(item.length_m, 6)))
    if item.kind == "driver":
        used = sum(float(driver.way.count) for driver in item.drivers)
    else:
        used = float(len(item.boxed if item.kind == "box" else item.devices))
    return used + sum(float(extra.count) for extra in item.extras)


@fact("item", unit="money")
def each_price(item: View) -> float:
    """Price of one, or of one metre."""
    price = item.part.get_("price")
    if price is None:
        raise Missing(f"the price of {item.part}", item.part.place_, "add it to the part")
    return float(price)


@fact("item", unit="money")
def cost(item: View) -> float:
    """Price of all of it."""
    return float(item.quantity * item.each_price)


@fact("item", unit="h")
def fit_h(item: View) -> float:
    """Hours to fit all of it; laying a cable is an operation of its own."""
    hours = item.part.get_("fit_h")
    if hours is None and item.is_cable:
        return 0.0
    if hours is None:
        raise Missing(f"the labour hours (fit_h) of {item.part}", item.part.place_, "add them to the part")
    return float(item.quantity * hours)


@fact("item", unit="days")
def lead_days(item: View) -> float:
    """Working days from order to delivery."""
    days = item.part.get_("lead_days")
    if days is None:
        raise Missing(f"the lead time (lead_days) of {item.part}", item.part.place_, "ask the supplier")
    return float(days)


@fact("item")
def chain_part(item: View) -> str:
    """Which part of the chain it belongs to: where its money goes."""
    if item.kind in BY_KIND:
        return BY_KIND[item.kind]
    users = [*item.drivers, *[driver for driver in item.job.drivers if str(driver) in item.boxed]]
    return str(users[0].stage) if users else "front"


@fact("driver", source="common practice")
def stage(driver: View) -> str:
    """Which part of the system it belongs to: bass, rear, or front."""
    if driver.part.get_("type") == "sub":
        return "bass"
    if driver.is_behind:
        return "bass" if driver.carries_bass_behind else "rear"
    return "front"


@fact("job", unit="days")
def waiting_days(job: View) -> float:
    """Working days until the last of the parts is there."""
    bought = [item for item in job.items if not item.is_made_here]
    if not bought:
        raise NotDefined("nothing has to be bought")
    return job.engine_.decisive(max, *[lambda item=item: item.lead_days for item in bought])


@fact("job")
def last_to_come(job: View) -> str:
    """The part that takes longest to come."""
    bought = [item for item in job.items if not item.is_made_here]
    if not bought:
        raise NotDefined("nothing has to be bought")
    return str(max(bought, key=lambda item: item.lead_days).code)


@fact("job", unit="days")
def ready_days(job: View) -> float:
    """Working days from the order until the vehicle is ready: waiting for parts, then work, half days booked whole."""
    return float(job.waiting_days + job.booked_days)


@fact("job")
def has_a_day_in_mind(job: View) -> bool:
    """Whether the customer said when the vehicle is wanted back."""
    return job.customer.get_("ready_in_days") is not None
