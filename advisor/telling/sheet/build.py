"""The whole sheet of a job, from its review."""

from __future__ import annotations

from advisor.chain.subject import Subject
from advisor.judging.review import Review
from advisor.telling.groups import tell, verdict
from advisor.telling.sheet.cells import Asker, Cell, Section, Sheet, words
from advisor.telling.sheet.commissioning import commissioning
from advisor.telling.sheet.mounting import mounting
from advisor.telling.sheet.orders import money, orders, work_plan
from advisor.telling.sheet.settings import gains, networks, outputs
from advisor.telling.sheet.signal import channel_plan, fuses, labels, service, wiring

ALWAYS = (
    "Isolate the battery before anything is unplugged or cut, keep the waiting time of the vehicle's maker, and put "
    "the main fuse in last of all.",
    "Local codes, the vehicle maker's instructions and licensed practice go before anything written here.",
)


def build_sheet(review: Review) -> Sheet:
    """Return the sheet: what is to be built and set, in the order it is needed."""
    chain, ask = review.chain, Asker(review.engine, str(review.system.shop.currency or ""))
    sections = (
        Section("Cautions", (*ALWAYS, *_cautions(review))),
        mounting(ask, chain),
        channel_plan(ask, chain),
        wiring(ask, chain),
        fuses(ask, chain),
        service(ask, chain),
        labels(ask, chain),
        networks(ask, chain),
        outputs(ask, chain),
        gains(ask, chain),
        commissioning(ask, chain),
        orders(ask, chain),
        work_plan(ask, chain),
        money(ask, chain),
    )
    kept = tuple(one for one in sections if one is not None and (one.words or one.tables))
    return Sheet(f"Bench sheet: {review.system.job.job}", _about(ask, review), _warnings(review), kept)


def _about(ask: Asker, review: Review) -> tuple[Cell, ...]:
    job: Subject = review.chain.of_kind("job")[0]
    vehicle, shop = review.system.vehicle, review.system.shop
    seats = [seat.name for seat in review.system.seats]
    found = [words(f"Vehicle: {vehicle.title or vehicle.vehicle}")] if review.system.vehicle_known else []
    found.append(words(f"Shop: {shop.shop}; the job is {review.system.name}"))
    keep = review.system.job.customer.keep
    if keep:
        found.append(words(f"The customer keeps: {', '.join(keep)}"))
    if seats:
        found.append(words(f"Set up for the {seats[0]}" + (f", then {', '.join(seats[1:])}" if seats[1:] else "")))
        found.append(ask.cell(job, "listening_c", "Air in the cabin: {}"))
        found.append(ask.cell(job, "sound_speed_m_s", "Speed of sound: {}"))
    return tuple(found)


def _warnings(review: Review) -> tuple[str, ...]:
    """What the review found, so that nobody builds from a sheet whose design does not hold."""
    must = tell(review, "falls short", "must")
    if not must:
        return (verdict(review),)
    return (f"Do not build from this sheet yet. {verdict(review)}", *(told.says for told in must))


def _cautions(review: Review) -> list[str]:
    """Cautions of the rules that were judged on this job, whatever they found."""
    judged = [finding.rule for finding in review.findings if finding.outcome != "does not apply"]
    return list(dict.fromkeys(caution for rule in judged for caution in rule.cautions))
