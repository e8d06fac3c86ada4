"""Options side by side: every figure a fact, every reason tried for real, every finding that of a review."""

from __future__ import annotations

import functools
import json
import re
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from advisor.chain.build import build_chain
from advisor.cli import main
from advisor.facts.engine import Engine
from advisor.judging.formats import with_unit
from advisor.judging.review import review_job
from advisor.reading.reader import read_job
from advisor.telling.compare.compared import Against, Comparison, Option, compare
from advisor.telling.compare.data import comparison_data
from advisor.telling.compare.figures import FIGURES, worst
from advisor.telling.compare.leaves import Decided, bare, differing
from advisor.telling.compare.page import comparison_page
from advisor.telling.compare.text import change_words, comparison_text
from tests.telling.examples import JOBS, ROOT, TODAY, path_of, reviewed

PAIRS = [("sound", "cheaper"), ("cheaper", "sound"), ("sound", "all-active"), ("all-active", "over-budget")]
FOREIGN = [("quick", "faults"), ("faults", "quick"), ("over-budget", "quick")]


@functools.cache
def against(first: str, second: str) -> Against:
    return Against(Option("A", reviewed(first)), Option("B", reviewed(second)))


@functools.cache
def two() -> Comparison:
    return compare([reviewed("sound"), reviewed("cheaper")])


# -- figures -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("job", JOBS)
def test_every_figure_is_a_fact_of_its_option_as_reports_write_it(job: str) -> None:
    option = Option("A", reviewed(job))
    for figure, value in zip(FIGURES, option.values, strict=True):
        if value.reading is None:
            assert value.text in ("–", "not known") and value.why_not
            continue
        again = option.review.engine.ask(*option.review.engine.find(value.reading.name))
        assert again.value == value.reading.value and value.reading.name.endswith(f".{figure.fact}")
        assert value.text.split(" EUR")[0] == with_unit(again.value, again.unit).removesuffix(" money")


@pytest.mark.parametrize("job", JOBS)
def test_of_several_subjects_the_worst_counts(job: str) -> None:
    engine = reviewed(job).engine
    for figure, value in zip(FIGURES, Option("A", reviewed(job)).values, strict=True):
        if value.reading is not None:
            every = [engine.ask(one, figure.fact).value for one in engine.chain.of_kind(figure.kind)]
            assert value.reading.value == (min(every) if figure.more else max(every))


def test_an_option_against_itself_differs_in_nothing() -> None:
    same = against("sound", "sound")
    assert (same.changes, same.gained, same.lost) == ((), (), ())
    assert "No figure and no finding differs." in comparison_text(compare([reviewed("sound"), reviewed("sound")]))


@pytest.mark.parametrize(("first", "second"), PAIRS + FOREIGN)
def test_a_change_is_told_where_texts_differ_and_with_its_direction(first: str, second: str) -> None:
    found = {change.figure.fact: change for change in against(first, second).changes}
    one, other = against(first, second).first.values, against(first, second).second.values
    for figure, before, after in zip(FIGURES, one, other, strict=True):
        differs = before.reading is not None and after.reading is not None and before.text != after.text
        assert (figure.fact in found) == differs
        if differs:
            change = found[figure.fact]
            assert change.causes, figure.name
            assert change.better == ((after.reading.value > before.reading.value) == figure.more)  # type: ignore[union-attr]


# -- why -------------------------------------------------------------------------------------------------------------


def test_the_box_is_named_as_the_reason_for_less_bass() -> None:
    change = next(one for one in two().others[0].changes if one.figure.fact == "extension_6db_hz")
    assert change.causes[0].words == "the box of the sub is 14 L closed instead of 36 L vented and tuned to 32 Hz"
    said = change_words(change, two().others[0])
    assert said.startswith(f"Bass reaches down to, without that lift: {change.second.text} instead of")
    assert "(worse), because the box of the sub is 14 L closed" in said


