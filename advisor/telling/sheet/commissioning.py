"""What is measured, in which order, what should come out, and room to write what did."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.chain.build import Chain
from advisor.chain.subject import Subject
from advisor.telling.sheet.cells import NONE_HERE, WRITE, Asker, Cell, Section, Table, words
from advisor.telling.sheet.leads import plain, used_channels

Row = tuple[Cell, ...]
COLUMNS = ("measure", "where", "expected", "within", "measured")


def commissioning(ask: Asker, chain: Chain) -> Section:
    """Return the list of measurements."""
    if not used_channels(chain):
        return Section("Measurements", ("Nothing is connected yet, so there is nothing to measure.",))
    tables = (
        _each_loudspeaker(ask, chain),
        _each_load(ask, chain),
        _listed("1c. Before power", before_power(ask, chain)),
        _each_channel(ask, chain),
        _listed("2b. Main fuse in, engine off", power_on(ask, chain)),
        _listed("3. Loudspeakers plugged in, engine running, music", playing(ask, chain)),
        Table("signed", ("", "name and date"), tuple((words(what), WRITE) for what in ("work done by", "measured by"))),
    )
    notes = (
        "In this order, each before the next; what is out of its range is mended before anything else is done. "
        "An asterisk marks a value that rests on a rule of thumb.",
        "1a to 1c: battery isolated, main fuse out, amplifiers unplugged. 2a and 2b: main fuse in, loudspeakers still "
        "unplugged, all gains at their lowest to begin with. 3: all plugged in.",
    )
    return Section("Measurements", notes, tuple(one.kept for one in tables if one.rows), new_page=True)


def _listed(name: str, rows: Iterator[Row]) -> Table:
    return Table(name, COLUMNS, tuple((*row, WRITE) for row in rows))


def _row(ask: Asker, what: str, where: str, expected: Cell, within: Cell | str) -> Iterator[Row]:
    if expected.text != NONE_HERE:
        yield words(what), words(where), expected, words(within) if isinstance(within, str) else within


def _each_loudspeaker(ask: Asker, chain: Chain) -> Table:
    """Return resistance and polarity of each loudspeaker, seen from the other end of its cable."""
    ohms = ask.cell(chain.of_kind("job")[0], "ohms_within_percent", "±{}")
    rows = []
    for driver in chain.of_kind("driver"):
        expected = ask.cell(driver, "dc_ohm")
        within = words("") if expected.missing else ohms
        rows.append((words(driver.name), expected, within, WRITE, _polarity(ask, driver), WRITE))
    columns = ("1a. loudspeaker, from the other end of its cable", "resistance", "within", "measured",
               "a small battery, plus to the plus core", "seen")  # fmt: skip
    return Table("each loudspeaker", columns, tuple(rows))


def _polarity(ask: Asker, driver: Subject) -> Cell:
    leads = ask.cell(driver, "leads")
    if leads.text == NONE_HERE or leads.missing:
        return leads
    tweeter = ask.reading(driver, "is_tweeter")
    if tweeter is not None and tweeter.value:
        return Cell(f"no battery on a tweeter; look: {leads.text}", leads.readings)
    star = " *" if leads.text.endswith("*") else ""
    return Cell(f"cone comes {'in' if leads.text.startswith('crossed') else 'out'}{star}", leads.readings)


def _each_load(ask: Asker, chain: Chain) -> Table:
    """Return the lowest impedance that each channel may see."""
    ohms = ask.cell(chain.of_kind("job")[0], "ohms_within_percent", "−{}")
    rows = []
    for channel in used_channels(chain):
        behind = [one for one in chain.of_kind("network") if one.ties.get("channel") is channel]
        cell = ask.cell(behind[0] if behind else channel, "lowest_load_ohm", "no less than {}")
        rows.append((words(plain(channel)), words(behind[0].name if behind else ""), cell, ohms, WRITE))
    columns = ("1b. cable of channel, unplugged at the amplifier", "through", "impedance in its band", "within",
               "measured")  # fmt: skip
    return Table("each load", columns, tuple(rows))


def before_power(ask: Asker, chain: Chain) -> Iterator[Row]:
    """Yield what else is measured while nothing is under voltage."""
    job = chain.of_kind("job")[0]
    if chain.of_kind("supply"):
        yield words("Plus against body"), words("main fuse holder, amplifier side"), words("open"), words("")
    for driver in chain.of_kind("driver"):
        yield from _row(ask, "Tuning: lowest impedance between its two peaks", f"box of {driver.name}",
                        ask.cell(driver, "tuning_hz"), ask.cell(job, "tuning_within_percent", "±{}"))  # fmt: skip


def _each_channel(ask: Asker, chain: Chain) -> Table:
    """Return direct voltage, voltage with its tone, and noise of each channel."""
    job = chain.of_kind("job")[0]
    volts = ask.cell(job, "volts_within_percent", "±{}")
    rows = []
    for channel in used_channels(chain):
        noise = ask.cell(channel, "noise_mv", "at most {}")
        rows.append(
            (
                words(plain(channel)),
                ask.cell(job, "offset_allowed_mv", "at most {}"),
                WRITE,
                ask.cell(channel, "test_tone_hz"),
                ask.joined((ask.cell(channel, "test_v"), volts), " "),
                WRITE,
                Cell(NONE_HERE) if noise.missing else noise,
                WRITE,
            )
        )
    columns = ("2a. channel, at its terminals", "direct voltage, no music", "measured", "tone", "voltage with the tone",
               "measured", "noise, no music", "measured")  # fmt: skip
    return Table("each channel", columns, tuple(rows))


def power_on(ask: Asker, chain: Chain) -> Iterator[Row]:
    """Yield what else is measured with power on and nothing connected that could be hurt."""
    job = chain.of_kind("job")[0]
    yield from _row(ask, "Current without music, all switched on", "main fuse", ask.cell(job, "idle_current_a"),
                    ask.cell(job, "amps_within_percent", "±{}"))  # fmt: skip
    giver = ask.reading(job, "remote_of")
    if giver is not None:
        where = f"remote lead of {giver.value}, everything on it switched on"
        gives = ask.cell(job, "remote_gives_ma", "it gives {} at most")
        yield from _row(ask, "Current of the switching lead", where, ask.cell(job, "remote_load_ma"), gives)


def playing(ask: Asker, chain: Chain) -> Iterator[Row]:
    """Yield what is measured while music plays."""
    job = chain.of_kind("job")[0]
    volts = ask.cell(job, "volts_within_percent", "±{}")
    supplies = chain.of_kind("supply")
    if supplies:
        yield from _row(ask, "Voltage, engine running, no music", "battery posts", ask.cell(job, "supply_v"), volts)
        for amplifier in _in_use(ask, chain):
            where = f"{amplifier.name}, at its supply terminals"
            yield from _row(ask, "Voltage with loud music", where, ask.cell(amplifier, "playing_v"), volts)
            least = ask.cell(amplifier, "loaded_v", "no less than {}")
            yield from _row(ask, "Lowest voltage with loud music", where, least, volts)
    yield from _hiss(ask, chain)
    level = ask.cell(job, "levels_within_db", "±{}")
    for crossing in chain.of_kind("crossing"):
        at = ask.cell(crossing, "handover_hz", "Handover round {}, both ways alike loud")
        if at.text != NONE_HERE:
            yield (
                at,
                words(f"first seat, {crossing.name}"),
                ask.cell(crossing, "sum_db", "together {} against each band"),
                level,
            )
    loud = ask.cell(job, "loudness_to_expect_db", "{} or more")
    yield from _row(ask, "Loudness without strain", "first seat", loud, ask.cell(job, "levels_within_db", "−{}"))
    for amplifier in _in_use(ask, chain):
        cell = ask.cell(amplifier, "rise_after_an_hour_k", "at most {} over the air around it")
        yield from _row(ask, "Case after an hour of loud music", amplifier.name, cell,
                        ask.cell(job, "kelvins_within_percent", "±{}"))  # fmt: skip
    for supply in supplies:
        parked = ask.cell(supply, "parked_a", "at most {}")
        yield from _row(ask, "Current an hour after locking", "battery's minus lead", parked, "")


def _hiss(ask: Asker, chain: Chain) -> Iterator[Row]:
    """Yield the hiss of the driver that is heard to hiss most."""
    known = [(ask.reading(one, "hiss_db"), one) for one in chain.of_kind("driver")]
    levels = [(float(reading.value), index) for index, (reading, _) in enumerate(known) if reading is not None]
    if levels:
        _, worst = max(levels)
        driver = known[worst][1]
        cell = ask.cell(driver, "hiss_db", "at most {}")
        yield from _row(
            ask,
            "Hiss at the ear, no music, engine off",
            f"first seat; loudest: {driver.name}",
            cell,
            "by ear: not heard",
        )


def _in_use(ask: Asker, chain: Chain) -> list[Subject]:
    used = []
    for amplifier in chain.of_kind("amplifier"):
        reading = ask.reading(amplifier, "is_in_use")
        if reading is not None and reading.value:
            used.append(amplifier)
    return used
