"""Crossings: which ways hand over to which, side by side, and what makes their edges."""

from __future__ import annotations

import pytest

from tests.facts.jobs import chain, changed, subject


def crossings(made) -> list[str]:
    return [one.name for one in made.of_kind("crossing")]


def three_way(**ways):
    """The base with a mid between, every way on channels of its own."""
    mid = {"driver": {"size_in": 3, "impedance_ohm": 4}, "at": "dash", "from": ["front.3", "front.4"]}
    data = changed(("chain.split",), ways__midwoof__plays=["75 LR24", "380 LR24"])
    data["ways"]["midwoof"]["from"] = ["front.1", "front.2"]
    data["ways"]["tweeter"]["from"] = ["brainy.1", "brainy.2"]
    data["chain"]["brainy"] = {**data["chain"]["front"], "from": ["brain.6", "brain.7"]}
    data["ways"]["mid"] = {**mid, "plays": ["380 LR24", "2400 LR12"]}
    data["ways"] |= ways
    return data


def test_a_sub_hands_over_to_both_doors_and_each_door_to_its_tweeter(tmp_path):
    assert crossings(chain(tmp_path, changed())) == [
        "midwoof/tweeter left",
        "midwoof/tweeter right",
        "sub/midwoof left",
        "sub/midwoof right",
    ]


def test_three_ways_hand_over_one_after_the_other(tmp_path):
    found = set(crossings(chain(tmp_path, three_way())))
    pairs = ("sub/midwoof", "midwoof/mid", "mid/tweeter")
    assert found == {f"{pair} {side}" for pair in pairs for side in ("left", "right")}


def test_a_crossing_knows_both_its_drivers(tmp_path):
    one = subject(chain(tmp_path, changed()), "crossing", "sub/midwoof right")
    assert (one.ties["lower"].name, one.ties["upper"].name) == ("sub", "midwoof right")
    assert one.own == {"side": "right", "passive": False, "one_channel": False}


def test_a_fill_behind_the_listeners_is_nobodys_neighbour_where_the_front_takes_over(tmp_path):
    fill = {"driver": {"size_in": 4, "impedance_ohm": 4}, "from": ["front.3", "front.4"], "plays": ["75 LR24", "open"]}
    data = changed(vehicle__locations__shelf={"zone": "rear", "pair": True})
    data["ways"]["fill"] = {**fill, "at": "shelf"}
    found = crossings(chain(tmp_path, data))
    assert not any("fill" in name for name in found)
    assert "sub/midwoof left" in found


def test_a_fill_in_front_would_be_a_neighbour(tmp_path):
    fill = {"driver": {"size_in": 4, "impedance_ohm": 4}, "from": ["front.3", "front.4"], "plays": ["75 LR24", "open"]}
    data = changed(vehicle__locations__shelf={"zone": "front", "pair": True}, ways__midwoof__plays=["90 LR24", "2400"])
    data["ways"]["fill"] = {**fill, "at": "shelf"}
    assert "sub/fill left" in crossings(chain(tmp_path, data))


def test_a_centre_plays_beside_the_sides_and_does_not_follow_on_them(tmp_path):
    centre = {
        "driver": {"size_in": 3, "impedance_ohm": 4},
        "from": "low.2",
        "at": "middle",
        "plays": ["300 LR24", "open"],
    }
    data = three_way(centre=centre)
    data["vehicle"]["locations"]["middle"] = {"zone": "front"}
    made = chain(tmp_path, data)
    assert subject(made, "driver", "centre").own["side"] == ""
    found = crossings(made)
    assert "midwoof/mid left" in found
    assert not any(name.startswith(("midwoof/centre", "sub/centre")) for name in found)


def test_a_passive_pair_shares_network_and_channel(tmp_path):
    made = chain(tmp_path, changed())
    for side in ("left", "right"):
        one = subject(made, "crossing", f"midwoof/tweeter {side}")
        assert (one.own["passive"], one.own["one_channel"]) == (True, True)
    assert subject(made, "crossing", "sub/midwoof left").own["passive"] is False


def test_two_active_ways_on_one_channel_are_seen_as_such(tmp_path):
    made = chain(tmp_path, changed(ways__midwoof__from="low.1"))
    assert subject(made, "crossing", "sub/midwoof left").own["one_channel"] is True


def makers(made, name: str) -> tuple[str, str]:
    own = subject(made, "driver", name).own
    return own["low_edge_maker"], own["high_edge_maker"]


def test_edges_between_ways_of_a_network_are_passive_and_the_others_active(tmp_path):
    made = chain(tmp_path, changed())
    assert makers(made, "tweeter left") == ("network", "processor")
    assert makers(made, "midwoof left") == ("processor", "network")
    assert makers(made, "sub") == ("processor", "processor")


def test_the_middle_of_a_three_way_network_has_two_passive_edges(tmp_path):
    data = changed(ways__midwoof__plays=["75 LR24", "380 LR12"])
    mid = {
        "driver": {"size_in": 3, "impedance_ohm": 4},
        "at": "dash",
        "from": "split.mid",
        "plays": ["380 LR12", "2400"],
    }
    data["ways"]["mid"] = mid
    made = chain(tmp_path, data)
    assert makers(made, "mid right") == ("network", "network")
    assert makers(made, "midwoof right") == ("processor", "network")


@pytest.mark.parametrize(
    ("filters", "wanted"),
    [
        ([], ("nothing", "nothing")),
        (["low-pass"], ("nothing", "amplifier")),
        (["high-pass"], ("amplifier", "nothing")),
        (["high-pass", "low-pass"], ("amplifier", "amplifier")),
    ],
)
def test_without_a_processor_the_amplifiers_own_filters_are_left(tmp_path, filters, wanted):
    data = changed(chain__low__from="screen")
    data["chain"]["low"]["amplifier"]["banks"][0]["filters"] = filters
    assert makers(chain(tmp_path, data), "sub") == wanted


def test_a_processor_further_up_makes_edges_too(tmp_path):
    line = {"line": {"channels": 4}}
    data = changed(chain__driver={"interface": {"inputs": line, "outputs": line}, "from": "brain"})
    data["chain"]["low"]["from"] = "driver.1"
    data["chain"]["low"]["amplifier"]["banks"][0]["filters"] = []
    assert makers(chain(tmp_path, data), "sub") == ("processor", "processor")


def test_a_driver_on_the_radio_has_nothing_that_makes_its_edges(tmp_path):
    made = chain(tmp_path, changed(ways__sub__from="screen.1"))
    assert makers(made, "sub") == ("nothing", "nothing")
    assert subject(made, "driver", "sub").own["is_fed"] is True
