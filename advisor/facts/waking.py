"""Who switches on whom, in which order, and whether a switching lead carries what hangs on it."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.storage import extras_of
from advisor.facts.views import View
from advisor.reading.parts import Fan

ITSELF = ("ignition", "signal")
"""What may switch a device on and is no device."""


@fact("amplifier")
def waking_is_told(amplifier: View) -> bool:
    """Whether the job says what switches it on."""
    return amplifier.spec.get_("woken_by") is not None


@fact("amplifier")
def woken_by(amplifier: View) -> str:
    """What switches it on."""
    told = amplifier.spec.get_("woken_by")
    if told is None:
        raise Missing(f"{amplifier}: woken_by", amplifier.place_, "say what switches it on: a device, or ignition")
    known = [str(device) for device in _givers(amplifier.job)]
    if told not in (*known, *ITSELF):
        way_out = f"there is {', '.join((*known, *ITSELF))}"
        raise Missing(f"{amplifier}: a device called '{told}' to switch it on", amplifier.place_, way_out)
    return str(told)


@fact("amplifier")
def wakes_quietly_from(amplifier: View) -> tuple[str, ...]:
    """What may switch it on without a thump: what feeds it, which is awake by then, or the music itself."""
    if not amplifier.links:
        raise Missing(f"{amplifier}: from", amplifier.place_, "say what feeds it: from")
    return (*dict.fromkeys(link.sender for link in amplifier.links), "signal")


def _givers(job: View) -> list[View]:
    return [*job.sources, *job.interfaces, *job.processors]


@dataclass(frozen=True)
class Lead:
    """One switching lead: whose it is, what it gives, and what hangs on it [mA]."""

    giver: str
    gives_ma: float
    load_ma: float
    wakes: tuple[str, ...]


def _leads(job: View) -> list[Lead]:
    """Return the switching leads of which it is known what they give, where something hangs on them."""
    found = []
    for giver in _givers(job):
        gives, woken = giver.part.get_("remote_out_ma"), _woken(giver)
        if gives is not None and woken:
            load = sum(_draws_ma(one) for one in woken)
            load = float(job.assume_("relay_coil_draw")) if giver.spec.relay else load
            found.append(Lead(str(giver), float(gives), load, tuple(str(one) for one in woken)))
    return found


def _woken(giver: View) -> list[View]:
    job = giver.job
    return [one for one in (*job.interfaces, *job.processors, *job.amplifiers) if _wakes(giver, one)]


def _wakes(giver: View, device: View) -> bool:
    """Tell whether a device is switched on by another: as the job says, else by what feeds it."""
    told = device.spec.get_("woken_by")
    return bool(told == str(giver) if told else any(link.sender == str(giver) for link in device.links))


def _draws_ma(device: View) -> float:
    given = device.part.get_("remote_ma")
    draw = float(given if given is not None else device.assume_("amplifier_remote_draw"))
    if device.subject_.kind == "amplifier" and device.spec.fan == "switched":  # it hangs on the same lead
        fans = [part.get_("draws_a") for part, _ in extras_of(device.job, Fan)]
        known = [float(fan) for fan in fans if fan is not None]
        draw += 1000 * (max(known) if known else float(device.assume_("fan_draw")))
    return draw


def _tightest(job: View) -> Lead:
    leads = _leads(job)
    if not leads:
        raise NotDefined("no sheet says what a switching lead gives")
    return min(leads, key=lambda lead: lead.gives_ma - lead.load_ma)


@fact("job")
def remote_of(job: View) -> str:
    """The device whose switching lead has the least to spare."""
    return _tightest(job).giver


@fact("job", unit="mA", source="Kirchhoff; a relay in between draws its coil's current alone")
def remote_load_ma(job: View) -> float:
    """What hangs on that lead draws, fans that are switched with an amplifier included."""
    return _tightest(job).load_ma


@fact("job", unit="mA")
def remote_gives_ma(job: View) -> float:
    """What that lead gives at most."""
    return _tightest(job).gives_ma


@fact("job")
def remote_wakes(job: View) -> tuple[str, ...]:
    """What that lead switches on."""
    return _tightest(job).wakes


@fact("job")
def works_a_relay(job: View) -> bool:
    """Whether any switching lead works a relay."""
    return any(giver.spec.relay for giver in _givers(job))


def _relayed(job: View) -> tuple[float, float, str]:
    """Return of the relay that is needed least what it spares its lead, what that gives [mA], and whose it is."""
    found = []
    for giver in (one for one in _givers(job) if one.spec.relay):
        gives = giver.part.get_("remote_out_ma")
        if gives is None:
            raise Missing(
                f"remote_out_ma of {giver}", giver.part.place_, "see its sheet for what its switching lead gives"
            )
        found.append((sum(_draws_ma(one) for one in _woken(giver)), float(gives), str(giver)))
    if not found:
        raise NotDefined("no switching lead works a relay")
    return min(found, key=lambda one: one[0] - one[1])


@fact("job")
def relay_of(job: View) -> str:
    """The device whose relay is needed least."""
    return _relayed(job)[2]


@fact("job", unit="mA")
def relay_spares_ma(job: View) -> float:
    """What hangs on that relay would draw of the switching lead without it."""
    return _relayed(job)[0]


@fact("job", unit="mA")
def relay_of_gives_ma(job: View) -> float:
    """What that switching lead gives at most."""
    return _relayed(job)[1]
