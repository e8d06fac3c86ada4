"""`why` on one screen, in full, and turned round: what would make a fact another."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result

from advisor.chain.build import build_chain
from advisor.cli import main
from advisor.facts.engine import Engine
from advisor.facts.how_to import ways_to
from advisor.reading.reader import read_job
from advisor.reading.shorthand import Edge
from advisor.shipped import rules_folder
from advisor.telling.field_names import ASKED, NAMES
from advisor.telling.why import LINES
from tests.facts.jobs import changed, value, written
from tests.telling.examples import JOBS, path_of


def why(job: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["why", str(job), *arguments])


ADDRESSES = [
    ("sound", "supply.drop_v"),
    ("sound", "front.thermal_margin_k"),
    ("sound", "job.total_cost"),
    ("sound", "sub.port_velocity_m_s"),
    ("faults", "midwoof left.plays_down_to_hz"),
    ("quick", "midwoof.plays_up_to_hz"),
]


@pytest.mark.parametrize(("job", "address"), ADDRESSES)
def test_it_fits_a_screen_and_says_so_where_more_is_below(job: str, address: str) -> None:
    short, full = why(path_of(job), address), why(path_of(job), address, "--full")
    assert short.exit_code == full.exit_code == 0
    lines = short.stdout.splitlines()
    assert lines[0] == full.stdout.splitlines()[0]
    assert len(lines) <= LINES + 1
    if "made of" in short.stdout:
        assert lines[-1].endswith("--full shows all, with every formula.")
    count = re.match(r"([0-9]+) more stand below", lines[-1])
    told = sum(line.lstrip("│ ").startswith(("├─", "└─")) for line in lines)
    if count:
        below = {line.split("─ ")[-1] for line in full.stdout.splitlines() if "─ " in line}
        assert int(count[1]) > 0 and told + int(count[1]) >= len({line.split("  [")[0] for line in below})


def test_it_says_how_sure_a_number_is_and_through_what() -> None:
    said = " ".join(why(path_of("sound"), "midwoof left.plays_down_to_hz").stdout.split())
    assert re.search(r"± [0-9.]+ Hz \(nineteen of twenty lie nearer\): \w+( \w+)? of it from qts of MW-165B", said)
    data = json.loads(why(path_of("sound"), "midwoof left.plays_down_to_hz", "--json").stdout)
    assert data["doubt"]["causes"][0]["name"] == "MW-165B.qts"
    assert sum(cause["share"] for cause in data["doubt"]["causes"]) == pytest.approx(1)
    assert data["derivation"] and data["basis"] == "measured"


def test_what_is_no_number_has_no_doubt_and_cannot_be_brought_to_one() -> None:
    short = why(path_of("sound"), "midwoof left.mounting")
    assert short.exit_code == 0 and "±" not in short.stdout.split("├─")[0]
    turned = why(path_of("sound"), "midwoof left.mounting", "--how-to", "3")
    assert turned.exit_code == 2 and "no number" in turned.stderr
    assert why(path_of("sound"), "supply.drop_v", "--how-to", "nan").exit_code == 2
    assert why(path_of("sound"), "supply.drop_v", "--how-to", "much").exit_code == 2


# -- how to ------------------------------------------------------------------------------------------------------

TURNED = [
    ("sound", "sub.plays_down_to_hz", 25.0),
    ("sound", "supply.drop_v", 0.25),
    ("sound", "front.thermal_margin_k", 20.0),
    ("sound", "midwoof left.arrival_ms", 2.5),
    ("sound", "midwoof left.low_edge_hz", 90.0),
    ("all-active", "job.total_cost", 5000.0),
]


@pytest.mark.parametrize(("job", "address", "wanted"), TURNED)
def test_each_way_brings_the_fact_to_the_value_by_itself(job: str, address: str, wanted: float) -> None:
    from advisor.facts.numbers import with_number

    engine = Engine(build_chain(read_job(path_of(job))))
    subject, name = engine.find(address)
    ways = ways_to(engine, engine.ask(subject, name), wanted)
    able = [way for way in ways if way.wanted is not None]
    assert able
    for way in able:
        assert way.wanted is not None
        other = engine.what_if({way.reading.key: with_number(way.reading.value, way.path, way.wanted)})
        assert other.ask(subject, name).value == pytest.approx(wanted, rel=2e-3)
    for way in ways[len(able) :]:
        assert way.wanted is None and not way.reaches[0] <= wanted <= way.reaches[1]
    order = ["job", "part", "survey", "shop"]
    assert [order.index(way.group) for way in able] == sorted(order.index(way.group) for way in able)


def test_what_it_says_to_write_is_right_when_written(tmp_path: Path) -> None:
    data = changed()
    job = written(tmp_path, data)
    said = why(job, "supply.drop_v", "--how-to", "0.3").stdout
    run = re.search(r"write supply\.run_m: ([0-9.]+) \(now", said)
    assert run
    data["supply"]["run_m"] = float(run[1])
    assert value(Engine(build_chain(read_job(written(tmp_path, data)))), "supply.drop_v") == pytest.approx(
        0.3, rel=0.01
    )


def test_an_edge_keeps_its_filter() -> None:
    said = why(path_of("sound"), "midwoof left.low_edge_hz", "--how-to", "90").stdout
    assert "write ways.midwoof.plays (low edge): 90 LR24 (now 75 LR24)" in said
    assert Edge.parse("90 LR24").hz == 90


def test_parts_are_told_as_parts_and_surveys_last() -> None:
    said = why(path_of("sound"), "sub.plays_down_to_hz", "--how-to", "25").stdout
    assert re.search(r"a driver with fs_hz of [0-9.]+ Hz \(SB-250: [0-9.]+ Hz\)", said)
    assert "ways.sub.box.tuned_hz (reaches " in " ".join(said.split())


def test_how_to_as_json_has_every_way() -> None:
    data: Any = json.loads(why(path_of("sound"), "job.total_cost", "--how-to", "5500", "--json").stdout)
    assert data["wanted"] == 5500 and len(data["ways"]) > 20
    for way in data["ways"]:
        assert way["place"] and way["group"] in ("job", "part", "survey", "shop")
        assert way["needed"] is None or way["needed"] > 0


def test_what_to_measure_is_called_by_its_name_and_by_its_key() -> None:
    said = " ".join(CliRunner().invoke(main, ["review", str(path_of("faults"))]).stdout.split())
    assert "Measure the resonance of SB-300 first (fs_hz, " in said
    assert "Ask the maker for the temperature of cut-out of AM-4 first (cut_out_c, " in said


def test_names_are_those_of_numbers_that_may_be_off() -> None:
    inputs = yaml.safe_load((rules_folder() / "tolerances.yaml").read_text(encoding="utf-8"))["inputs"]
    assert set(NAMES) <= set(inputs) and set(ASKED) <= set(NAMES)


@pytest.mark.parametrize("job", JOBS)
def test_a_verdict_too_close_names_what_to_measure_first(job: str) -> None:
    data = json.loads(CliRunner().invoke(main, ["review", str(path_of(job)), "--json"]).stdout)
    text = " ".join(CliRunner().invoke(main, ["review", str(path_of(job))]).stdout.split())
    close = [finding for finding in data["findings"] if finding["outcome"] == "too close to call"]
    assert text.count(" of the doubt.") <= len(close)
    for finding in close:
        first = finding["doubt"]["causes"][0]
        assert abs(finding["margin"]) < finding["too_close_within"] == finding["doubt"]["within"]
        assert first["share"] == max(cause["share"] for cause in finding["doubt"]["causes"])
        file, line, _ = first["place"].rsplit(":", 2)
        assert file.endswith(".yaml") and int(line) > 0
    assert bool(close) == (" of the doubt." in text)


def test_a_tolerance_of_its_own_decides(tmp_path: Path) -> None:
    """The same job, the same margin: how sure the value is makes the verdict."""
    found = {}
    for within in ("1 Hz", "30 %"):
        data = changed()
        driver = data["ways"]["tweeter"]["driver"]
        driver["fs_hz"] = {"value": driver["fs_hz"], "within": within}
        result = CliRunner().invoke(main, ["review", str(written(tmp_path, data)), "--json"])
        found[within] = {
            finding["outcome"]
            for finding in json.loads(result.stdout)["findings"]
            if finding["rule"] == "tweeter-is-crossed-well-above-its-resonance" and finding["at"].startswith("tweeter")
        }
    assert found == {"1 Hz": {"holds"}, "30 %": {"too close to call"}}
    assert yaml.safe_load(written(tmp_path, data).read_text())["ways"]["tweeter"]["driver"]["fs_hz"]["within"] == "30 %"
