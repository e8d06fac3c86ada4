"""Every number leads down to what was written, assumed or drawn; every fact is described and used."""

from __future__ import annotations

import ast
import re

import pytest
import yaml

from advisor.facts.assumed import assumptions
from advisor.facts.reading import Reading
from advisor.facts.registry import register
from advisor.judging.expressions import condition_names, sentence_names
from advisor.judging.review import review_job
from advisor.judging.rulebook import load_rulebook
from advisor.reading.quantities import unit_of
from tests.facts.jobs import BASE, EXAMPLES, ROOT, TODAY, everything

PLACE = re.compile(r"(?P<file>[\w/.-]+\.yaml):(?P<line>\d+):(?P<column>\d+)$")
FACTS = [pytest.param(fact, id=f"{kind}.{name}") for (kind, name), fact in register().items()]


@pytest.fixture(scope="module", params=[*EXAMPLES, BASE], ids=lambda path: path.stem)
def readings(request):
    """Every fact of a job that has a value."""
    name = str(request.param.relative_to(ROOT))
    found = everything(review_job(request.param, name, TODAY).engine).values()
    return [reading for reading in found if isinstance(reading, Reading)]


def line_at(place: str) -> tuple[str, int]:
    match = PLACE.search(place)
    assert match, place
    text = (ROOT / match["file"]).read_text(encoding="utf-8").splitlines()[int(match["line"]) - 1]
    column = int(match["column"])
    assert 1 <= column <= len(text)
    return text, column


def test_every_fact_ends_in_what_was_given_assumed_or_drawn(readings):
    assert len(readings) > 50
    ends = {below.kind for reading in readings for below in reading.walk() if not below.inputs}
    assert ends <= {"given", "assumed", "chain"}


def test_every_leaf_says_where_it_stands(readings):
    leaves = {below.key: below for reading in readings for below in reading.walk() if not below.inputs}
    for leaf in leaves.values():
        if leaf.value == "not given" and not leaf.place:  # a whole part of the job that nobody wrote
            continue
        text, column = line_at(leaf.place)
        if leaf.kind == "assumed":
            assert leaf.place.startswith("rules/assumptions.yaml:")
            assert leaf.says
            assert leaf.source
        elif leaf.kind == "given" and isinstance(leaf.value, int | float) and not leaf.place.startswith("default"):
            written = text[column - 1 :].split(",")[0].split("}")[0].split("]")[0].split("#")[0]
            assert yaml.safe_load(written) == leaf.value


def test_a_place_is_only_called_a_default_where_nothing_was_written(readings):
    leaves = {below.key: below for reading in readings for below in reading.walk() if not below.inputs}
    for leaf in leaves.values():
        if leaf.place.startswith("default"):
            _, identity, word = leaf.key
            file, _, path = identity.partition("#")
            here = yaml.safe_load((ROOT / file).read_text(encoding="utf-8"))
            for step in filter(None, path.split(".")):
                here = here[int(step) - 1 if isinstance(here, list) else step]
            assert word.rstrip("_") not in here


def test_every_step_carries_its_words_unit_and_source(readings):
    for reading in {below.key: below for top in readings for below in top.walk()}.values():
        if reading.kind == "fact":
            assert reading.says
            assert reading.source
            fact = register()[reading.key[0], reading.key[-1]]
            assert (reading.unit, reading.source) == (fact.unit, fact.source)


def test_what_a_fact_rests_on_is_listed_once(readings):
    for reading in readings:
        keys = [below.key for below in reading.walk()]
        assert len(set(keys)) == len(keys)
        assert [one.kind for one in reading.assumptions()] == ["assumed"] * len(reading.assumptions())


def test_every_rule_of_thumb_is_leant_on_somewhere():
    sources = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "advisor" / "facts").glob("*.py"))
    assert [name for name in assumptions() if f'"{name}"' not in sources] == []


@pytest.mark.parametrize("fact", FACTS)
def test_a_fact_says_what_it_is_and_who_says_so(fact):
    assert fact.says[0].isupper()
    assert fact.says.rstrip().endswith(".")
    assert fact.source.strip()


NO_UNIT_IN_NAME = {"watts": "W", "minutes_to_protection": "min", "labour_days": "days"}
WORDS_NOT_NUMBERS = {"has_budget"}


@pytest.mark.parametrize("fact", FACTS)
def test_the_unit_is_the_one_the_name_ends_in(fact):
    if fact.name in WORDS_NOT_NUMBERS:
        assert fact.unit == ""
    elif fact.name not in NO_UNIT_IN_NAME:
        assert unit_of(fact.name) == fact.unit
    else:
        assert fact.unit == NO_UNIT_IN_NAME[fact.name]


OFFERED = {
    *("box_resonance_hz", "box_q", "half_power_hz", "plays_down_to_hz", "reference_efficiency", "sensitivity_1w_db"),
    *("arrival_ms", "delay_ms", "load_ohm", "lowest_load_ohm", "loop_mohm", "drop_v"),
    *("parts_cost", "labour_h", "total_cost"),
    *("sum_db", "hole_db", "meets_at_hz", "extension_6db_hz", "off_stage_share_db", "gain_corner_hz"),
    *("parts", "part_loads", "insertion_loss_db", "response_at_edge_db", "motional_peak_ohm", "port_length_mm"),
    *("tenth_power_hz", "unsealed_loss_db"),
    *("current_a", "peak_current_a", "smallest_cable_mm2", "main_fuse_a", "largest_fuse_a", "idle_reserve_a"),
    *("parked_days", "power_w", "dissipation_w", "sink_c", "thermal_margin_k", "minutes_to_protection"),
    *("sensitivity_to_set_v", "hiss_db", "exposure_min"),
    *("lost_percent", "branch_smallest_mm2", "branch_largest_fuse_a", "air_wanted_m3_h", "peaks_from_battery_a"),
    *("sag_costs_w",),
    *("trim_to_set_db", "polarity_to_set", "delay_to_set_ms", "softer_db", "stage_height_deg", "directivity_index_db"),
}
"""Facts that are there to be asked for by name, whether or not a rule reads them."""


def _read_by_rules() -> set[str]:
    names: set[tuple[str, ...]] = set()
    for rule in load_rulebook().values():
        conditions = [side for one in rule.comparisons() for side in (one.left, one.right)]
        conditions += [rule.when] if rule.when else []
        names |= {name for text in conditions for name in condition_names(text)}
        names |= {name for text in (rule.says, rule.because, rule.to_customer) for name in sentence_names(text)}
    return {step for name in names for step in name[1:]}


def _read_by_code() -> set[str]:
    found: set[str] = set()
    for path in (ROOT / "advisor").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute):
                found.add(node.attr)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
                found.add(node.value)
    return found


def test_every_fact_is_used():
    used = OFFERED | _read_by_rules() | _read_by_code()
    assert [f"{kind}.{name}" for kind, name in register() if name not in used] == []
