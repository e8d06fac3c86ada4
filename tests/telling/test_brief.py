"""The customer's brief: no number but a fact's, no unit but four, no jargon, and easy to read."""

from __future__ import annotations

import functools
import re
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
import textstat
from click import unstyle
from click.testing import CliRunner

from advisor.cli import main
from advisor.errors import NameUnknown
from advisor.facts.reading import Missing, NotDefined, Reading
from advisor.judging.formats import money, with_unit
from advisor.judging.review import review_job
from advisor.judging.rulebook import load_rulebook
from advisor.telling.brief.brief import Brief, brief
from advisor.telling.brief.numbers import UNITS
from advisor.telling.brief.page import brief_page
from advisor.telling.brief.roles import placed
from advisor.telling.brief.text import brief_text
from advisor.telling.compare.figures import written
from advisor.telling.groups import tell
from advisor.telling.pictures.canvas import Picture
from advisor.telling.pictures.notes import joined, without
from tests.telling.examples import JOBS, TODAY, path_of, reviewed

CASES = [(job, "") for job in JOBS] + [("sound", "cheaper"), ("cheaper", "sound"), ("over-budget", "all-active")]
CASES += [("faults", "quick"), ("quick", "faults")]
GRADE = 8.0
"""Years of school: what is often asked of texts for everybody."""

JARGON = set(
    re.findall(
        r"\S+",
        """
        ohm ohms watt watts volt volts voltage ampere amperes amp impedance crossover crossovers octave octaves phase
        polarity resonance processor processors dsp channel channels woofer woofers subwoofer midwoofer tweeter tweeters
        midrange clip clips clipping handover network networks slope slopes equaliser equalisation gain passive active
        damping bandwidth headroom excursion xmax spl rms thd snr q fs vas qts enclosure baffle vented ported decibel
        kilohertz hertz low-pass high-pass bandpass capacitor inductor bridged mono alternator""",
    )
)

UNIT = re.compile(
    r"\d\s?(?:k?W|mV|V|mA|A|Ah|ms|s|mm²?|cm²?|m|m²|l|L|litres?|kHz|°C|°|K|Ω|mΩ|ohms?|%|kg|g|N|h|hours?|min|minutes?)\b"
)


@functools.cache
def told(job: str, other: str = "") -> Brief:
    return brief(reviewed(job), reviewed(other) if other else None)


@functools.cache
def text(job: str, other: str = "") -> str:
    return unstyle(brief_text(told(job, other)))


@functools.cache
def pictures(job: str, other: str = "") -> tuple[Picture, ...]:
    return tuple(brief_page(reviewed(job), reviewed(other) if other else None).pictures)


def words_of(job: str, other: str) -> str:
    """All that a customer reads, pictures too, on one line."""
    shown = [words for picture in pictures(job, other) for words in (picture.alt, picture.caption)]
    drawn = [one for picture in pictures(job, other) for one in re.findall("<text.*?</text>", picture.svg)]
    inside = [re.sub("<[^>]*>", "", one) for one in drawn]
    return " ".join(" ".join([text(job, other), *shown, *inside]).split())


def amounts(job: str, other: str) -> list[str]:
    """Every value that was put into words, as it is written; each is asked for anew of the list it is of."""
    found = []
    for reading in told(job, other).told:
        owners = [owner for owner in filter(None, (job, other)) if asked(owner, reading.name) is reading]
        assert len(owners) == 1, reading.name
        found.append(written(reading, reviewed(owners[0])))
    return found


def drawn_amounts(other: str) -> list[str]:
    """What the picture of the other list's money shows."""
    facts = ("parts_cost", "consumables_cost", "labour_cost", "total_cost", "named_budget")
    readings = [asked(other, f"job.{fact}") for fact in facts] if other else []
    return [written(reading, reviewed(other)) for reading in readings if reading]


def asked(job: str, name: str) -> Reading | None:
    engine = reviewed(job).engine
    try:
        return engine.ask(*engine.find(name))
    except (NameUnknown, Missing, NotDefined):  # the other list has no such subject, or no value for it
        return None


