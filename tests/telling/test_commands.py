"""What the commands promise a shell: exit codes, which text goes where, and files left as they were."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.judging.remedies import Place, WayOut
from advisor.judging.rule import LEVELS as LEVELS_OF_RULES
from advisor.judging.rulebook import load_rulebook
from advisor.judging.trials import Trials
from advisor.telling.ways_out import find_ways_out
from tests.telling.examples import JOBS, ROOT, path_of

RULES = load_rulebook()
FOUND: dict[Any, dict[Place, WayOut]] = {}

CLEAN = """\
advisor: 1
job: One way
ways:
  mid: {driver: {size_in: 3}, plays: [400 LR24, open]}
"""
TRADE_OFF = CLEAN.replace("400 LR24", "60 LR24")


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture(autouse=True)
def ways_out_are_looked_for_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same file has the same ways out however often a command is called; looking for them takes seconds."""

    def once(trials: Trials, levels: Iterable[str] = LEVELS_OF_RULES) -> dict[Place, WayOut]:
        key = (trials.opened.source.lines, trials.opened.name, tuple(levels))
        if key not in FOUND:
            FOUND[key] = find_ways_out(trials, levels)
        return FOUND[key]

    monkeypatch.setattr("advisor.telling.ways_out.find_ways_out", once)


def run(*arguments: str | Path, **more: Any) -> Result:
    """Call a command as a shell would; nothing but an exit code may come out of it, and no traceback."""
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], **more)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code in (0, 1, 2)
    assert "Traceback" not in result.output
    if result.exit_code == 2:
        assert result.stderr.strip()
    return result


def wrote(text: str, name: str = "job.yaml") -> Path:
    path = Path(name)
    path.write_text(text, encoding="utf-8")
    return path


def left_behind() -> set[str]:
    return {path.name for path in Path().iterdir()}


# -- review: exit codes ------------------------------------------------------------------------------------------


LEVELS = ("must", "trade-off", "tip", "cannot tell")


@pytest.mark.parametrize("job", JOBS)
def test_exit_code_follows_fail_on(job: str) -> None:
    found = json.loads(run("review", path_of(job), "--json").stdout)["findings"]
    short = {finding["level"] for finding in found if finding["outcome"] == "falls short"}
    doubtful = any(finding["outcome"] in ("too close to call", "cannot tell") for finding in found)
    for index, level in enumerate(LEVELS):
        fails = bool(short & set(LEVELS[: index + 1])) or (level == "cannot tell" and doubtful)
        assert run("review", path_of(job), "--fail-on", level).exit_code == int(fails), level
    assert run("review", path_of(job)).exit_code == int("must" in short)


@pytest.mark.parametrize(("job", "code"), [("sound", 0), ("all-active", 0), ("faults", 1), ("over-budget", 1)])
def test_exit_code_of_the_examples(job: str, code: int) -> None:
    assert run("review", path_of(job)).exit_code == code


def test_what_cannot_be_told_fails_only_where_asked() -> None:
    job = wrote(CLEAN.replace("driver: {size_in: 3}", "driver: {type: mid}"))
    assert "cannot be told" in run("review", job).stdout
    codes = [run("review", job, "--fail-on", level).exit_code for level in ("must", "trade-off", "tip", "cannot tell")]
    assert codes == [0, 0, 0, 1]


def test_a_trade_off_fails_from_trade_off_on() -> None:
    job = wrote(TRADE_OFF)
    codes = [run("review", job, "--fail-on", level).exit_code for level in ("must", "trade-off", "tip", "cannot tell")]
    assert codes == [0, 1, 1, 1]


@pytest.mark.parametrize("text", ["", "advisor: 1\n", "job: [\n", CLEAN.replace("plays", "plasy"), "\x00"])
def test_a_file_that_cannot_be_used_is_2_and_says_where(text: str) -> None:
    result = run("review", wrote(text))
    assert result.exit_code == 2 and result.stdout == ""
    assert result.stderr.startswith("job.yaml:")


