"""No number of a report stands for itself: each is a reading with a derivation, a limit, a count, or was written."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

import advisor.reading.reader
from advisor.cli import main
from advisor.facts.assumed import assumptions
from advisor.facts.reading import BASES, Missing, NotDefined, Reading
from advisor.judging.finding import Finding
from advisor.judging.formats import FILTERS, with_unit
from advisor.judging.review import Review
from advisor.telling.doubt import name_of
from advisor.telling.figures import tables
from advisor.telling.groups import tell
from tests.telling.examples import JOBS, ROOT, path_of, pictures, reviewed, without_ways_out

PLACE = re.compile(r"[^\s;(]+\.yaml:[0-9]+:[0-9]+")
LINK = re.compile(r"\]\([^)]*\.svg\)")
TAG = re.compile(r"{%.*?%}|{{.*?}}", re.DOTALL)
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def plain_text(markdown_line: str) -> str:
    """A line of Markdown as it is read: without escapes, places and files of pictures."""
    return LINK.sub("]", PLACE.sub("", re.sub(r"\\([^\w\s])", r"\1", markdown_line)))


def rest_of(line: str, pieces: Iterable[str]) -> str:
    """Take out of a line whatever is accounted for; what has digits in it afterwards is not."""
    for piece in sorted({" ".join(piece.split()) for piece in pieces if NUMBER.search(piece)}, key=len, reverse=True):
        line = re.sub(rf"(?<![0-9.,]){re.escape(piece)}(?![0-9]|[.,][0-9])", "·", line)
    return line


def unaccounted(line: str, pieces: Iterable[str]) -> list[str]:
    return NUMBER.findall(rest_of(plain_text(line), pieces))


# -- what accounts for a number ---------------------------------------------------------------------------------


@cache
def names(job: str) -> tuple[str, ...]:
    """Names of subjects and codes of parts: no numbers, though digits stand in them."""
    review = reviewed(job)
    codes = [one.code for one in (*review.system.devices.values(), *review.system.ways.values())]
    return (review.system.job.job, *(subject.name for subject in review.chain.subjects), *codes)


def shown(value: Any, unit: str, currency: str) -> Iterator[str]:
    """Every way a value may be written: with its unit, by a filter of the rules, or as a word."""
    yield with_unit(value, unit)
    if unit == "money":
        yield f"{FILTERS['money'](value)} {currency}"
    for write in FILTERS.values():
        try:
            yield write(value)
        except (TypeError, ValueError):  # a filter of another kind of value
            continue
    if isinstance(value, str):
        yield value


def accounted(finding: Finding, currency: str) -> Iterator[str]:
    """What the sentences of a finding may say in digits."""
    for reading in finding.readings:
        yield from shown(reading.value, reading.unit, currency)
        for below in reading.assumptions():
            yield from shown(below.value, below.unit, currency)
    for limit in finding.rule.limits.values():
        yield from shown(limit.value, "", currency)
    if finding.measured:
        yield from shown(finding.measured.left, finding.measured.unit, currency)
        yield from shown(finding.measured.right, finding.measured.unit, currency)
        yield with_unit(finding.measured.within, finding.measured.unit)
        if finding.measured.doubt and (first := finding.measured.doubt.first):
            yield name_of(first.input)
            yield first.input.reading.place


def own_words(template: str) -> Iterator[str]:
    """The numbers of a rule's sentence that are part of the sentence (`6 dB down`), each with what follows it."""
    for words in TAG.split(template):
        yield from re.findall(r"[0-9]+(?:\.[0-9]+)?(?:\S*\s+\S+)?", " ".join(words.split()))


# -- the report, part by part ------------------------------------------------------------------------------------


def parts(text: str) -> dict[str, list[str]]:
    """The lines under each heading of second level; what stands before the first is under ''."""
    found: dict[str, list[str]] = {"": []}
    heading = ""
    for line in text.splitlines():
        if line.startswith("## "):
            heading = line[3:]
            assert heading not in found
            found[heading] = []
        elif line.strip():
            found[heading].append(line)
    return found


NOT_FINDINGS = {"", "Bands", "Figures", "Checked and held", "Assumed", "Changed by the shop", "Cautions"}