# -- numbers ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("job", "other"), CASES)
def test_every_number_is_a_fact_as_it_is_written(job: str, other: str) -> None:
    rest = words_of(job, other)
    known = sorted([*amounts(job, other), *drawn_amounts(other)], key=len, reverse=True)
    for finding in (one for owner in filter(None, (job, other)) for one in reviewed(owner).findings):
        if finding.to_customer and (finding.measured is not None and finding.measured.unit == "money"):
            both = [with_currency(value) for value in (finding.measured.left, finding.measured.right)]
            known += [both[0], both[0].partition(" EUR")[0], both[1].partition(" EUR")[0]]
    for amount in known:
        rest = rest.replace(amount, "")
    assert not re.findall(r"\d", rest), re.findall(r".{20}\d.{20}", rest)


def with_currency(value: Any) -> str:
    return f"{money(value)} EUR"


@pytest.mark.parametrize(("job", "other"), CASES)
def test_numbers_stand_in_the_text_and_in_four_units_alone(job: str, other: str) -> None:
    for amount in amounts(job, other):
        assert amount in words_of(job, other)
    assert {reading.unit for reading in told(job, other).told} <= set(UNITS) == {"Hz", "dB", "money", "days"}
    assert not UNIT.findall(words_of(job, other))


@pytest.mark.parametrize(("job", "other"), CASES)
def test_hz_and_db_are_explained_once_in_plain_words(job: str, other: str) -> None:
    said = text(job, other)
    plain = " ".join(said.split())
    assert plain.count("Hz tells how deep a note is") == (1 if " Hz. " in plain else 0)
    assert plain.count("dB tells how loud a sound is") == (1 if " dB" in plain else 0)


# -- words -----------------------------------------------------------------------------------------------------------


def jargon_in(said: str) -> set[str]:
    return set(re.findall(r"[a-zäöüß]+(?:-[a-z]+)*", said.lower())) & set(JARGON)


@pytest.mark.parametrize(("job", "other"), CASES)
def test_no_jargon(job: str, other: str) -> None:
    assert not jargon_in(words_of(job, other))


@pytest.mark.parametrize(("job", "other"), CASES)
def test_reads_at_or_below_a_common_grade(job: str, other: str) -> None:
    said = ". ".join(line.strip("- ") for line in text(job, other).splitlines() if line and line[0] != " ")
    prose = " ".join(text(job, other).split())
    assert textstat.flesch_kincaid_grade(prose) <= GRADE
    assert textstat.flesch_kincaid_grade(said) <= GRADE


RULES = load_rulebook()


@pytest.mark.parametrize("rule", list(RULES))
def test_what_a_rule_tells_customers_is_plain(rule: str) -> None:
    sentence = " ".join(RULES[rule].to_customer.split())
    written_out = re.findall(r"{{(.*?)}}", sentence)
    allowed = ("money", "listed", "hz", "db", "days")
    for expression in written_out:
        assert "|" not in expression or expression.split("|")[-1].strip() in allowed, sentence
    plain = re.sub(r"{{.*?}}", "ten", sentence)
    assert not jargon_in(plain) and not UNIT.search(plain)
    assert plain[0].isupper() and plain[-1] == "."
    assert textstat.flesch_kincaid_grade(plain) <= GRADE + 2, plain  # single sentences swing more than texts


# -- what is in it ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("job", JOBS)
def test_every_fault_and_trade_off_of_the_review_is_told(job: str) -> None:
    said = " ".join(text(job).split())
    for level in ("must", "trade-off"):
        for one in tell(reviewed(job), "falls short", level):
            assert one.to_customer in said, one.to_customer


@pytest.mark.parametrize("job", JOBS)
def test_ready_or_not_as_the_review_has_it(job: str) -> None:
    assert ("It cannot stay as it is." in text(job)) == bool(reviewed(job).of("falls short", "must"))
    assert ("What has to change first" in text(job)) == bool(reviewed(job).of("falls short", "must"))


@pytest.mark.parametrize(("first", "second"), list(permutations(JOBS, 2)))
def test_against_another_list_no_new_fault_is_kept_from_the_customer(first: str, second: str) -> None:
    said = " ".join(text(first, second).split())
    mine = {one.rule.name for one in reviewed(first).of("falls short")}
    for one in reviewed(second).of("falls short", "must"):
        if one.rule.name not in mine:
            assert one.to_customer in said