def test_the_mid_that_is_left_out_is_named_as_the_reason_for_the_hole() -> None:
    change = next(one for one in two().others[0].changes if one.figure.fact == "widest_hole_octaves")
    assert any(cause.words.startswith("the mid (M-80A") and cause.words.endswith("left out") for cause in change.causes)


def written(tmp_path: Path, edit: dict[str, Any]) -> Path:
    """Write the sound job anew with some of it changed, as its owner would in an editor."""
    data = yaml.safe_load(path_of("sound").read_text(encoding="utf-8"))
    data["library"] = [str(ROOT / "examples" / "library")]
    for path, value in edit.items():
        here = data
        *steps, last = path.split(".")
        for step in steps:
            here = here[step]
        if value is None:
            del here[last]
        else:
            here[last] = value
    path = tmp_path / "edited.yaml"
    path.write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    return path


EDITS = {
    "the box of the sub": {"ways.sub.box": {"closed_l": 14, "price": 0, "fit_h": 0}},
    "the sub is SB-200": {"ways.sub.driver": "SB-200"},
    "the sub plays": {"ways.sub.plays": ["open", "80 LR24"]},
    "the midwoof plays": {"ways.midwoof.plays": ["80 LR24", "3800 LR12"]},
    "the mid (": {"ways.mid": None},
    "the ambience (": {"ways.ambience": None},
}


def test_what_a_reason_makes_alone_is_what_the_edited_file_gives(tmp_path: Path) -> None:
    tried = set()
    for change in two().others[0].changes:
        for cause in change.causes:
            start = next((start for start in EDITS if cause.words.startswith(start)), None)
            if cause.alone is None or start is None:
                continue
            engine = Engine(build_chain(read_job(written(tmp_path, EDITS[start]))))
            assert worst(engine, change.figure).value == pytest.approx(cause.alone.value, rel=1e-12), cause.words
            tried.add(start)
    assert tried == set(EDITS)


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_a_reason_moves_its_figure_the_way_it_says(first: str, second: str) -> None:
    for change in against(first, second).changes:
        assert change.first.reading and change.second.reading
        whole = change.second.reading.value - change.first.reading.value
        for cause in change.causes:
            if cause.alone is not None:
                share = (cause.alone.value - change.first.reading.value) / whole
                least = 0.05 if change.figure.fact in ("total_cost", "booked_days") else 0.1
                assert abs(share) >= least and (share < 0) == cause.against, cause.words


@pytest.mark.parametrize(("first", "second"), PAIRS + FOREIGN)
def test_leaves_that_differ_are_given_values_that_differ(first: str, second: str) -> None:
    for change in against(first, second).changes:
        assert change.first.reading and change.second.reading
        for item in differing(change.first.reading, change.second.reading):
            if isinstance(item, Decided):
                assert bare(item.here.key[1]) != bare(item.there.key[1])
            elif item.here and item.there:
                assert item.here.value != item.there.value and not item.here.inputs
            else:
                assert item.here or item.there


# -- findings --------------------------------------------------------------------------------------------------------


def identities(job: str) -> set[tuple[str, str, str]]:
    wanted = ("broken", "falls short", "too close to call", "cannot tell")
    return {
        (one.outcome, one.rule.name, "" if one.outcome == "cannot tell" else bare(one.subject.name))
        for one in reviewed(job).findings
        if one.outcome in wanted
    }


@pytest.mark.parametrize(("first", "second"), list(permutations(JOBS, 2)))
def test_what_is_gained_and_lost_is_the_difference_of_two_reviews(first: str, second: str) -> None:
    told = against(first, second)
    for entries, difference in (
        (told.gained, identities(second) - identities(first)),
        (told.lost, identities(first) - identities(second)),
    ):
        found = {(one.outcome, one.rule, "" if one.outcome == "cannot tell" else one.where) for one in entries}
        assert found == difference
        assert len(entries) == len(found) and all(one.says for one in entries)


# -- as text, page and data ------------------------------------------------------------------------------------------


