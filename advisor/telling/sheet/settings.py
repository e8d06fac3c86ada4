"""What is dialled in: filters, levels, polarity and delays output by output, gains, and networks to build."""

from __future__ import annotations

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.telling.sheet.cells import NONE_HERE, Asker, Cell, Section, Table, words
from advisor.telling.sheet.leads import feeding, plain, used_channels

EDGES = {"low": ("low_edge_hz", "low_filter", "low_slope_db_per_octave"),
         "high": ("high_edge_hz", "high_filter", "high_slope_db_per_octave")}  # fmt: skip
OPEN = "open"


def drivers_of(ask: Asker, channel: Subject) -> list[Subject]:
    """Return the drivers on a channel, the lowest first."""
    drivers = channel.ties["drivers"]
    assert isinstance(drivers, tuple)

    def edge(driver: Subject) -> float:
        reading = ask.reading(driver, "low_edge_hz")
        return float(reading.value) if reading else 0.0

    return sorted(drivers, key=edge)


def edge_cell(ask: Asker, driver: Subject, which: str) -> Cell:
    """Return one edge of a driver's band in words: frequency, kind of filter, slope, and what makes it."""
    frequency, kind, slope = (ask.cell(driver, name) for name in EDGES[which])
    if frequency.text == NONE_HERE:
        return words(OPEN)
    maker = str(driver.own[f"{which}_edge_maker"])
    made = "" if maker in ("processor", "nothing") else f", in the {maker}"
    if maker == "nothing" and "channel" in driver.ties:
        made = ", which nothing can make"
    cell = ask.joined((frequency, kind, slope))
    return Cell(cell.text + made, cell.readings, cell.missing)


def outputs(ask: Asker, chain: Chain) -> Section:
    """Return what is set for each output of the processor."""
    rows, filters_elsewhere = [], False
    for channel in used_channels(chain):
        drivers = drivers_of(ask, channel)
        lowest, highest = drivers[0], drivers[-1]
        low = edge_cell(ask, lowest, "low") if lowest.own["low_edge_maker"] != "network" else words(OPEN)
        high = edge_cell(ask, highest, "high") if highest.own["high_edge_maker"] != "network" else words(OPEN)
        filters_elsewhere |= any(
            one.own[f"{which}_edge_maker"].startswith("amplifier") for one in drivers for which in EDGES
        )
        rows.append(
            (
                words(feeding(chain, channel) or plain(channel)),
                words(", ".join(driver.name for driver in drivers)),
                low,
                high,
                ask.cell(lowest, "trim_to_set_db"),
                ask.cell(lowest, "polarity_at_processor"),
                ask.cell(lowest, "delay_to_set_ms"),
                ask.cell(lowest, "delay_samples"),
                ask.cell(lowest, "delay_cm"),
            )
        )
    columns = ("output", "plays", "high-pass", "low-pass", "level", "polarity", "delay", "samples", "way")
    table = Table("settings of outputs", columns, tuple(rows)).kept
    words_before = ["Enter these before the first sound. Equaliser flat, bass and treble of the source in the middle."]
    if filters_elsewhere:
        words_before.append("What stands as made in the amplifier is set there, and left open in the processor.")
    if not rows:
        return Section("Settings", ("No channel is connected, so there is nothing to set.",), _bands(ask, chain))
    return Section("Settings", tuple(words_before), (table, *_about_delays(ask, chain)))


def _bands(ask: Asker, chain: Chain) -> tuple[Table, ...]:
    rows = tuple(
        (words(driver.name), edge_cell(ask, driver, "low"), edge_cell(ask, driver, "high"))
        for driver in chain.of_kind("driver")
    )
    return (Table("bands asked for", ("driver", "low edge", "high edge"), rows),)


