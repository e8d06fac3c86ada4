"""Pads: designed where the upper way is louder, asked for by the job, found in what a ready-made network lists."""

from __future__ import annotations

import re

import numpy as np
import pytest

from advisor.chain.build import build_chain
from advisor.errors import InputError
from advisor.reading.reader import read_job
from tests.facts.jobs import changed, engine, value, written
from tests.facts.test_network_facts import resistor
from tests.printed import printed

PAD = "constant-impedance pad, handbook (from memory)"


def pair(tmp_path, ohm=4.0, tweeter_db=90.0, midwoof_db=90.0, **places):
    """A tweeter and a midwoof that are plain resistors, with the sensitivities their sheets say."""
    low = {key: number for key, number in resistor(ohm).items() if key not in ("fs_hz", "qts", "qes", "qms")}
    small = {"fs_hz": 1, "qts": 1e-6, "qes": 1, "qms": 1e-6, "vas_l": None}
    return engine(
        tmp_path,
        changed(
            ways__tweeter__driver={**low, **small, "type": "tweeter", "size_mm": 25, "sensitivity_db": tweeter_db},
            ways__midwoof__driver={**low, **small, "type": "midwoof", "size_mm": 165, "sensitivity_db": midwoof_db},
            **places,
        ),
    )


def resistors(made):
    listed = [part for part in value(made, "split left.parts") if "resistor" in part]
    return [float(re.search(r"\(([\d.]+) Ω\)", part)[1]) for part in listed]


@pytest.mark.parametrize(
    ("ohm", "drop", "series", "parallel"),
    [(8, 6, "3.991", "8.038"), (8, 3, "2.336", "19.39"), (4, 3, "1.168", "9.696")],
)
def test_the_resistors_are_those_of_the_handbook(tmp_path, ohm, drop, series, parallel):
    found = resistors(pair(tmp_path, ohm, chain__split__pad_db={"high": drop}))
    # the list of parts writes three digits
    assert printed(series, source=PAD, share=2.5e-3) == found[0]
    assert printed(parallel, source=PAD, share=2.5e-3) == found[1]


def test_a_louder_tweeter_is_turned_down_by_what_it_is_louder(tmp_path):
    made = pair(tmp_path, tweeter_db=93.0, midwoof_db=90.0)
    assert value(made, "tweeter left.pad_db") == pytest.approx(3.0)
    assert value(made, "midwoof left.pad_db") == 0
    assert printed("1.168", source=PAD, share=5e-3) == resistors(made)[0]


@pytest.mark.parametrize(("tweeter_db", "midwoof_db"), [(91.0, 90.0), (88.0, 92.0)])
def test_a_little_louder_or_softer_is_left_alone(tmp_path, tweeter_db, midwoof_db):
    made = pair(tmp_path, tweeter_db=tweeter_db, midwoof_db=midwoof_db)
    assert value(made, "tweeter left.pad_db") == 0
    assert resistors(made) == []


def test_where_nobody_says_how_loud_they_are_no_pad_is_made(tmp_path):
    made = pair(tmp_path, tweeter_db=96.0, midwoof_db=None)
    assert resistors(made) == []


def test_what_the_job_asks_for_goes_before_what_would_be_designed(tmp_path):
    made = pair(tmp_path, tweeter_db=96.0, chain__split__pad_db={"high": 0})
    assert value(made, "tweeter left.pad_db") == 0


def test_a_driver_without_a_network_has_none(tmp_path):
    assert value(engine(tmp_path, changed()), "sub.pad_db") == 0


def test_the_pad_stands_in_the_loss_and_not_in_what_the_wire_takes(tmp_path):
    (tmp_path / "plain").mkdir()
    plain = pair(tmp_path / "plain")
    padded = pair(tmp_path, chain__split__pad_db={"high": 6})
    # resistors come in steps of a twentieth
    assert value(padded, "split left.insertion_loss_db") == pytest.approx(6.0, abs=0.5)
    assert value(plain, "split left.insertion_loss_db") < 0.6
    assert value(padded, "split left.wire_loss_db") == pytest.approx(value(plain, "split left.wire_loss_db"), abs=0.5)
    assert value(padded, "split left.edge_strays_db") < 1.5


def test_what_the_network_passes_has_the_pad_in_it(tmp_path):
    """Far above the edge nothing but the resistors is left; they come in steps of a twentieth."""
    passed = value(pair(tmp_path, chain__split__pad_db={"high": 6}), "tweeter left.network_passes")
    assert 20 * np.log10(abs(passed(np.array([40_000.0])))[0]) == pytest.approx(-6.0, abs=0.3)


def test_a_pad_holds_the_load_where_it_was(tmp_path):
    """What a pad of constant impedance is for: behind it or not, the channel sees the same."""
    loads = []
    for number, asked in enumerate(({"high": 0}, {"high": 6})):
        folder = tmp_path / str(number)
        folder.mkdir()
        made = pair(folder, chain__split__pad_db=asked)
        loads.append(value(made, "front.1.load_curve")(np.array([8000.0]))[0])
    assert abs(loads[1]) == pytest.approx(abs(loads[0]), rel=0.06)


def test_the_tweeter_gets_less_of_the_channel(tmp_path):
    watts = []
    for number, asked in enumerate(({"high": 0}, {"high": 10})):
        folder = tmp_path / str(number)
        folder.mkdir()
        bank = [{"channels": 4, "watts": {4: 40}, "min_ohm": 2}]
        made = pair(folder, chain__split__pad_db=asked, chain__front__amplifier__banks=bank)
        watts.append(value(made, "tweeter left.drive_w"))
    assert watts == pytest.approx([40, 4])


LEGS = {
    "low": [{"series_mh": 0.36, "series_ohm": 0.2}, {"shunt_uf": 12}],
    "high": [{"series_uf": 12}, {"shunt_mh": 0.36}, {"series_ohm": 1.168}, {"shunt_ohm": 9.696}],
}


def test_the_pad_of_a_ready_made_network_is_found(tmp_path):
    made = pair(tmp_path, chain__split__network={"edges_hz": [2500], "legs": LEGS})
    assert printed("3", source=PAD, within=0.01) == value(made, "tweeter left.pad_db")
    assert value(made, "midwoof left.pad_db") == 0


def refused(tmp_path, **places):
    with pytest.raises(InputError) as caught:
        build_chain(read_job(written(tmp_path, changed(**places)), "job.yaml"))
    return [str(fault.what) for fault in caught.value.faults], [fault.way_out for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("places", "what", "hint"),
    [
        (
            {"chain__split__pad_db": {"hihg": 3}},
            "the network has no output 'hihg' to turn down",
            "did you mean 'high'?",
        ),
        ({"chain__split__pad_db": {"mid": 3}}, "nothing is fed from split.mid, so there is nothing to turn down", ""),
        ({"chain__low__pad_db": {"high": 3}}, "only a passive network has pads", "in the processor"),
        ({"chain__split__pad_db": {"high": -3}}, "'-3' must be greater than equal 0", ""),
        (
            {"chain__split__pad_db": {"high": 3}, "chain__split__network": {"edges_hz": [2400]}},
            "a ready-made network has the pad it was bought with",
            "network: auto",
        ),
    ],
)
def test_a_pad_that_cannot_be_is_refused_at_its_place(tmp_path, places, what, hint):
    told, hints = refused(tmp_path, **places)
    assert told == [what]
    assert hint in hints[0]
