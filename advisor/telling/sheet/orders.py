"""What is ordered, what is worked in which order, and what it comes to."""

from __future__ import annotations

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.facts.work import STAGE_FACTS, STAGES
from advisor.reading.shop import Operation
from advisor.telling.sheet.cells import NONE_HERE, Asker, Cell, Section, Table, words

PARTS_OF_THE_CHAIN = {
    "source": "source", "processing": "interfaces and processors", "amplification": "amplifiers and fans",
    "front": "drivers in front, networks", "bass": "bass", "rear": "drivers behind", "wiring": "cables and fuses",
}  # fmt: skip


def orders(ask: Asker, chain: Chain) -> Section:
    """Return the parts to order."""
    job = chain.of_kind("job")[0]
    rows = [_item(ask, one) for one in chain.of_kind("item") if not _is_made_here(ask, one)]
    made = ask.reading(job, "made_networks")
    if made is not None and made.value:
        cells = ask.cell(job, "made_networks"), words(NONE_HERE), ask.cell(job, "networks_cost"), words(NONE_HERE)
        rows.append((words("networks"), words("parts of networks made for the job, by the list above"), *cells))
    columns = ("part", "what it is", "quantity", "each", "together", "comes in")
    notes = ["Cable by the metre, rounded up to whole metres; all prices as told to the customer."]
    last, waiting = ask.reading(job, "last_to_come"), ask.reading(job, "waiting_days")
    if last is not None and waiting is not None:
        empty = [words("")] * 3
        rows.append((ask.cell(job, "last_to_come"), words("comes last"), *empty, ask.cell(job, "waiting_days")))
    bare = [
        one.name for one in (*chain.of_kind("cable"), *chain.of_kind("supply")) if "part" not in one.specs
    ]  # fmt: skip
    if bare:
        notes.append(f"Not in the list, because no cable of the library is named for it: {', '.join(bare)}.")
    tables = [Table("parts to order", columns, tuple(rows)).kept] if rows else []
    return Section("Parts to order", tuple(notes), tuple(tables), new_page=True)


def _is_made_here(ask: Asker, item: Subject) -> bool:
    reading = ask.reading(item, "is_made_here")
    return bool(reading is not None and reading.value)


def _item(ask: Asker, item: Subject) -> tuple[Cell, ...]:
    title = str(getattr(item.specs["part"], "title", ""))
    by = "{} m" if item.own["kind"] == "cable" else "{}"
    title += "; no longer made" if getattr(item.specs["part"], "discontinued", False) else ""
    names = ("each_price", "cost", "lead_days")
    return words(str(item.own["code"])), words(title), ask.cell(item, "quantity", by), *(
        ask.cell(item, name) for name in names
    )  # fmt: skip


def work_plan(ask: Asker, chain: Chain) -> Section:
    """Return the work by stage, with hours."""
    job = chain.of_kind("job")[0]
    rows: list[tuple[Cell, ...]] = []
    by_stage: dict[str, list[Subject]] = {stage: [] for stage in STAGES}
    for task in chain.of_kind("task"):
        when = ask.reading(task, "stage")
        if when is not None:
            by_stage[str(when.value)].append(task)
    for (stage, title), fact in zip(STAGES.items(), STAGE_FACTS, strict=True):
        whole = ask.cell(job, fact)
        if whole.text == NONE_HERE:
            continue
        steps = [(_task(task), ask.cell(task, "first_h")) for task in by_stage[stage]]
        if stage == "build" and ask.cell(job, "made_networks").text not in (NONE_HERE, "0"):
            steps.append(("Build the networks", ask.cell(job, "networks_h")))
        if stage == "fit":
            steps.append(("Fit the parts", ask.cell(job, "fit_h")))
        if stage == "put back":
            steps.append(("Put back what was taken out", whole))
        if len(steps) == 1:
            rows.append((words(title), words(steps[0][0]), whole))
        else:
            rows.append((words(title), words("all of this stage"), whole))
            rows += [(words(""), words(step), hours) for step, hours in steps]
    totals = (("all hours", "labour_h"), ("working days", "labour_days"), ("days to book", "booked_days"))
    rows += [(words("Together"), words(title), ask.cell(job, name)) for title, name in totals]
    note = (
        "In this order; the battery is isolated before the first stage, the fuse goes in when the measurements say so."
    )
    return Section("Work plan", (note,), (Table("work", ("stage", "work", "hours"), tuple(rows)),), ("time",), True)


def _task(task: Subject) -> str:
    operation = task.specs["operation"]
    assert isinstance(operation, Operation)
    drivers = task.ties["drivers"]
    assert isinstance(drivers, tuple)
    names = f" ({', '.join(driver.name for driver in drivers)})" if drivers else ""
    return f"{operation.title or task.own['code']}{names}"


def money(ask: Asker, chain: Chain) -> Section:
    """Return what it comes to, where the money goes and what limits the result."""
    job = chain.of_kind("job")[0]
    sums = (
        ("parts", "parts_cost"),
        ("consumables", "consumables_cost"),
        ("an hour of labour", "rate_per_h"),
        ("labour", "labour_cost"),
        ("tax", "tax_cost"),
        ("tax rate", "tax_percent"),
        ("what the customer pays", "total_cost"),
        ("of the parts stays with the shop", "parts_margin"),
        ("ready after the order", "ready_days"),
    )
    rows = tuple((words(title), ask.cell(job, name)) for title, name in sums)
    parts = [
        (words(title), ask.cell(job, f"{part}_cost"), ask.cell(job, f"{part}_share_percent"))
        for part, title in PARTS_OF_THE_CHAIN.items()
    ]
    parts.append((words("labour"), ask.cell(job, "labour_cost"), ask.cell(job, "work_share_percent")))
    parts.append((words("consumables"), ask.cell(job, "consumables_cost"), ask.cell(job, "consumables_share_percent")))
    link = tuple(
        (words(title), ask.cell(job, name))
        for title, name in (
            ("at its end first", "weakest_way"),
            ("it reaches, a metre away", "weakest_reaches_db"),
            ("what ends it", "weak_link_ends_by"),
            ("all others reach", "rest_reaches_db"),
            ("lost to it", "weak_link_db"),
            ("where the bass ends (six decibels down), without the cabin", "extension_6db_hz"),
        )
    )
    tables: tuple[Table, ...] = (
        Table("sums", ("", "amount"), rows),
        Table("money by part of the chain", ("part of the chain", "cost", "share"), tuple(parts)),
        Table("the weak link", ("", "by numbers"), link),
    )
    if ask.reading(job, "weakest_way") is None:  # with no power and no travel known there is nothing to compare
        tables = tables[:2]
    found = tuple(_without_empty(table) for table in tables)
    contained = chain.system.shop.prices_with_tax
    notes = (
        "For the office; keep this page apart from the bench.",
        "Tax is contained in all prices." if contained else "Tax comes on top of all prices.",
    )
    return Section("Money", notes, tuple(table for table in found if table.rows), ("money",), new_page=True)


def _without_empty(table: Table) -> Table:
    rows = tuple(row for row in table.rows if any(cell.text != NONE_HERE for cell in row[1:]))
    return Table(table.name, table.columns, rows)
