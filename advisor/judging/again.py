"""A review of a job that is nearly the one reviewed before: only what the change touches is worked out again."""

from __future__ import annotations

from datetime import date
from typing import Any

from advisor.chain.build import Chain, build_chain
from advisor.judging.differences import Index, changed
from advisor.judging.review import Review, conclude, review_system
from advisor.reading.shop import Shop
from advisor.reading.system import System


def review_again(before: Review, system: System, today: date, chain: Chain | None = None) -> Review:
    """Return the review of a job, with all that is as it was in the one before taken over.

    The findings are those a review from the start would give, in the same order. `chain` is the job's, if it was
    built before.
    """
    if not _same_rules(before.system.own_shop, system.own_shop):
        return review_system(system, today)
    chain = chain or build_chain(system, today)
    index = Index(chain, before.index)
    stale = before.engine.resting_on(changed(before.index, index))
    judge = before.judge.moved(before.engine.moved(chain, stale), stale)
    return conclude(system, chain, judge, today, index)


def _same_rules(before: Shop | None, after: Shop | None) -> bool:
    """Whether both have the rulebook in common: what a shop's file says of rules stands in them with its place."""
    return before is after or (not any(_of_rules(before)) and not any(_of_rules(after)))


def _of_rules(shop: Shop | None) -> tuple[Any, ...]:
    return (shop.rules, shop.limits, shop.levels) if shop else ()
