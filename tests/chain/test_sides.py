"""Sides: a way at a place with two stands for a left and a right driver, each with its own feed and place."""

from __future__ import annotations

import networkx as nx
import pytest

from advisor.chain.subject import Subject
from advisor.errors import InputError
from tests.facts.jobs import chain, changed, subject


def names(subjects) -> list[str]:
    return [one.name for one in subjects]


def test_a_way_stands_for_the_sides_of_its_place(tmp_path):
    made = chain(tmp_path, changed())
    assert names(made.of_kind("driver")) == ["tweeter left", "tweeter right", "midwoof left", "midwoof right", "sub"]
    way = subject(made, "way", "midwoof")
    assert names(way.ties["drivers"]) == ["midwoof left", "midwoof right"]


def test_a_pair_without_distances_has_sides_too(tmp_path):
    made = chain(tmp_path, changed(vehicle__locations__dash={"pair": True, "zone": "front"}))
    assert names(made.of_kind("driver"))[:2] == ["tweeter left", "tweeter right"]
    assert "reach" not in subject(made, "driver", "tweeter left").specs


def test_without_a_place_two_ports_make_two_sides_and_one_makes_none(tmp_path):
    data = changed(("ways.tweeter.at", "chain.split"), ways__tweeter__from=["front.1", "front.2"])
    data["ways"]["midwoof"] |= {"from": ["front.3", "front.4"]}
    assert names(chain(tmp_path, data).of_kind("driver"))[:2] == ["tweeter left", "tweeter right"]
    data["ways"]["tweeter"]["from"] = "front.1"
    assert names(chain(tmp_path, data).of_kind("driver"))[:1] == ["tweeter"]


def test_each_side_has_its_own_place_reach_and_feed(tmp_path):
    data = changed()
    made, door = chain(tmp_path, data), data["vehicle"]["locations"]["door"]
    left, right = (subject(made, "driver", f"midwoof {side}") for side in ("left", "right"))
    assert (left.ties["location"].name, right.ties["location"].name) == ("door left", "door right")
    assert left.specs["reach"].distance_m == door["left"]["distance_m"]
    assert right.specs["reach"].distance_m == door["right"]["distance_m"]
    assert (left.ties["channel"].name, right.ties["channel"].name) == ("front.1", "front.2")
    assert left.specs["reach"] != right.specs["reach"]
    assert left.specs["part"] is right.specs["part"]


def test_one_port_for_two_sides_feeds_both(tmp_path):
    made = chain(tmp_path, changed(("chain.split",), ways__midwoof__from="front.1", ways__tweeter__from="front.2"))
    assert subject(made, "driver", "midwoof right").ties["channel"].name == "front.1"
    assert names(subject(made, "channel", "front.1").ties["drivers"]) == ["midwoof left", "midwoof right"]


def test_a_network_has_a_box_on_each_side_it_serves(tmp_path):
    made = chain(tmp_path, changed())
    left, right = made.of_kind("network")
    assert (left.name, right.name) == ("split left", "split right")
    assert (left.own["sides_fed"], left.own["sides_served"]) == (2, 2)
    assert names(left.ties["drivers"]) == ["tweeter left", "midwoof left"]
    assert (left.ties["channel"].name, right.ties["channel"].name) == ("front.1", "front.2")
    assert left.ties["location"].name == "dash-end left"


def test_a_network_of_single_ways_is_single(tmp_path):
    data = changed(("ways.tweeter.at", "ways.midwoof.at"), chain__split__from="front.1")
    (network,) = chain(tmp_path, data).of_kind("network")
    assert (network.name, network.own["side"], network.own["sides_served"]) == ("split", "", 1)


def test_a_place_knows_what_it_holds(tmp_path):
    made = chain(tmp_path, changed())
    assert subject(made, "location", "seat-base").own["holds"] == ("brain", "front", "low")
    assert subject(made, "location", "door right").own == {"side": "right", "holds": ("midwoof right",)}


