"""What the listed work does to the places drivers sit in, and when each piece of it is done."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.reading import NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import SpecView, View

STAGES = {
    "take out": "Take out",
    "build": "Build",
    "prepare": "Seal and damp",
    "wire": "Lay cables",
    "fit": "Fit and connect",
    "set up": "Set up",
    "put back": "Put back",
}
"""Stages of the work in their order, by what the trade calls them."""

STAGE_FACTS = ("take_out_h", "build_h", "prepare_h", "wire_h", "fit_and_connect_h", "set_up_h", "put_back_h")
"""The facts that sum up each stage, in that order."""


@fact("driver")
def treatments(driver: View) -> tuple[str, ...]:
    """What the work listed for this way does: seal, damp, build."""
    operations = driver.job.shop.operations
    return tuple(dict.fromkeys(done for name in driver.way.work for done in operations[name].does))


@fact("driver")
def is_in_a_door(driver: View) -> bool:
    """Whether a cone (not a tweeter) works into a door."""
    if not driver.has_("location") or driver.is_tweeter or driver.has_("box"):
        return False
    return bool(driver.location.spec.get_("behind") == "door")


@fact("waiver")
def days_left(waiver: View) -> int:
    """Days until the waiver ends; below 0 it has."""
    return int((waiver.spec.until - waiver.today).days)


@fact("waiver")
def days_over(waiver: View) -> int:
    """Days since the waiver ran out."""
    return max(0, -int(waiver.days_left))


@fact("driver", source="common practice")
def door_treatments(driver: View) -> tuple[str, ...]:
    """What a door with a cone in it wants."""
    return tuple(driver.assume_("a_door_wants"))


def operations(job: View) -> Iterator[SpecView]:
    """Yield every operation listed, each as often as it is done: under a way at a pair of places on both."""
    known = job.shop.operations
    for work in (job.spec.work, *(driver.way.work for driver in job.drivers)):
        for name in work:
            yield known[name]


@fact("task")
def times(task: View) -> int:
    """How often the operation is done: under a way at a pair of places on both."""
    listed = [driver.way.work for driver in task.drivers] if task.drivers else [task.job.spec.work]
    done = sum(work.count(task.code) for work in listed)
    if done == 0:
        raise NotDefined("it is not listed")
    return int(done)


@fact("task", unit="h")
def hours_h(task: View) -> float:
    """Hours of the operation, as often as it is done."""
    return float(task.operation.h * task.times)


@fact("task", unit="h")
def last_h(task: View) -> float:
    """Of those, the hours that come at the very end: what was taken out is put back."""
    return float(task.operation.refit_h * task.times)


@fact("task", unit="h")
def first_h(task: View) -> float:
    """Of those, the hours of its own stage."""
    return float(task.hours_h - task.last_h)


@fact("task", unit="money")
def consumables(task: View) -> float:
    """Consumables of the operation, as often as it is done."""
    return float(task.operation.consumables * task.times)


@fact("task")
def stage(task: View) -> str:
    """When it is done: by what it does, and by what it takes out."""
    return _stage(task.operation) if task.times else ""


def _stage(operation: SpecView) -> str:
    done = set(operation.does)
    if operation.refit_h > 0:
        return "take out"
    if "set up" in done:
        return "set up"
    if "build" in done:
        return "build"
    if "wire" in done:
        return "wire"
    return "prepare" if done & {"seal", "damp"} else "fit"


def _stage_h(job: View, stage: str) -> float:
    hours = [float(one.h - one.refit_h) for one in operations(job) if _stage(one) == stage]
    if stage == "put back":
        hours += [float(one.refit_h) for one in operations(job)]
    if stage == "fit":
        hours.append(float(job.fit_h))
    if stage == "build":
        hours.append(float(job.networks_h))
    total = sum(hours)
    if total == 0:
        raise NotDefined("nothing of the work listed belongs to it")
    return total


@fact("job", unit="h")
def take_out_h(job: View) -> float:
    """Hours until the cabin is open."""
    return _stage_h(job, "take out")


@fact("job", unit="h")
def build_h(job: View) -> float:
    """Hours at the bench and on panels: boxes, rings, pods, networks."""
    return _stage_h(job, "build")


@fact("job", unit="h")
def prepare_h(job: View) -> float:
    """Hours of sealing and damping."""
    return _stage_h(job, "prepare")


@fact("job", unit="h")
def wire_h(job: View) -> float:
    """Hours of laying cables."""
    return _stage_h(job, "wire")


@fact("job", unit="h")
def fit_and_connect_h(job: View) -> float:
    """Hours of fitting parts, connecting them, and work that belongs to no other stage."""
    return _stage_h(job, "fit")


@fact("job", unit="h")
def set_up_h(job: View) -> float:
    """Hours of measuring and adjusting."""
    return _stage_h(job, "set up")


@fact("job", unit="h")
def put_back_h(job: View) -> float:
    """Hours until the cabin is closed again."""
    return _stage_h(job, "put back")


@fact("job")
def work_wanted(job: View) -> tuple[str, ...]:
    """Kinds of work that what is planned cannot do without."""
    wanted = ["wire"] if job.supplies else []
    return (*wanted, *(["set up"] if job.processors else []))


@fact("job")
def work_forgotten(job: View) -> tuple[str, ...]:
    """Kinds of work it cannot do without, and that nobody listed."""
    return tuple(WORDS[kind] for kind in job.work_wanted if kind not in job.work_listed)


WORDS = {"wire": "laying cables", "set up": "setting it up"}


@fact("job")
def work_listed(job: View) -> tuple[str, ...]:
    """What all the work listed does, whole job and ways together."""
    return tuple(dict.fromkeys(done for operation in operations(job) for done in operation.does))
