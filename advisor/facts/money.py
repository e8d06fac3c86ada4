"""What the job costs in money and time."""

from __future__ import annotations

from advisor.facts.reading import Missing
from advisor.facts.registry import fact
from advisor.facts.views import View
from advisor.facts.work import operations


def _summed(job: View, name: str, what: str) -> float:
    """Return the sum over all parts, or name every part that lacks it."""
    total, unknown = 0.0, []
    for item in job.items:
        try:
            total += float(getattr(item, name))
        except Missing:
            unknown.append(str(item.part))
    if unknown:
        raise Missing(f"the {what} of {', '.join(unknown)}", job.place_, "add it to the part")
    return total


@fact("job")
def made_networks(job: View) -> int:
    """Passive networks made for the job, each side by itself."""
    return sum(not network.has_("part") for network in job.networks)


@fact("job", unit="money")
def networks_cost(job: View) -> float:
    """Price of the parts of the networks made for the job."""
    return float(job.made_networks * job.shop.auto_network_price) if job.made_networks else 0.0


@fact("job", unit="h")
def networks_h(job: View) -> float:
    """Hours to make the networks of the job."""
    return float(job.made_networks * job.shop.auto_network_h) if job.made_networks else 0.0


@fact("job", unit="money")
def parts_cost(job: View) -> float:
    """Price of all parts, networks made for the job included."""
    return _summed(job, "cost", "price") + float(job.networks_cost)


@fact("job", unit="h")
def fit_h(job: View) -> float:
    """Hours to fit every part."""
    return _summed(job, "fit_h", "labour hours (fit_h)")


@fact("job", unit="h")
def work_h(job: View) -> float:
    """Hours of the operations listed in the job, each side of a pair counted."""
    return float(sum(operation.h for operation in operations(job)))


@fact("job", unit="money")
def consumables_cost(job: View) -> float:
    """Consumables of the operations listed in the job."""
    return float(sum(operation.consumables for operation in operations(job)))


@fact("job", unit="h")
def labour_h(job: View) -> float:
    """Hours to fit every part, to make networks, and of the operations listed."""
    return float(job.fit_h + job.networks_h + job.work_h)


@fact("job", unit="days")
def labour_days(job: View) -> float:
    """Working days at the shop's hours."""
    return float(job.labour_h / job.shop.day_h)


@fact("job", unit="money/h")
def rate_per_h(job: View) -> float:
    """What an hour of labour costs the customer."""
    return float(job.shop.rate_per_h)


@fact("job", unit="money")
def labour_cost(job: View) -> float:
    """Labour at the shop's rate."""
    return float(job.labour_h * job.rate_per_h)


@fact("job", unit="money")
def listed_cost(job: View) -> float:
    """Parts, consumables and labour together, as prices and rates are told."""
    return float(job.parts_cost + job.consumables_cost + job.labour_cost)


@fact("job", unit="%")
def tax_percent(job: View) -> float:
    """Tax on what is sold, as the shop file says."""
    given = job.shop.get_("tax_percent")
    if given is None:
        raise Missing("the shop's tax_percent", job.shop.place_, "it is set by law; say it in the shop file")
    return float(given)


@fact("job", unit="money")
def tax_cost(job: View) -> float:
    """Tax in the whole: contained in the prices, or on top of them."""
    share = job.tax_percent / 100
    return float(job.listed_cost * (share / (1 + share) if job.shop.prices_with_tax else share))


@fact("job", unit="money")
def total_cost(job: View) -> float:
    """Parts, consumables and labour together, and tax where prices are told without it: what the customer pays."""
    return float(job.listed_cost) if job.shop.prices_with_tax else float(job.listed_cost + job.tax_cost)


@fact("job", unit="money", source="common practice")
def parts_margin(job: View) -> float:
    """Of the price of the parts, what stays with the shop before tax."""
    contained = 1 + job.tax_percent / 100 if job.shop.prices_with_tax else 1.0
    return float(job.parts_cost / contained * job.shop.parts_margin_percent / 100)


@fact("job")
def has_budget(job: View) -> bool:
    """Whether the customer named a budget."""
    return job.customer.get_("budget") is not None
