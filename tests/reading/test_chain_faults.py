"""A chain that cannot be built is refused at the line that says so."""

from __future__ import annotations

import pytest

from advisor.chain.build import build_chain
from advisor.shipped import rules_folder


def refusal(desk):
    return desk.fault(lambda: build_chain(desk.read()))


@pytest.mark.parametrize(
    ("feed", "words"),
    [
        ("front.0", "counts outputs from 0"),
        ("front.0+1", "counts outputs from 0"),
        ("nobody.1", "the chain has no 'nobody'"),
        ("front", "is a whole amplifier"),
        ("front.low", "its outputs are numbered"),
        ("front.2+2", "bridges what cannot be bridged"),
        ("brain.1", "is no speaker-level output"),
        ("brain.1+2", "bridges what cannot be bridged"),
    ],
)
def test_an_output_that_is_not_there_is_refused(desk, feed, words):
    desk.change("[front.1, front.2]", feed)
    fault = refusal(desk)
    assert words in fault.what
    assert (fault.line, fault.where) == (10, "ways.mid.from")


@pytest.mark.parametrize("port", ["split", "split.1", "split.hihg", "split.low+high"])
def test_an_output_that_a_network_has_not_is_refused(desk, port):
    desk.change("ways:", "  split: {network: auto, from: [front.1, front.2]}\nways:")
    desk.change("from: [front.1, front.2], plays", f"from: {port}, plays")
    if "+" in port:  # no way to write it
        assert desk.fault().where == "ways.mid.from"
        return
    fault = refusal(desk)
    assert fault.what.startswith("the network has no output")
    assert fault.way_out == "write one of split.low, split.mid, split.high"


@pytest.mark.parametrize(
    ("screen", "circle"), [("from: brain", "brain"), ("from: screen", "screen"), ("from: front.1", "front")]
)
def test_a_chain_that_feeds_itself_is_refused(desk, screen, circle):
    desk.change("source: SCR", f"source: SCR, {screen}")
    fault = refusal(desk)
    assert "the chain runs in a circle" in fault.what
    assert circle in fault.what
    assert 6 <= fault.line <= 8


def test_a_name_used_in_two_roles_is_told_with_both_places(desk):
    desk.change("mid: {", "mid: {driver: MID, at: shelf}\n  mid 2: {")
    assert build_chain(desk.read())  # another name is no trouble
    desk.change("  mid 2: {", "  mid: {")
    fault = refusal(desk)
    assert "'mid' stands here twice (first in line 10)" in fault.what
    assert fault.line == 11


def test_several_chain_faults_are_told_at_once(desk):
    desk.change("[brain.1, brain.2]", "[brain.0, brian.2]")
    desk.change("[front.1, front.2]", "front")
    faults = desk.faults(lambda: build_chain(desk.read()))
    assert [(fault.line, fault.where) for fault in faults] == [
        (8, "chain.front.from"),
        (8, "chain.front.from"),
        (10, "ways.mid.from"),
    ]


def test_a_single_driver_cannot_hang_on_a_network_of_two_sides(desk):
    text = (rules_folder() / "bases" / "base.yaml").read_text(encoding="utf-8")
    desk.write("job.yaml", text.replace("at: dash\n    from: split.high", "at: arch\n    from: split.high"))
    fault = refusal(desk)
    assert fault.where == "ways.tweeter.from"
    assert "the network 'split' serves left and right" in fault.what