def test_what_came_with_the_vehicle_takes_nothing_away(tmp_path):
    made = chain(tmp_path, changed(chain__screen__at="seat-base"))
    assert "screen" not in subject(made, "location", "seat-base").own["holds"]


@pytest.mark.parametrize("kept", ["tweeter", "midwoof", "sub"])
def test_every_subject_has_a_name_of_its_own_kind(tmp_path, kept):
    made = chain(tmp_path, changed(ways={kept: changed()["ways"][kept]}))
    keys = [one.key for one in made.subjects]
    assert len(set(keys)) == len(keys)
    assert all(isinstance(one, Subject) and one.origin is not None for one in made.subjects)


def test_the_graph_runs_from_the_source_to_every_driver_that_is_fed(tmp_path):
    made = chain(tmp_path, changed())
    assert nx.is_directed_acyclic_graph(made.graph)
    reached = nx.descendants(made.graph, ("source", "screen"))
    assert {one.key for one in made.of_kind("driver")} <= reached


def test_a_driver_nothing_feeds_is_left_to_the_rules(tmp_path):
    made = chain(tmp_path, changed(("ways.sub.from",)))
    sub = subject(made, "driver", "sub")
    assert sub.own["is_fed"] is False
    assert "channel" not in sub.ties


def test_a_driver_behind_a_network_nothing_feeds_is_not_fed(tmp_path):
    made = chain(tmp_path, changed(("chain.split.from",)))
    assert subject(made, "driver", "tweeter left").own["is_fed"] is False


@pytest.mark.parametrize(
    ("change", "what", "way_out"),
    [
        ({"chain__low__from": "brian.5"}, "the chain has no 'brian'", "did you mean 'brain'?"),
        ({"ways__sub__from": "low"}, "'low' is a whole amplifier", "low.1"),
        ({"ways__sub__from": "low.0"}, "counts outputs from 0", "the first output is 1"),
        ({"ways__sub__from": "brain.5"}, "no speaker-level output", ""),
        ({"ways__sub__from": "front.1+1"}, "bridges what cannot be bridged", ""),
        ({"chain__low__from": "brain.5+6"}, "bridges what cannot be bridged", ""),
        ({"chain__low__from": "brain.sub"}, "names an output", "write brain.1"),
        ({"ways__tweeter__from": "split.top"}, "the network has no output 'split.top'", "split.low, split.mid"),
        ({"ways__tweeter__from": "split"}, "the network has no output 'split'", "split.high"),
        ({"chain__brain__from": "front.1"}, "the chain runs in a circle", "a device cannot feed itself"),
        ({"chain__brain__from": "brain.1"}, "the chain runs in a circle: brain > brain", ""),
    ],
)
def test_a_feed_that_cannot_be_is_refused_where_it_stands(tmp_path, change, what, way_out):
    with pytest.raises(InputError) as caught:
        chain(tmp_path, changed(**change))
    (fault,) = caught.value.faults
    assert what in fault.what
    assert way_out in fault.way_out
    assert fault.where.endswith(".from")
    lines = (tmp_path / "job.yaml").read_text(encoding="utf-8").splitlines()
    assert "from:" in lines[fault.line - 1] or lines[fault.line - 1].lstrip().startswith("- ")


def test_places_written_out_stay_apart(tmp_path):
    made = chain(tmp_path, changed(chain__low__at={"zone": "rear"}, ways__sub__at={"zone": "rear", "hole_mm": 300}))
    holding = {one.own["holds"]: one for one in made.of_kind("location")}
    assert holding["low",] is not holding["sub",]
    assert holding["sub",].specs["spec"].hole_mm == 300


def test_a_single_driver_on_a_network_of_two_sides_is_built_or_refused(tmp_path):
    data = changed(("ways.tweeter.at",))
    try:
        made = chain(tmp_path, data)
    except InputError as error:
        assert [fault.file for fault in error.faults] == ["job.yaml"]
    else:
        assert subject(made, "driver", "tweeter").ties["network"].name.startswith("split")