@pytest.mark.parametrize("command", [("review",), ("why",)])
def test_a_job_that_is_not_there_is_2(command: tuple[str, ...]) -> None:
    more = ("mid.low_edge_hz",) if command == ("why",) else ()
    result = run(*command, "nowhere.yaml", *more)
    assert result.exit_code == 2 and "nowhere.yaml" in result.stderr and result.stdout == ""


def test_a_folder_in_place_of_a_job_is_2() -> None:
    Path("folder").mkdir()
    assert run("review", "folder").exit_code == 2


def test_wrong_options_are_2() -> None:
    assert run("review", path_of("sound"), "--fail-on", "everything").exit_code == 2
    assert run("review").exit_code == 2
    assert run("nothing-like-it").exit_code == 2


# -- review: what goes where --------------------------------------------------------------------------------------


def test_findings_go_to_stdout_and_what_was_written_to_stderr() -> None:
    result = run("review", path_of("faults"), "-o", "x.md", "-o", "x.html")
    assert "Must be fixed" in result.stdout and "wrote" not in result.stdout
    wrote = [line.removeprefix("wrote ") for line in result.stderr.splitlines()]
    assert wrote[:3] == ["x-chain.svg", "x-bands.svg", "x-level.svg"] and wrote[-2:] == ["x.md", "x.html"]
    assert left_behind() == set(wrote)
    linked = re.findall(r"\]\((.*?\.svg)\)", Path("x.md").read_text(encoding="utf-8"))
    assert sorted(linked) == sorted(wrote[:-2])


@pytest.mark.parametrize("job", JOBS)
def test_text_is_plain_when_piped_and_no_wider_than_a_hundred(job: str) -> None:
    result = run("review", path_of(job))
    assert "\x1b" not in result.output
    for line in result.stdout.splitlines():
        assert len(line) <= 100 or line.lstrip()[0].isdigit()  # the line of a finding holds its place whole


def test_a_terminal_gets_colours_unless_no_color_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    coloured = run("review", path_of("faults"), color=True).stdout
    assert "\x1b[31m" in coloured
    monkeypatch.setenv("NO_COLOR", "1")
    plain = run("review", path_of("faults"), color=True).stdout
    assert plain == re.sub("\x1b\\[[0-9;]*m", "", coloured)


def test_a_title_cannot_move_the_cursor_or_turn_the_line_round() -> None:
    evil = '"a\\e[2Jb \\u202e \\a c"'
    job = wrote(CLEAN.replace("One way", evil).replace("size_in: 3", f"size_in: 3, title: {evil}"))
    for command in (("review", job), ("why", job, "mid.plays_down_to_hz")):
        said = run(*command, color=True, env={"NO_COLOR": "1"}).stdout
        assert said and all(letter.isprintable() or letter == "\n" for letter in said)
    run("review", job, "-o", "x.md", "-o", "x.html")
    for name in ("x.md", "x.html"):
        said = Path(name).read_text(encoding="utf-8")
        assert "[2Jb" in said and all(letter.isprintable() or letter == "\n" for letter in said)


@pytest.mark.parametrize("job", JOBS)
def test_json_lists_every_finding_held_ones_by_name(job: str) -> None:
    data = json.loads(run("review", path_of(job), "--json").stdout)
    assert data["advisor"] == 1 and data["verdict"].endswith("checks held.")
    outcomes = [finding["outcome"] for finding in data["findings"]]
    assert data["counts"] == {outcome: outcomes.count(outcome) for outcome in set(outcomes)}
    held = [finding for finding in data["findings"] if finding["outcome"] == "holds"]
    assert held and {finding["rule"] for finding in held} <= set(RULES)
    for finding in data["findings"]:
        assert finding["at"] and finding["level"] in ("must", "trade-off", "tip")
        assert ("says" in finding) == (finding["outcome"] in ("falls short", "too close to call", "waived"))
        assert ("why_not" in finding) == (finding["outcome"] in ("cannot tell", "does not apply", "broken"))


def test_the_same_job_is_told_the_same_twice() -> None:
    one, other = (run("review", path_of("faults"), "-o", f"{name}.html") for name in ("a", "b"))
    assert one.stdout == other.stdout
    assert Path("a.html").read_bytes() == Path("b.html").read_bytes()


