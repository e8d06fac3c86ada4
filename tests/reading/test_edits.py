"""Edits of a job's data: made on a copy, and written so that they read back."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from advisor.reading.edits import REMOVED, Edit, edited, flow
from advisor.reading.source import read_source

DATA = {
    "ways": {"sub": {"plays": ["28 BW24", "80 LR24"], "box": {"closed_l": 25}}},
    "waive": [{"rule": "a"}, {"rule": "b"}],
}
LEAVES = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=12) | st.integers(-999, 999)


def test_an_edit_changes_a_copy_and_nothing_else():
    before = yaml.safe_load(yaml.safe_dump(DATA))
    after = edited(DATA, [Edit(("ways", "sub", "box", "closed_l"), 30)])
    assert after["ways"]["sub"] == {"plays": ["28 BW24", "80 LR24"], "box": {"closed_l": 30}}
    assert before == DATA
    assert after["waive"] is DATA["waive"]


def test_an_edit_may_add_a_key_and_the_mapping_it_stands_in():
    after = edited(DATA, [Edit(("supply", "fuse_a"), 80)])
    assert after["supply"] == {"fuse_a": 80}


def test_edits_are_made_one_after_the_other():
    edits = [Edit(("waive", 0), REMOVED), Edit(("waive", 0, "rule"), "c"), Edit(("ways", "sub", "box"), REMOVED)]
    after = edited(DATA, edits)
    assert after["waive"] == [{"rule": "c"}]
    assert list(after["ways"]["sub"]) == ["plays"]


@pytest.mark.parametrize("path", [("waive", 7), ("ways", "sub", "fan")])
def test_what_is_not_there_cannot_be_taken_out(path):
    with pytest.raises((KeyError, IndexError)):
        edited(DATA, [Edit(path, REMOVED)])


def test_an_edit_says_what_to_write():
    assert str(Edit(("ways", "sub", "plays"), ["28 BW24", "95 LR24"])) == "ways.sub.plays: [28 BW24, 95 LR24]"
    assert str(Edit(("waive", 0), REMOVED)) == "take out waive.1"
    assert str(Edit(("supply", "fuse_a"), 80)) == "supply.fuse_a: 80"


@given(st.recursive(LEAVES, lambda inner: st.lists(inner, max_size=3), max_leaves=6))
def test_what_is_told_to_be_written_reads_back(tmp_path_factory, value):
    path = tmp_path_factory.mktemp("edit") / "value.yaml"
    path.write_text(f"value: {flow(value)}\n", encoding="utf-8")
    assert read_source(path).data["value"] == value