def test_the_cheaper_list_tells_what_it_takes_and_why() -> None:
    said = " ".join(text("sound", "cheaper").split())
    after = said.partition("What you would give up with it")[2]
    for words in (
        "Its bass ends at",
        "the air in a small box is a stiff spring",
        "Its bass box has no opening",
        "Voices come from low down, below your knees",
        "It has no speaker of its own for voices and guitars (Corner of the dash under the windscreen, left and right)",
        "Some notes fall between two speakers",
    ):
        assert words in after, words


def test_against_itself_nothing_is_given_up() -> None:
    after = text("sound", "sound").partition("The other list\n")[2]
    assert after.strip() == "The other list costs as much. It takes as long."


def test_a_list_without_prices_says_so_and_shows_no_amounts() -> None:
    assert "What it costs and how long it takes cannot be told yet" in " ".join(text("quick").split())
    assert "EUR" not in text("quick") and "money" not in {picture.name for picture in pictures("quick")}


def test_bass_below_hearing_has_no_number() -> None:
    deepest = asked("over-budget", "job.extension_in_cabin_hz")
    assert deepest is not None and deepest.value < 20
    assert "The bass goes down as far as an ear can follow." in text("over-budget")


def test_a_sentence_about_one_speaker_says_where_it_sits() -> None:
    found = told("sound").roles
    assert placed([("This speaker is too deep.", "mid"), ("Two are.", "mid")], found) == (
        "This speaker is too deep. Where: Corner of the dash under the windscreen.",
        "Two are.",
    )


def test_a_speaker_without_a_place_is_told_by_what_it_plays() -> None:
    assert placed([("This speaker is too small.", "mid")], told("quick").roles) == (
        "This speaker is too small. Which: the one for voices and guitars.",
    )


@pytest.mark.parametrize(
    ("more_db", "words"),
    [
        (2.5, "so there is room to spare"),
        (0.5, "so it gets there"),
        (-1.5, "so it just about gets there"),
        (-2.5, "so it falls short of that"),
    ],
)
def test_loud_enough_is_what_reaches_the_seat_against_what_is_wanted_there(more_db: float, words: str) -> None:
    reached = asked("sound", "job.loudest_at_seat_db")
    assert reached is not None
    data = Path(path_of("sound")).read_text(encoding="utf-8")
    data = data.replace("../library", str(path_of("sound").parent.parent / "library"))
    wanted = re.sub(r"loudness_db: 98\b", f"loudness_db: {reached.value - more_db:.6f}", data)
    Path("job.yaml").write_text(wanted, encoding="utf-8")
    said = " ".join(run("brief", "job.yaml").stdout.split())
    assert words in said
    assert f"it reaches {with_unit(reached.value, 'dB')} at your seat" in said


def test_what_falls_short_by_far_is_told_with_its_reason() -> None:
    said = " ".join(text("faults").split())
    assert "so it falls short of that" in said
    assert "Played as loud as you asked for, this speaker would be at its end on its lowest notes." in said


# -- pictures --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("job", "other"), CASES)
def test_pictures_are_the_same_twice_and_told_apart_in_grey(job: str, other: str) -> None:
    again = brief_page(reviewed(job), reviewed(other) if other else None).pictures
    assert tuple(again) == pictures(job, other)
    for picture in again:
        colours = set(re.findall(r"#[0-9a-f]{6}\b", picture.svg))
        grey = {colour for colour in colours if colour[1:3] == colour[3:5] == colour[5:7]}
        assert colours - grey <= {"#9a3412"}, picture.name  # the one colour, always hatched or dashed as well


def test_every_speaker_with_a_place_is_in_the_sketch() -> None:
    sketch = next(picture for picture in pictures("sound") if picture.name == "places")
    drivers = sum(len(role.drivers) for role in told("sound").roles)
    assert drivers == 9 and sketch.alt.count("front, left") + sketch.alt.count("front, right") == 6
    assert "bass behind the seats, right" in sketch.alt