# -- review: files ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["x.md", "x.html"])
def test_a_report_into_a_folder_that_is_not_there_leaves_nothing(name: str) -> None:
    result = run("review", path_of("sound"), "-o", f"missing/{name}")
    assert result.exit_code == 2 and "cannot be written" in result.stderr and "missing" in result.stderr
    assert left_behind() == set()


def test_a_report_below_what_is_no_folder_leaves_it_as_it_is() -> None:
    Path("file").write_text("mine", encoding="utf-8")
    assert run("review", path_of("sound"), "-o", "file/x.html").exit_code == 2
    assert left_behind() == {"file"} and Path("file").read_text(encoding="utf-8") == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_report_into_a_folder_nobody_may_write_to_leaves_nothing() -> None:
    Path("locked").mkdir(mode=0o500)
    assert run("review", path_of("sound"), "-o", "locked/x.md").exit_code == 2
    assert list(Path("locked").iterdir()) == []


def test_a_report_onto_a_folder_leaves_it_and_nothing_else() -> None:
    Path("x.html").mkdir()
    result = run("review", path_of("sound"), "-o", "x.html")
    assert result.exit_code == 2 and "x.html" in result.stderr
    assert left_behind() == {"x.html"} and list(Path("x.html").iterdir()) == []


@pytest.mark.parametrize("name", ["x.txt", "x", "x.pdf", "x.MD", ".md"])
def test_another_ending_is_refused_before_anything_is_done(name: str) -> None:
    result = run("review", path_of("sound"), "-o", name)
    assert result.exit_code == 2 and result.stdout == "" and ".html" in result.stderr
    assert left_behind() == set()


def test_all_endings_are_looked_at_before_the_first_is_written() -> None:
    assert run("review", path_of("sound"), "-o", "x.md", "-o", "x.txt").exit_code == 2
    assert left_behind() == set()