def run(*arguments: str | Path, **more: Any) -> Any:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], **more)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_six_options_at_once_and_plain_when_piped() -> None:
    jobs = [path_of(job) for job in JOBS[:6]]
    result = run("compare", *jobs)
    assert result.exit_code == 0 and "\x1b" not in result.output
    lines = result.stdout.splitlines()
    table = next(index for index, line in enumerate(lines) if line.startswith("Figures"))
    assert all(len(line) <= 100 for line in lines[:table] + lines[table + 1 + len(FIGURES) :])
    for letter in "BCDEF"[: len(jobs) - 1]:
        assert f"{letter} against A" in result.stdout


@pytest.mark.parametrize("count", [0, 1, 7])
def test_fewer_than_two_and_more_than_six_are_2(count: int) -> None:
    assert run("compare", *[path_of("sound")] * count).exit_code == 2


def test_a_file_that_cannot_be_used_is_2_and_nothing_is_written() -> None:
    assert run("compare", path_of("sound"), "nowhere.yaml", "-o", "x.md").exit_code == 2
    assert run("compare", path_of("sound"), path_of("cheaper"), "-o", "x.pdf").exit_code == 2
    assert list(Path().iterdir()) == []


def test_files_are_written_with_their_chart() -> None:
    result = run("compare", path_of("sound"), path_of("cheaper"), "-o", "x.md", "-o", "x.html")
    assert result.exit_code == 0
    assert result.stderr.splitlines() == ["wrote x-options.svg", "wrote x.md", "wrote x.html"]
    assert re.findall(r"\]\((.*?\.svg)\)", Path("x.md").read_text(encoding="utf-8")) == ["x-options.svg"]
    page = Path("x.html").read_text(encoding="utf-8")
    assert page.count("<svg") == 1 and "http" not in re.sub(r'xmlns(:xlink)?="[^"]*"', "", page)


def test_data_hold_what_the_text_says() -> None:
    data = json.loads(run("compare", path_of("sound"), path_of("cheaper"), "--json").stdout)
    assert [option["letter"] for option in data["options"]] == ["A", "B"]
    expected = json.loads(json.dumps(comparison_data(two())))
    assert [change["figure"] for change in data["against_the_first"][0]["changes"]] == [
        change["figure"] for change in expected["against_the_first"][0]["changes"]
    ]
    text = comparison_text(two())
    for option in expected["options"]:
        for figure in option["figures"]:
            assert figure["text"] in text and figure["figure"] in text


def test_the_chart_reads_in_grey_and_is_drawn_the_same_twice() -> None:
    first, second = (comparison_page(two()).pictures[0] for _ in range(2))
    assert first == second
    for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})\b", first.svg):
        assert red == green == blue
    for option in two().options:
        for value in option.values:
            assert value.text in first.svg and value.text in first.alt


def test_nothing_a_user_wrote_moves_a_cursor_or_becomes_markup() -> None:
    evil = '"a\\e[2Jb <script>alert(1)</script> | `x` [y](z)"'
    mid = f"{{driver: {{size_in: 3, title: {evil}}}, plays: [400 LR24, open]}}"
    text = f"advisor: 1\njob: {evil}\nways:\n  mid: {mid}\n"
    Path("one.yaml").write_text(text, encoding="utf-8")
    Path("two.yaml").write_text(text.replace("size_in: 3", "size_in: 5"), encoding="utf-8")
    said = run(
        "compare", "one.yaml", "two.yaml", "-o", "x.html", "-o", "x.md", color=True, env={"NO_COLOR": "1"}
    ).stdout
    assert all(letter.isprintable() or letter == "\n" for letter in said)
    assert "<script>" not in Path("x.html").read_text(encoding="utf-8")
    assert "\\<script\\>" in Path("x.md").read_text(encoding="utf-8")


def test_reviews_are_not_touched_by_being_compared() -> None:
    before = review_job(path_of("sound"), "sound", TODAY)
    against("sound", "cheaper").changes  # noqa: B018
    after = review_job(path_of("sound"), "sound", TODAY)
    assert [(one.outcome, one.says) for one in before.findings] == [(one.outcome, one.says) for one in after.findings]