def test_the_bar_of_notes_has_the_gap_that_the_rules_find() -> None:
    holed = next(picture for picture in pictures("cheaper") if picture.name == "notes")
    whole = next(picture for picture in pictures("sound") if picture.name == "notes")
    assert ">gap<" in holed.svg and ">gap<" not in whole.svg
    assert "among voices and guitars, some notes are played well by no speaker" in holed.caption


def test_bands_are_joined_and_gaps_taken_out() -> None:
    assert joined([(10.0, 80.0), (75.0, 400.0), (405.0, 30_000.0)]) == [(20.0, 20_000.0)]
    assert without([(20.0, 20_000.0)], [(100.0, 100.5), (2900.0, 3800.0)]) == [(20.0, 2900.0), (3800.0, 20_000.0)]
    assert joined([]) == [] and without([], [(1.0, 2.0)]) == []


# -- the command -----------------------------------------------------------------------------------------------------


def run(*arguments: str | Path, **more: Any) -> Any:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], **more)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_prints_plain_text_and_writes_pages_with_pictures() -> None:
    result = run("brief", path_of("sound"), "--against", path_of("cheaper"), "-o", "x.md", "-o", "x.html")
    assert result.exit_code == 0 and "\x1b" not in result.output
    assert all(len(line) <= 88 for line in result.stdout.splitlines())
    linked = re.findall(r"\]\((.*?\.svg)\)", Path("x.md").read_text(encoding="utf-8"))
    assert linked == [f"x-{name}.svg" for name in ("places", "notes", "money", "notes-other", "money-other")]
    assert all(Path(name).exists() for name in linked)
    page = Path("x.html").read_text(encoding="utf-8")
    assert page.count("<svg") == 5 and "goes-here" not in page


def test_a_faulty_job_is_no_failure_and_an_unusable_file_is_2() -> None:
    assert run("brief", path_of("faults")).exit_code == 0
    assert run("brief", "nowhere.yaml").exit_code == 2
    assert run("brief", path_of("sound"), "--against", "nowhere.yaml").exit_code == 2
    assert run("brief", path_of("sound"), "-o", "x.pdf").exit_code == 2
    assert list(Path().iterdir()) == []


def test_nothing_a_user_wrote_becomes_markup_or_moves_a_cursor() -> None:
    evil = '"a\\e[2Jb \\u202e <script>alert(1)</script> | `x` [y](z)"'
    place = f"{{title: {evil}, zone: front, hole_mm: 20, depth_mm: 10, behind: cavity}}"
    ways = f"ways:\n  mid: {{driver: {{size_in: 3, cutout_mm: 70}}, at: {place}, plays: [400 LR24, open]}}\n"
    job = f"advisor: 1\njob: {evil}\nvehicle: {{title: {evil}}}\ncustomer: {{keep: [{evil}]}}\n{ways}"
    Path("job.yaml").write_text(job, encoding="utf-8")
    said = run("brief", "job.yaml", "-o", "x.md", "-o", "x.html", color=True, env={"NO_COLOR": "1"}).stdout
    assert "[2Jb" in said and all(letter.isprintable() or letter == "\n" for letter in said)
    assert "<script>" not in Path("x.html").read_text(encoding="utf-8")
    assert "<script>" not in Path("x.md").read_text(encoding="utf-8")


def test_the_same_job_on_the_same_day_gives_the_same_brief() -> None:
    again = brief(review_job(path_of("sound"), "examples/jobs/sound.yaml", TODAY))
    assert unstyle(brief_text(again)) == text("sound")


def test_whoever_sits_at_the_second_seat_is_told_for_whom_the_middle_is_set() -> None:
    said = "The stage is set for the first seat you named. On the other one the music comes from the nearer side"
    assert said in " ".join(text("sound").split())
    data = Path(path_of("sound")).read_text(encoding="utf-8")
    alone = re.sub(r"seats: \[driver, passenger\]", "seats: [driver]", data)
    assert alone != data
    Path("job.yaml").write_text(alone.replace("../library", str(path_of("sound").parent.parent / "library")), "utf-8")
    assert "first seat you named" not in " ".join(run("brief", "job.yaml").stdout.split())