@pytest.mark.parametrize("name", ["x.md", "x.html"])
def test_a_report_that_was_there_survives_a_write_that_fails(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    Path(name).write_text("what stood here", encoding="utf-8")

    def full(self: Path, target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    result = run("review", path_of("sound"), "-o", name)
    assert result.exit_code == 2 and "No space left on device" in result.stderr
    assert Path(name).read_text(encoding="utf-8") == "what stood here"
    assert left_behind() == {name}


def test_a_report_replaces_the_one_before_it() -> None:
    Path("x.html").write_text("what stood here", encoding="utf-8")
    assert run("review", path_of("sound"), "-o", "x.html").exit_code == 0
    assert Path("x.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert left_behind() == {"x.html"}


# -- why ---------------------------------------------------------------------------------------------------------


def test_why_draws_the_derivation_down_to_places() -> None:
    result = run("why", path_of("faults"), "supply.drop_v")
    assert result.exit_code == 0
    assert re.match(r"supply\.drop_v = [0-9.]+ V  \[rule of thumb\]\n", result.stdout)
    assert re.search(r"faults\.yaml:[0-9]+:[0-9]+\]", result.stdout)
    assert "rules/assumptions.yaml" in result.stdout and "\x1b" not in result.stdout


@pytest.mark.parametrize(
    ("address", "hint"),
    [
        ("midwof left.low_edge_hz", "did you mean 'midwoof left'?"),
        ("midwoof left.low_edge_h", "did you mean 'low_edge_hz'?"),
        ("job.total_cots", "did you mean 'total_cost'?"),
        ("Midwoof Left.low_edge_hz", "did you mean 'midwoof left'?"),
        ("midwoof left", "there is no subject 'midwoof left'"),
        ("", "there is no subject ''"),
        ("...", "there is no subject"),
    ],
)
def test_why_of_what_is_not_there_says_what_may_be_meant(address: str, hint: str) -> None:
    result = run("why", path_of("faults"), address)
    assert result.exit_code == 2 and result.stdout == ""
    assert hint in result.stderr


def test_why_of_what_cannot_be_told_names_what_is_missing() -> None:
    result = run("why", path_of("quick"), "mid.box_q")
    assert result.exit_code == 2 and result.stdout == ""
    assert "cannot be told" in result.stderr and "ways.mid.driver.fs_hz is not given" in result.stderr
    assert re.search(r"quick\.yaml:8:[0-9]+", result.stderr)


def test_why_of_what_is_not_defined_says_so() -> None:
    result = run("why", path_of("quick"), "sub.low_edge_hz")
    assert result.exit_code == 2 and "is not defined here" in result.stderr and result.stdout == ""


# -- rule --------------------------------------------------------------------------------------------------------


def test_rule_lists_every_rule_once() -> None:
    result = run("rule")
    assert result.exit_code == 0
    listed = re.findall(r"^  (\S+)  \(", result.stdout, re.MULTILINE)
    assert sorted(listed) == sorted(RULES)
    assert {rule["rule"] for rule in json.loads(run("rule", "--json").stdout)} == set(listed)


@pytest.mark.parametrize("name", list(RULES))
def test_every_rule_has_a_page(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("advisor.judging.rulebook.load_rulebook", lambda: RULES)  # read once, shown many times
    result = run("rule", name)
    assert result.exit_code == 0 and result.stdout.startswith(f"{name}  (")
    assert "Must hold:" in result.stdout and "Sources:" in result.stdout
    assert "{{" not in result.stdout and "{%" not in result.stdout


def test_rules_as_json_say_what_they_ask_and_why() -> None:
    rules = json.loads(run("rule", "--json").stdout)
    for rule in rules:
        assert rule["asks"] and rule["because"] and rule["sources"] and rule["place"]
    assert json.loads(run("rule", rules[0]["rule"], "--json").stdout) == rules[0]


def test_a_rule_that_is_not_there_is_2_with_what_may_be_meant() -> None:
    result = run("rule", "fuse-protects-cable")
    assert result.exit_code == 2 and result.stdout == ""
    assert "did you mean 'fuse-protects-the-cable'?" in result.stderr


# -- new ---------------------------------------------------------------------------------------------------------

STARTERS = ("job", "part", "vehicle", "rule")


@pytest.mark.parametrize("kind", STARTERS)
def test_new_prints_or_writes_a_starter_with_comments(kind: str) -> None:
    printed = run("new", kind)
    assert printed.exit_code == 0 and printed.stdout.startswith("#") and printed.stderr == ""
    result = run("new", kind, "-o", "starter.yaml")
    assert result.exit_code == 0 and result.stdout == "" and result.stderr == "wrote starter.yaml\n"
    assert Path("starter.yaml").read_text(encoding="utf-8") == printed.stdout


@pytest.mark.parametrize("kind", STARTERS)
def test_new_does_not_overwrite(kind: str) -> None:
    Path("mine.yaml").write_text("mine", encoding="utf-8")
    result = run("new", kind, "-o", "mine.yaml")
    assert result.exit_code == 2 and "stays as it is" in result.stderr
    assert Path("mine.yaml").read_text(encoding="utf-8") == "mine"


def test_new_into_a_folder_that_is_not_there_is_2() -> None:
    assert run("new", "job", "-o", "missing/job.yaml").exit_code == 2
    assert left_behind() == set()


def test_new_of_another_kind_is_2() -> None:
    assert run("new", "amplifier").exit_code == 2


def test_the_starter_of_a_job_can_be_reviewed() -> None:
    run("new", "job", "-o", "job.yaml")
    result = run("review", "job.yaml")
    assert result.exit_code in (0, 1) and "checks held" in result.stdout


# -- the whole ---------------------------------------------------------------------------------------------------


def test_help_and_version_are_there() -> None:
    assert run("--version").stdout.startswith("advisor, version ")
    listed = run("--help").stdout
    for command in ("review", "why", "rule", "new"):
        assert re.search(rf"^  {command} ", listed, re.MULTILINE)
        assert "Usage:" in run(command, "--help").stdout


def test_places_are_told_as_the_job_was_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert "  examples/jobs/faults.yaml:" in run("review", "examples/jobs/faults.yaml").stdout
