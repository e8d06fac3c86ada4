"""Where the money of a job goes, and which way limits the result: the weak link by numbers."""

from __future__ import annotations

from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

REACH = "definition of sensitivity; R. H. Small, J. Audio Eng. Soc. 20(10), 1972, displacement-limited power"
BASS, FRONT = "bass", "front"


@fact("job", hidden=True)
def chain_parts(job: View) -> dict[str, str]:
    """Which part of the chain each item belongs to."""
    return {str(item): str(item.chain_part) for item in job.items}


def _part_cost(job: View, part: str) -> float:
    costs, unknown = [], []
    parts = job.chain_parts
    for item in job.items:
        if parts[str(item)] == part:
            try:
                costs.append(float(item.cost))
            except Missing:
                unknown.append(str(item.part))
    if part == FRONT and job.made_networks:
        costs.append(float(job.networks_cost))
    if unknown:
        raise Missing(f"the price of {', '.join(unknown)}", job.place_, "add it to the part")
    if not costs:
        raise NotDefined("nothing of it has to be bought")
    return sum(costs)


@fact("job", unit="money")
def source_cost(job: View) -> float:
    """Price of what the music comes from, if it is not there already."""
    return _part_cost(job, "source")


@fact("job", unit="money")
def processing_cost(job: View) -> float:
    """Price of interfaces and processors."""
    return _part_cost(job, "processing")


@fact("job", unit="money")
def amplification_cost(job: View) -> float:
    """Price of amplifiers and their fans."""
    return _part_cost(job, "amplification")


@fact("job", unit="money")
def front_cost(job: View) -> float:
    """Price of the drivers in front and their networks."""
    return _part_cost(job, FRONT)


@fact("job", unit="money")
def bass_cost(job: View) -> float:
    """Price of subwoofers and their boxes."""
    return _part_cost(job, BASS)


@fact("job", unit="money")
def rear_cost(job: View) -> float:
    """Price of the drivers behind that only play along."""
    return _part_cost(job, "rear")


@fact("job", unit="money")
def wiring_cost(job: View) -> float:
    """Price of cables and fuses."""
    return _part_cost(job, "wiring")


def _share(job: View, cost: float) -> float:
    whole = float(job.listed_cost)
    if whole <= 0:
        raise NotDefined("nothing costs anything")
    return 100 * cost / whole


@fact("job", unit="%")
def source_share_percent(job: View) -> float:
    """Share of what the music comes from in the whole."""
    return _share(job, float(job.source_cost))


@fact("job", unit="%")
def processing_share_percent(job: View) -> float:
    """Share of interfaces and processors in the whole."""
    return _share(job, float(job.processing_cost))


@fact("job", unit="%")
def amplification_share_percent(job: View) -> float:
    """Share of amplifiers in the whole."""
    return _share(job, float(job.amplification_cost))


@fact("job", unit="%")
def front_share_percent(job: View) -> float:
    """Share of the front stage in the whole."""
    return _share(job, float(job.front_cost))


@fact("job", unit="%")
def bass_share_percent(job: View) -> float:
    """Share of the bass in the whole."""
    return _share(job, float(job.bass_cost))


@fact("job", unit="%")
def rear_share_percent(job: View) -> float:
    """Share of what plays from behind in the whole."""
    return _share(job, float(job.rear_cost))


@fact("job", unit="%")
def wiring_share_percent(job: View) -> float:
    """Share of cables and fuses in the whole."""
    return _share(job, float(job.wiring_cost))


@fact("job", unit="%")
def work_share_percent(job: View) -> float:
    """Share of labour in the whole."""
    return _share(job, float(job.labour_cost))


@fact("job", unit="%")
def consumables_share_percent(job: View) -> float:
    """Share of consumables in the whole."""
    return _share(job, float(job.consumables_cost))


@fact("job", hidden=True)
def has_to_be_loud(job: View) -> tuple[str, ...]:
    """The ways that have to be loud, left and right once."""
    return tuple([str(driver) for driver in job.drivers if driver.has_to_be_loud and driver.side != "right"])


def _held_against_each_other(job: View) -> list[View]:
    names = job.has_to_be_loud
    if len(names) < 2:
        raise NotDefined("there are no two ways to be held against each other")
    return [driver for driver in job.drivers if str(driver) in names]


@fact("job", source=REACH)
def weakest_way(job: View) -> str:
    """The way that is at its end first as the music gets louder."""
    return str(min(_held_against_each_other(job), key=lambda driver: (float(driver.loudest_db), str(driver))))


@fact("job", unit="dB", source=REACH)
def weakest_reaches_db(job: View) -> float:
    """Level at 1 m that the weakest way reaches."""
    ways = _held_against_each_other(job)
    return job.engine_.decisive(min, *[lambda driver=driver: driver.loudest_db for driver in ways])


@fact("job", unit="dB", source=REACH)
def rest_reaches_db(job: View) -> float:
    """Level at 1 m that all other ways reach."""
    ways = _held_against_each_other(job)
    return job.engine_.decisive(_next_to_least, *[lambda driver=driver: driver.loudest_db for driver in ways])


def _next_to_least(values: list[float]) -> float:
    return sorted(values)[1]


@fact("job", unit="dB", source=REACH)
def weak_link_db(job: View) -> float:
    """How much louder all other ways could play than the weakest lets them."""
    return float(job.rest_reaches_db - job.weakest_reaches_db)


@fact("job", source=REACH)
def weak_link_ends_by(job: View) -> str:
    """What ends the weakest way: its travel, or the power it gets."""
    weakest = next(driver for driver in job.drivers if str(driver) == job.weakest_way)
    if weakest.is_tweeter or weakest.power_limited_db <= weakest.travel_limited_db:
        return "the power it gets"
    return "its travel"


def _reach_db(job: View, stage: str) -> float:
    levels = [float(one.loudest_db) for one in job.drivers if one.stage == stage and one.has_to_be_loud]
    if not levels:
        raise NotDefined(f"there is no {stage}")
    return min(levels)


@fact("job", unit="dB", source=REACH)
def bass_lead_db(job: View) -> float:
    """How much louder the bass gets than the front."""
    return _reach_db(job, BASS) - _reach_db(job, FRONT)


@fact("job")
def has_bass_and_front(job: View) -> bool:
    """Whether there is bass of its own besides a front stage."""
    stages = {str(driver.stage) for driver in job.drivers}
    return {BASS, FRONT} <= stages


@fact("job")
def has_several_ways(job: View) -> bool:
    """Whether a chain is drawn, and at least two of its ways have to be loud."""
    heard = {str(driver) for driver in job.drivers if driver.has_to_be_loud and driver.side != "right"}
    return bool(job.has_chain) and len(heard) > 1