def findings_of(lines: list[str]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for line in lines:
        if heading := re.match(r"### ([0-9]+)\. ", line):
            number = int(heading[1])
            assert number not in found
            found[number] = [line[heading.end() :]]
        elif found:
            found[number].append(line)
    return found


@pytest.mark.parametrize("job", JOBS)
def test_verdict_counts_what_is_listed(job: str) -> None:
    report = parts(without_ways_out(job))
    verdict = next(line for line in report[""] if line.startswith("**"))
    counted = {
        r"([0-9]+) things? must be fixed": "Must be fixed",
        r"([0-9]+) trade-offs?": "Trade-offs",
        r"([0-9]+) tips?": "Tips",
        r"([0-9]+) too close to call": "Too close to call",
        r"([0-9]+) cannot be told": "Cannot be told",
        r"([0-9]+) waived": "Waived",
    }
    for pattern, heading in counted.items():
        said = re.search(pattern, verdict)
        listed = sum(line.startswith("### ") for line in report.get(heading, []))
        assert (int(said[1]) if said else 0) == listed, heading
        verdict = re.sub(pattern, "", verdict)
    held = re.search(r"([0-9]+) checks held", verdict)
    assert held and int(held[1]) == len(tell(reviewed(job), "holds", by_numbers=True)) > 0
    assert not NUMBER.search(verdict.replace(held[0], ""))


@pytest.mark.parametrize("job", JOBS)
def test_findings_are_numbered_through_and_say_nothing_unaccounted_for(job: str) -> None:
    review, seen = reviewed(job), 0
    currency = str(review.system.shop.currency)
    for heading, lines in parts(without_ways_out(job)).items():
        if heading in NOT_FINDINGS:
            continue
        for number, block in findings_of(lines).items():
            seen += 1
            assert number == seen
            name, rule = plain_text(block[0]).rsplit(": ", 1)
            subject = name.removesuffix(", left and right")
            listed = {name, subject, *re.split(r", | and ", name)}  # what cannot be told is told once a rule
            found = [
                finding
                for finding in review.findings
                if (finding.rule.name == rule and re.sub(r" (left|right)\b", "", finding.subject.name) in listed)
                or (finding.rule.name == rule and finding.subject.name == name)
            ]
            assert found, block[0]
            pieces = [*names(job)]
            for finding in found:
                pieces += accounted(finding, currency)
                if finding.waiver:
                    pieces += [str(finding.waiver.specs["spec"].until), finding.waiver.specs["spec"].reason]  # type: ignore[attr-defined]
                for template in (finding.rule.says, finding.rule.because, finding.rule.to_customer):
                    pieces += own_words(template)
            for line in block[1:]:
                if not line.startswith("Source: "):
                    assert not unaccounted(line, pieces), line


@pytest.mark.parametrize("job", JOBS)
def test_figures_are_readings(job: str) -> None:
    lines = parts(without_ways_out(job))["Figures"]
    drawn = tables(reviewed(job))
    asked = [line for line in lines if line.startswith("| fact |")]
    assert [re.findall(r"`(\w+)`", line) for line in asked] == [list(table.names) for table in drawn]
    heads = [line.strip("| ").split(" | ") for line in lines if line.startswith("| |")]
    assert heads == [list(table.columns) for table in drawn]
    rows = {line.split(" | ")[0].removeprefix("| "): line for line in lines if line.startswith("| ")}
    for table in drawn:
        for name, cells in table.rows:
            told = [cell.strip() for cell in plain_text(rows[name]).strip("|").split("|")]
            assert told == [name, *(cell.text for cell in cells)]
            for fact, cell in zip(table.names, cells, strict=True):
                check_cell(reviewed(job), name, fact, cell.text, cell.reading)
    for line in lines:
        if not line.startswith("| "):
            assert not unaccounted(line, names(job)), line


def check_cell(review: Review, subject: str, fact: str, text: str, reading: Reading | None) -> None:
    if reading is None:
        assert text in ("–", "not known")
        with pytest.raises((Missing, NotDefined)):
            review.engine.ask(*review.engine.find(f"{subject}.{fact}"))
        return
    assert reading.name == f"{subject}.{fact}"
    asterisk = text.endswith(" *")
    assert asterisk == (reading.basis == "rule of thumb") == bool(reading.assumptions() or estimated(reading))
    assert text.removesuffix(" *") in list(shown(reading.value, reading.unit, str(review.system.shop.currency)))


def estimated(reading: Reading) -> bool:
    return any(below.kind == "given" and below.basis == "rule of thumb" for below in reading.walk())


@pytest.mark.parametrize("job", JOBS)
def test_what_held_is_told_by_its_own_numbers(job: str) -> None:
    review = reviewed(job)
    lines = parts(without_ways_out(job))["Checked and held"]
    told = {re.match(r"- \*\*(.*?)\*\*: ", line)[1]: line for line in lines}  # type: ignore[index]
    held = {finding.rule.name for finding in review.of("holds")}
    assert set(told) == held
    for rule, line in told.items():
        pieces = [*names(job)]
        for finding in review.of("holds"):
            if finding.rule.name == rule:
                pieces += accounted(finding, str(review.system.shop.currency))
        assert not unaccounted(line, pieces), line


@pytest.mark.parametrize("job", JOBS)
def test_pictures_say_facts_and_what_the_job_says(job: str) -> None:
    review = reviewed(job)
    written = re.sub(r"#.*", "", path_of(job).read_text(encoding="utf-8"))
    pieces = [*names(job), *NUMBER.findall(written)]
    for subject in (*review.chain.of_kind("driver"), *review.chain.of_kind("crossing")):
        for (kind, name), fact in review.engine.facts.items():
            if kind != subject.kind or fact.unit not in ("Hz", "octaves", "dB") or fact.hidden:
                continue
            try:
                text = with_unit(review.engine.ask(subject, name).value, fact.unit)
            except (Missing, NotDefined):
                continue
            pieces += [text, text.split(" ")[0]]
    for picture in pictures(job):
        if picture.name in ("loudness", "impedance", "network", "excursion", "supply", "heat", "gain", "money"):
            continue  # held by their own tests (charts, power, money): points of curves among them
        for words in (picture.alt, picture.caption):
            assert not unaccounted(words, pieces), words
    for line in (*parts(without_ways_out(job))[""], *parts(without_ways_out(job))["Bands"]):
        if not line.startswith(("# ", "**")):
            assert plain_text(line) in {
                said for p in pictures(job) for said in (" ".join(p.caption.split()), f"![{' '.join(p.alt.split())}]")
            }


@pytest.mark.parametrize("job", JOBS)
def test_assumed_cautions_and_changes_are_those_of_the_rules(job: str) -> None:
    report = parts(without_ways_out(job))
    for line in report.get("Assumed", []):
        rule = next((one for one in assumptions().values() if f"**{one.name.replace('_', ' ')}**" in line), None)
        pieces = (
            [rule.because, rule.source, with_unit(rule.value, rule.unit), rule.name.replace("_", " ")] if rule else []
        )
        assert not unaccounted(line, pieces), line
        assert (rule is None) == (not line.startswith("- "))
        assert rule is None or rule.place in line
    rules = reviewed(job).rules.values()
    cautions = {" ".join(caution.split()) for rule in rules for caution in rule.cautions}
    for line in report["Cautions"]:
        assert plain_text(line).removeprefix("- ") in cautions or not NUMBER.search(line), line
    for line in report.get("Changed by the shop", []):
        said = [limit.by_shop for rule in rules for limit in rule.limits.values()]
        assert not unaccounted(line, said), line


# -- what each reading was made of -------------------------------------------------------------------------------


def told_readings(review: Review) -> dict[tuple[str, ...], Reading]:
    found = {reading.key: reading for finding in review.findings for reading in finding.readings}
    cells = [cell for table in tables(review) for _, row in table.rows for cell in row]
    return found | {cell.reading.key: cell.reading for cell in cells if cell.reading}


@cache
def nodes_of(file: str) -> dict[tuple[int, int], list[yaml.Node]]:
    """Every node of a file by where it begins (a list and its first item may begin at one place)."""
    found: dict[tuple[int, int], list[yaml.Node]] = {}

    def note(node: yaml.Node) -> None:
        found.setdefault((node.start_mark.line + 1, node.start_mark.column + 1), []).append(node)
        if isinstance(node, yaml.MappingNode):
            for _, value in node.value:
                note(value)
        elif isinstance(node, yaml.SequenceNode):
            for item in node.value:
                note(item)

    note(yaml.compose((ROOT / file).read_text(encoding="utf-8"), Loader=yaml.SafeLoader))
    return found


def nodes_at(place: str) -> list[yaml.Node]:
    match = re.fullmatch(r"(.+\.yaml):([0-9]+):([0-9]+)", place)
    assert match, place
    nodes = nodes_of(match[1]).get((int(match[2]), int(match[3])))
    assert nodes, f"nothing begins at {place}"
    return nodes


def says(node: yaml.Node, value: Any) -> bool:
    """Tell whether what is written at a node is that value."""
    if isinstance(value, dict):
        written = node.value if isinstance(node, yaml.MappingNode) else []
        return len(written) == len(value) and all(
            any(says(key, k) and says(item, v) for key, item in written) for k, v in value.items()
        )
    if isinstance(value, tuple | list):
        items = node.value if isinstance(node, yaml.SequenceNode) else [node]
        return len(items) == len(value) and all(says(*pair) for pair in zip(items, value, strict=True))
    if not isinstance(node, yaml.ScalarNode):
        return False
    text = " ".join(node.value.split())
    if isinstance(value, bool):
        return text == str(value).lower()
    if isinstance(value, int | float):
        return bool(re.fullmatch(r"-?[0-9.]+(e-?[0-9]+)?", text)) and float(text) == value
    if hasattr(value, "family"):  # an edge of a band
        return text == "open" if value.hz is None else text.split()[0] == f"{value.hz:g}"
    return text == " ".join(str(value).split())


def check_leaf(reading: Reading) -> None:
    if reading.kind == "assumed":
        rule = assumptions()[reading.key[1]]
        assert (reading.value, reading.basis, reading.place) == (rule.value, "rule of thumb", rule.place)
        written = {key.value: value for node in nodes_at(reading.place) for key, value in node.value}
        assert says(written["value"], reading.value) and reading.says and reading.source
    elif reading.kind == "chain":
        assert nodes_at(reading.place)
    elif reading.value == "not given" or reading.place.startswith("default, not written in "):
        holder = nodes_at(reading.place.removeprefix("default, not written in "))
        keys = {key.value for node in holder if isinstance(node, yaml.MappingNode) for key, _ in node.value}
        assert keys and reading.key[-1] not in keys, f"{reading.name} is written in {reading.place}"
    else:
        assert reading.kind == "given"
        assert any(says(node, reading.value) for node in nodes_at(reading.place)), reading


@pytest.mark.parametrize("job", JOBS)
def test_every_reading_goes_back_to_what_was_written_or_assumed(job: str) -> None:
    checked: dict[tuple[str, ...], Reading] = {}
    for reading in told_readings(reviewed(job)).values():
        for below in reading.walk():
            if below.key not in checked:
                checked[below.key] = below
                if below.kind == "fact":
                    assert below.inputs and below.says and below.source, below.name
                    assert below.basis == min((one.basis for one in below.inputs), key=BASES.index)
                else:
                    assert not below.inputs
                    check_leaf(below)
    kinds = {reading.kind for reading in checked.values()}
    assert kinds == {"fact", "given", "assumed", "chain"}
    assert len(checked) > 50


def check_why(job: str, wanted: dict[str, Reading], monkeypatch: pytest.MonkeyPatch) -> None:
    read = advisor.reading.reader.read_job(path_of(job))
    monkeypatch.setattr("advisor.reading.reader.read_job", lambda path: read)  # read once, asked many times
    for name, reading in wanted.items():
        result = CliRunner().invoke(main, ["why", str(path_of(job)), name, "--json"])
        assert result.exit_code == 0, (name, result.output)
        data = json.loads(result.stdout)
        assert (data["name"], data["unit"], data["basis"]) == (name, reading.unit, reading.basis)
        if isinstance(reading.value, float | int | str):
            assert data["value"] == reading.value
        assert "value" in data and data["derivation"]


def facts_told(job: str) -> dict[str, Reading]:
    return {r.name: r for r in told_readings(reviewed(job)).values() if r.kind == "fact"}


@pytest.mark.parametrize("job", JOBS)
def test_why_derives_every_fact_that_a_report_names(job: str, monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = {name: reading for name, reading in facts_told(job).items() if not name.startswith("waiver ")}
    assert len(wanted) > 20
    check_why(job, wanted, monkeypatch)


def test_why_derives_the_facts_of_waivers(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = {name: reading for name, reading in facts_told("faults").items() if name.startswith("waiver ")}
    assert wanted
    check_why("faults", wanted, monkeypatch)