def _about_delays(ask: Asker, chain: Chain) -> tuple[Table, ...]:
    """Return how delays drift with the cabin's temperature."""
    rows = []
    for channel in used_channels(chain):
        lead = drivers_of(ask, channel)[0]
        reading = ask.reading(lead, "delay_to_set_ms")
        if reading is not None:
            names = ("distance_m", "delay_to_set_ms", "delay_when_cold_ms", "delay_when_hot_ms", "delay_drift_ms")
            rows.append((words(lead.name), *(ask.cell(lead, name) for name in names)))
    job = chain.of_kind("job")[0]
    about = [ask.cell(job, name) for name in ("listening_c", "cold_morning_c", "hot_cabin_c")]
    columns = (
        *("driver", "distance to the ear", "set"),
        *("wanted on a cold morning", "wanted in a hot cabin", "off by at most"),
    )
    if not rows:
        return ()
    air = (
        words("air in the cabin"), words(NONE_HERE), about[0], about[1], about[2], words(NONE_HERE),
    )  # fmt: skip
    return (Table("drift of delays with temperature", columns, (air, *rows)),)


def gains(ask: Asker, chain: Chain) -> Section | None:
    """Return what to set the gain of each channel to, and by which tone."""
    job = chain.of_kind("job")[0]
    rows = [
        (
            words(plain(channel)),
            ask.cell(channel, "sensitivity_to_set_v"),
            ask.cell(channel, "test_tone_hz"),
            ask.cell(job, "test_level_db"),
            ask.cell(channel, "test_v"),
        )
        for channel in used_channels(chain)
    ]
    if not rows:
        return None
    columns = ("channel", "full output at", "tone", "level of the tone", "turn up to")
    notes = (
        "Loudspeakers unplugged, levels of the processor at 0, filters as above. Play the tone of each channel at the "
        "level given (against digital full scale), the source as loud as it stays clean; mark that place of its knob.",
        "Turn the gain up from its lowest until a true-RMS voltmeter at the channel's terminals shows what is given.",
    )
    return Section("Gains", notes, (Table("gains", columns, tuple(rows)).kept,))


def _parts(ask: Asker, chain: Chain, fact: str) -> list[tuple[Cell, Cell]]:
    """Return a list of each network line by line; two sides that differ in nothing but the side are told once."""
    rows: list[tuple[Cell, Cell]] = []
    told: dict[tuple[str, ...], int] = {}
    for network in chain.of_kind("network"):
        reading = ask.reading(network, fact)
        if reading is None:
            rows.append((words(network.name), ask.cell(network, fact)))
            continue
        bare = tuple(part.replace(f" {network.own['side']}:", ":") for part in reading.value)
        if bare in told:
            for index in range(told[bare], told[bare] + len(bare)):
                name, part = rows[index]
                rows[index] = (words(f"{name.text} and right"), Cell(part.text, (*part.readings, reading)))
            continue
        told[bare] = len(rows)
        sided = network.own["side"]
        star = " *" if reading.basis == "rule of thumb" else ""
        rows += [
            (words(network.name), Cell((plain_part if sided else part) + star, (reading,)))
            for part, plain_part in zip(reading.value, bare, strict=True)
        ]
    return rows


def networks(ask: Asker, chain: Chain) -> Section | None:
    """Return the parts of passive networks, to wind or to buy."""
    rows = _parts(ask, chain, "parts")
    if not rows:
        return None
    coils = [row for row in _parts(ask, chain, "windings") if row[1].readings]
    behind = [driver for driver in chain.of_kind("driver") if "network" in driver.ties]
    bands = tuple((words(one.name), edge_cell(ask, one, "low"), edge_cell(ask, one, "high")) for one in behind)
    notes = (
        "From the input on; what stands in brackets is the value as computed, before it was rounded to what is sold. "
        "Coils are wound or bought with no more wire resistance than named; set them apart and at right angles. Wind "
        "two turns more than listed, and take them off by the meter.",
    )
    tables = (
        Table("bands behind networks", ("driver", "from", "up to"), bands),
        Table("parts of networks", ("network", "part"), tuple(rows)),
        Table("coils, where they are wound", ("network", "coil"), tuple(coils)),
    )
    return Section("Networks", notes, tuple(table for table in tables if table.rows))
