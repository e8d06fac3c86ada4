"""What has to be bought and done: the distinct parts of a job with their users, and each operation listed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.chain.subject import Subject
from advisor.reading.job import Job, Way
from advisor.reading.parts import Part
from advisor.reading.shop import Shop

NOT_IN_A_NAME = ("chain", "ways", "speaker_cable")
USERS = {"driver": "drivers", "cable": "cables", "supply": "supplies", "extra": "extras"}
"""Kinds of which the number decides how many are bought, and the tie that leads to them."""


def items(subjects: Iterable[Subject], job: Subject) -> list[Subject]:
    """Return one subject for each distinct part that the job needs, with all that use it.

    A factory screen is there already. Cable without a code of the library has no price, and is no item.
    """
    users: dict[str, list[tuple[Subject, Part]]] = {}
    for user in subjects:
        for part in _parts_of(user):
            users.setdefault(_name(part, user), []).append((user, part))
    found = []
    for name, pairs in users.items():
        first, part = pairs[0]
        item = Subject("item", f"item {name}", first.origin, {"part": part}, {"job": job})
        ties: dict[str, list[Subject]] = {tie: [] for tie in USERS.values()}
        boxed, devices = [], []
        for user, one in pairs:
            if user.specs.get("box") is one:
                boxed.append(user.name)
            elif user.kind in USERS:
                ties[USERS[user.kind]].append(user)
            if user.kind not in USERS:
                devices.append(user.name)
        item.ties |= {tie: tuple(users_of) for tie, users_of in ties.items()}
        item.own |= {
            "devices": tuple(devices),
            "boxed": tuple(boxed),
            "kind": type(part).__name__.lower(),
            "code": name,
        }
        found.append(item)
    return found


def _parts_of(user: Subject) -> Iterator[Part]:
    if user.kind == "way":
        return
    for record in ("part", "box"):
        part = user.specs.get(record)
        if isinstance(part, Part) and not getattr(part, "factory", False):
            yield part


def _name(part: Part, user: Subject) -> str:
    """Return the code of a library part; one written out in place goes by where that is."""
    path = part.origin.path if part.origin else ()
    if len(path) == 2 and path[0] == "parts":
        return str(path[1])
    return " ".join(str(step) for step in path if step not in NOT_IN_A_NAME) or user.name


def tasks(ways: Iterable[Subject], job: Subject) -> list[Subject]:
    """Return one subject for each operation listed, with what it is done at."""
    spec, shop = job.specs["spec"], job.specs["shop"]
    assert isinstance(spec, Job) and isinstance(shop, Shop)
    listed = [(job, name, "") for name in dict.fromkeys(spec.work)]
    for way in ways:
        work = way.specs["spec"]
        assert isinstance(work, Way)
        listed += [(way, name, f" at {way.name}") for name in dict.fromkeys(work.work)]
    found = []
    for holder, name, where in listed:
        task = Subject("task", f"task {name}{where}", holder.origin, {"operation": shop.operations[name]}, {"job": job})
        task.ties["drivers"] = holder.ties["drivers"] if where else ()
        task.own["code"] = name
        found.append(task)
    return found
