"""The brief as data: headings, sentences and amounts, before anybody writes them anywhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from advisor.facts.reading import Reading
from advisor.judging.formats import listed
from advisor.judging.review import Review
from advisor.telling.brief import hearing
from advisor.telling.brief.numbers import Numbers
from advisor.telling.brief.other import other_list
from advisor.telling.brief.roles import Role, placed, roles
from advisor.telling.compare.leaves import bare
from advisor.telling.groups import tell

ANY_TWO = (
    "Deep bass, a small box and high loudness: any two of them can be had together, but never all three. Deep notes "
    "need much air to be moved, and that takes a big cone, a big box or much power."
)


@dataclass(frozen=True)
class Section:
    """One heading and what stands under it: paragraphs, points, amounts, and pictures by name."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    amounts: tuple[tuple[str, str], ...] = ()
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True)
class Brief:
    """What a customer reads. `told` are the readings behind its numbers, those of the other list among them."""

    title: str
    sections: tuple[Section, ...]
    roles: tuple[Role, ...]
    told: tuple[Reading, ...] = field(repr=False)


def brief(review: Review, other: Review | None = None) -> Brief:
    """Return the brief of a job, against another list if there is one."""
    numbers = Numbers(review)
    found = roles(numbers)
    sections = [
        Section("In short", (_state(review), *_price(numbers))),
        _hear(numbers, found),
        Section("What has to change first", points=_points(review, found, "must")),
        Section("What you give up, and why", (ANY_TWO,), _points(review, found, "trade-off")),
        Section("Good to know", points=_points(review, found, "tip")),
        Section("What we still have to find out", tuple(_open(review))),
        _cost(numbers),
    ]
    told = numbers.told
    if other is not None:
        theirs = Numbers(other)
        against = other_list(numbers, theirs)
        sections.append(Section("The other list", against.costs, pictures=("notes-other", "money-other")))
        sections.append(Section("What you would give up with it", points=against.given_up))
        sections.append(Section("What speaks for it", points=against.gained))
        sections.append(Section("What it would spare you", points=against.spared))
        told += theirs.told
    kept = [section for section in sections if section.paragraphs or section.points or section.amounts]
    title = review.system.vehicle.title
    return Brief(
        f"Your sound system: {title}" if title else "Your sound system", tuple(kept), tuple(found), tuple(told)
    )


def _state(review: Review) -> str:
    unknown = bool(review.of("cannot tell"))
    checked = f"We have checked this plan {'as far as its figures go' if unknown else 'from end to end'}."
    if review.of("falls short", "must"):
        return f"{checked} It cannot stay as it is. What has to change first stands below."
    if review.of("cannot tell", "must") or review.of("too close to call", "must") or review.of("broken"):
        return f"{checked} Nothing we know of has to change, but some points still have to be measured."
    return f"{checked} Nothing in it has to change before we order."


def _price(numbers: Numbers) -> Iterable[str]:
    cost, days, budget = numbers.job("total_cost"), numbers.job("booked_days"), numbers.job("named_budget")
    if cost is None or days is None:
        yield "What it costs and how long it takes cannot be told yet, because not all prices and hours are known."
        return
    said = f"All together it costs {numbers.write(cost)}. Your vehicle stays with us for {numbers.write(days)}."
    if budget:
        within = "and it stays within that" if float(cost.value) <= float(budget.value) else "which is too little"
        said += f" You named {numbers.write(budget)}, {within}."
    yield said


def _hear(numbers: Numbers, found: list[Role]) -> Section:
    paragraphs = [*hearing.depth(numbers), *hearing.loudness(numbers), *hearing.stage(numbers, found)]
    paragraphs += hearing.middle(numbers)
    kept = hearing.kept(numbers.review)
    if kept:
        paragraphs.append(f"As you asked, this stays as it is: {listed(kept)}.")
    points = [f"{role.place}: {role.plays}." if role.place else f"{_capital(role.plays)}." for role in found]
    points = list(dict.fromkeys(points))
    paragraphs.append("This is who plays what, from the deepest to the highest notes:")
    return Section("What you will hear", tuple(paragraphs), tuple(points), pictures=("places", "notes"))


def _points(review: Review, found: list[Role], level: str) -> tuple[str, ...]:
    findings = [told.first for told in tell(review, "falls short", level)]
    ours = [one for one in findings if level == "tip" and one.rule.about == "waiver"]  # a note to the workshop
    return placed([(one.to_customer, bare(one.subject.name)) for one in findings if one not in ours], found)


def _open(review: Review) -> Iterable[str]:
    if review.of("too close to call"):
        yield "Some points are too close to call on paper. We measure them before we rely on them."
    if review.of("cannot tell"):
        yield "For some points figures are missing. We ask for them, or measure, before we order."


ROUNDED = "Each amount is rounded by itself, so the last digit of the sum may differ by one."
COSTS = (
    ("Speakers, amplifiers and other parts", "parts_cost"),
    ("Material used up in the work", "consumables_cost"),
    ("Work", "labour_cost"),
)


def _cost(numbers: Numbers) -> Section:
    amounts = [(name, reading) for name, reading in costs(numbers) if reading is not None]
    if len(amounts) < len(COSTS) + 1:
        return Section("What it costs")
    rows = tuple((name, numbers.write(reading)) for name, reading in amounts)
    whole = [round(float(reading.value)) for _, reading in amounts]
    rounded = () if sum(whole[:-1]) == whole[-1] else (ROUNDED,)
    return Section("What it costs", rounded, amounts=rows, pictures=("money",))


def costs(numbers: Numbers) -> list[tuple[str, Reading | None]]:
    """Return what a job costs, part by part and all together; an amount that is not known is none."""
    found = [(name, numbers.job(fact)) for name, fact in COSTS]
    if not numbers.review.system.shop.prices_with_tax:
        found.append(("Tax", numbers.job("tax_cost")))
    return [*found, ("All together", numbers.job("total_cost"))]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
