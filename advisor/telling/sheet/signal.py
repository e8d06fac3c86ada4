"""The channel plan, the leads with their labels, and the leads that come out for service."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.telling.sheet.cells import NONE_HERE, Asker, Cell, Section, Table, words
from advisor.telling.sheet.leads import (
    Lead,
    feeding,
    loudspeaker_pairs,
    plain,
    remote_leads,
    signal_leads,
    supply_leads,
    used_channels,
)

LABEL_COLUMNS = 3


def channel_plan(ask: Asker, chain: Chain) -> Section:
    """Return which output drives which channel and what hangs on it."""
    rows = []
    for channel in used_channels(chain):
        drivers = channel.ties["drivers"]
        assert isinstance(drivers, tuple)
        networks = dict.fromkeys(str(one.ties["network"].name) for one in drivers if "network" in one.ties)  # type: ignore[union-attr]
        rows.append(
            (
                words(plain(channel) + (" bridged" if channel.own["bridged"] else "")),
                words(feeding(chain, channel)),
                words(", ".join(networks)),
                words(", ".join(driver.name for driver in drivers)),
                ask.cell(channel, "load_ohm"),
                ask.cell(channel, "watts"),
            )
        )
    columns = ("amplifier channel", "fed by output", "through network", "drives", "rated load", "gives into it")
    table = Table("channel plan", columns, tuple(rows)).kept
    unfed = [driver.name for driver in chain.of_kind("driver") if not driver.own["is_fed"]]
    notes = [f"Nothing feeds {', '.join(unfed)}."] if unfed else []
    lead_in = "Names are those of the job; a number after a device is its output or channel."
    if not rows:
        return Section("Channel plan", ("The job draws no chain: there is nothing to connect yet.", *notes))
    return Section("Channel plan", (lead_in, *notes), (table,))


def wiring(ask: Asker, chain: Chain) -> Section:
    """Return every lead, terminal by terminal, with the text of its label."""
    signal = [*signal_leads(chain), *remote_leads(ask, chain)]
    tables = [_leads("signal and switching leads", signal)]
    pairs = tuple(
        (words(one.label), words(one.plus), words(one.minus), one.cable, one.length, one.remarks)
        for one in loudspeaker_pairs(ask, chain)
    )
    columns = ("label", "plus core", "minus core", "section", "length", "remarks")
    tables.append(Table("loudspeaker cables", columns, pairs).kept)
    tables.append(_leads("supply leads", list(supply_leads(ask, chain))))
    notes = (
        "Put the label on both ends before the lead is laid. Signal leads run apart from the supply; measure them "
        "along their way, the job does not give their length.",
        "Every pass through metal gets a grommet. Leave the main fuse out until the list of measurements says so.",
    )
    found = tuple(table for table in tables if table.rows)
    return Section("Leads and labels", notes if found else ("There is nothing to connect yet.",), found)


def _leads(name: str, leads: list[Lead]) -> Table:
    rows = tuple(
        (words(one.label), one.begins, words(one.ends), one.cable, one.length, words(one.kind)) for one in leads
    )
    return Table(name, ("label", "from", "to", "section", "length", "kind"), rows).kept


def labels(ask: Asker, chain: Chain) -> Section | None:
    """Return the labels to print, in one list."""
    texts = [one.label for one in signal_leads(chain)] + [one.label for one in remote_leads(ask, chain)]
    texts += [one.label for one in loudspeaker_pairs(ask, chain)] + [one.label for one in supply_leads(ask, chain)]
    if not texts:
        return None
    third = -(-len(texts) // LABEL_COLUMNS)
    columns = [texts[start : start + third] for start in range(0, len(texts), third)]
    columns += [[]] * (LABEL_COLUMNS - len(columns))
    rows = [tuple(words(column[i] if i < len(column) else "") for column in columns) for i in range(third)]
    note = "Print each twice, once for each end; mark the plus core of loudspeaker cables."
    return Section("Label list", (note,), (Table("labels", ("label", "label ", "label  "), tuple(rows)),))


def fuses(ask: Asker, chain: Chain) -> Section:
    """Return the fuses and what they protect."""
    rows: list[tuple[Cell, ...]] = []
    for supply in chain.of_kind("supply"):
        where = ask.cell(supply, "fuse_from_battery_m", "{} from the battery's plus post")
        rows.append(
            (
                words("main fuse"),
                ask.cell(supply, "planned_fuse_a"),
                where,
                ask.cell(supply, "section_mm2"),
                ask.cell(supply, "main_fuse_a"),
                ask.cell(supply, "largest_fuse_a"),
            )
        )
    rows += [
        (
            words(f"branch to {amplifier.name}"),
            ask.cell(amplifier, "branch_fuse_a"),
            words("at the distribution"),
            *(ask.cell(amplifier, name) for name in _BRANCH),
        )
        for amplifier in chain.of_kind("amplifier")
    ]
    rows = [row for row in rows if row[1].text != NONE_HERE]
    columns = ("fuse", "rating to fit", "where", "cable it protects", "fuse the load wants", "most the cable allows")
    heading = "Fuse schedule"
    if not rows:
        return Section(heading, ("The job says nothing of the supply: supply with cable, run_m and fuse_a.",))
    note = (
        "Fit no fuse larger than the last column allows, whatever lies in the drawer. Processors and fans have fuses "
        "of their own; their makers' sheets say which."
    )
    return Section(heading, (note,), (Table("fuses", columns, tuple(rows)).kept,))


_BRANCH = ("branch_mm2", "branch_fuse_for_load_a", "branch_largest_fuse_a")


def service(ask: Asker, chain: Chain) -> Section | None:
    """Return where the leads to set-up connectors come out."""
    rows = tuple(_service_rows(ask, chain))
    if not rows:
        return None
    columns = ("device", "set-up connector", "sits at", "lead comes out at")
    return Section("Service leads", (), (Table("service leads", columns, rows),))


def _service_rows(ask: Asker, chain: Chain) -> Iterator[tuple[Cell, ...]]:
    for device in (*chain.of_kind("interface"), *chain.of_kind("processor")):
        port = getattr(device.specs["part"], "setup_port", None)
        location = device.ties.get("location")
        if port is None:
            continue
        place = location.name if isinstance(location, Subject) else "a place nobody named"
        yield words(device.name), words(str(port)), words(place), ask.cell(device, "service_lead")
