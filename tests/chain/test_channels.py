"""Channels, processor outputs and links: what hangs on what, and by which kind of cable."""

from __future__ import annotations

import pytest

from tests.facts.jobs import chain, changed, engine, subject, value


def test_a_bridged_pair_is_one_channel(tmp_path):
    data = changed(ways__sub__from="front.3+4")
    made = chain(tmp_path, data)
    pair = subject(made, "channel", "front.3+4")
    assert (pair.own["bridged"], pair.own["number"], pair.own["channels_there"]) == (True, 4, 4)
    assert [driver.name for driver in pair.ties["drivers"]] == ["sub"]
    assert [one.name for one in subject(made, "amplifier", "front").ties["channels"]] == [
        "front.1",
        "front.2",
        "front.3+4",
    ]
    facts = engine(tmp_path, data)
    assert value(facts, "front.3+4.allowed_ohm") == 4
    assert value(facts, "front.3+4.watts") == 220


def test_a_channel_takes_the_bank_it_lies_in(tmp_path):
    banks = [
        {"channels": 2, "watts": {4: 50}, "min_ohm": 4, "filters": ["high-pass"]},
        {"channels": 2, "watts": {4: 120}, "min_ohm": 2},
    ]
    made = chain(tmp_path, changed(chain__front__amplifier__banks=banks, ways__sub__from="front.3"))
    assert subject(made, "channel", "front.3").specs["bank"].min_ohm == 2
    assert subject(made, "channel", "front.1").specs["bank"].min_ohm == 4
    assert "amplifier high-pass" in subject(made, "channel", "front.1").own["makers"]


def test_a_channel_the_amplifier_does_not_have_has_no_bank(tmp_path):
    made = chain(tmp_path, changed(ways__sub__from="low.2"))
    channel = subject(made, "channel", "low.2")
    assert (channel.own["number"], channel.own["channels_there"]) == (2, 1)
    assert "bank" not in channel.specs


def test_a_pair_bridged_past_the_last_channel_has_no_bank(tmp_path):
    assert "bank" not in subject(chain(tmp_path, changed(ways__sub__from="front.4+5")), "channel", "front.4+5").specs


def test_drivers_in_parallel_hang_on_one_channel_once(tmp_path):
    data = changed(ways__midwoof__from="low.1")
    channel = subject(chain(tmp_path, data), "channel", "low.1")
    assert [driver.name for driver in channel.ties["drivers"]] == ["midwoof left", "midwoof right", "sub"]
    assert channel.own["ways"] == ("midwoof", "sub")
    assert value(engine(tmp_path, data), "low.1.load_ohm") == pytest.approx(4 / 3)


def test_ways_behind_a_network_count_as_one_and_load_the_channel_by_the_lowest(tmp_path):
    data = changed(ways__tweeter__driver__impedance_ohm=8)
    channel = subject(chain(tmp_path, data), "channel", "front.1")
    assert channel.own["ways"] == ("split left",)
    assert value(engine(tmp_path, data), "front.1.load_ohm") == 4


def test_an_amplifier_fed_by_a_whole_processor_takes_an_output_for_each_channel(tmp_path):
    made = chain(tmp_path, changed(chain__front__from="brain"))
    assert subject(made, "processor", "brain").own["taken"] == (1, 2, 3, 4, 5)


def test_ports_that_are_listed_are_taken_as_often_as_they_are_listed(tmp_path):
    made = chain(tmp_path, changed(chain__low__from="brain.4"))
    assert subject(made, "processor", "brain").own["taken"] == (1, 2, 3, 4, 4)
    assert value(engine(tmp_path, changed(chain__low__from="brain.4")), "brain.doubled_outputs") == (4,)


def test_links_join_devices_but_no_networks(tmp_path):
    made = chain(tmp_path, changed())
    links = {one.name: one.own["kind"] for one in made.of_kind("link")}
    assert links == {"screen > brain": "optical", "brain > front": "line", "brain > low": "line"}


def test_a_link_knows_what_each_end_has(tmp_path):
    link = subject(chain(tmp_path, changed()), "link", "screen > brain")
    assert (link.own["sender"], link.own["receiver"]) == ("screen", "brain")
    assert (link.own["offered"], link.own["taken"]) == (("optical", "line"), ("optical", "line"))
    assert link.specs["offer"].sample_rate_hz == 48_000
    assert link.specs["take"].sample_rate_hz == 96_000


def test_a_link_nobody_named_is_the_first_kind_both_ends_have(tmp_path):
    made = chain(tmp_path, changed(("chain.brain.over", "chain.brain.processor.inputs.optical")))
    link = subject(made, "link", "screen > brain")
    assert link.own["kind"] == "line"
    assert link.specs["offer"].max_v == 2


def test_a_link_one_end_lacks_has_no_numbers_there(tmp_path):
    link = subject(chain(tmp_path, changed(chain__front__over="optical")), "link", "brain > front")
    assert link.own["kind"] == "optical"
    assert not {"offer", "take"} & set(link.specs)


def test_an_amplifier_fed_at_speaker_level_by_another(tmp_path):
    speaker = {"speaker": {"channels": 1, "min_v": 2, "max_v": 20}}
    data = changed(chain__low__from="front.3", chain__low__amplifier__inputs=speaker)
    link = subject(chain(tmp_path, data), "link", "front > low")
    assert (link.own["kind"], link.own["offered"], link.own["taken"]) == ("speaker", ("speaker",), ("speaker",))


def test_a_link_stands_where_the_feed_was_written(tmp_path):
    link = subject(chain(tmp_path, changed()), "link", "brain > low")
    assert link.origin.dotted == "chain.low.from"


def test_cables_seats_extras_and_waivers_are_subjects_too(tmp_path):
    data = changed(ways__midwoof__speaker_cable={"cable_mm2": 2.5, "run_m": 3}, customer__seats=["driver", "passenger"])
    data["waive"] = [
        {"rule": "way-fits-its-hole", "at": "sub", "reason": "a ring", "until": "2030-01-01", "by": "workshop"}
    ]
    made = chain(tmp_path, data)
    assert [one.name for one in made.of_kind("cable")] == ["midwoof left cable", "midwoof right cable"]
    assert subject(made, "cable", "midwoof right cable").ties["driver"].name == "midwoof right"
    assert [one.name for one in made.of_kind("seat")] == ["seat driver", "seat passenger"]
    assert [one.name for one in made.of_kind("waiver")] == ["waiver 1"]
    assert [one.name for one in made.of_kind("supply")] == ["supply"]


def test_a_job_of_ways_alone_has_no_chain(tmp_path):
    data = {"job": "sizes only", "ways": {"mid": {"driver": {"size_in": 3}, "plays": ["200", "open"]}}}
    made = chain(tmp_path, data)
    assert {one.key for one in made.subjects} == {
        *(("job", "job"), ("way", "mid"), ("driver", "mid")),
        ("item", "item mid driver"),
    }
    assert made.of_kind("job")[0].own["has_chain"] is False
