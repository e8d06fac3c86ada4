"""A review of a job that is nearly the one reviewed before: only what the change touches is worked out again."""

from __future__ import annotations

from datetime import date

from advisor.chain.build import build_chain
from advisor.judging.differences import changed
from advisor.judging.review import Review, conclude, review_system
from advisor.reading.system import System


def review_again(before: Review, system: System, today: date) -> Review:
    """Return the review of a job, with all that is as it was in the one before taken over.

    The findings are those a review from the start would give, in the same order.
    """
    if not _same_rules(before.system, system):
        return review_system(system, today)
    chain = build_chain(system, today)
    roots = changed(before.chain, chain, [*before.engine.read_so_far, *before.judge.read_so_far])
    engine = before.engine.moved(chain, roots)
    judge = before.judge.moved(engine, before.engine.resting_on(roots))
    return conclude(system, chain, judge, today)


def _same_rules(before: System, after: System) -> bool:
    """Whether both have the rulebook in common: what a shop's file says of rules is what makes a difference."""
    old, new = before.own_shop, after.own_shop
    if old is None or new is None:
        return old is new
    return (old.rules, old.limits, old.levels) == (new.rules, new.limits, new.levels)
