"""The engine: once each, only what hangs on a change again, and what is missing named to the top."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import NameUnknown
from advisor.facts.engine import Engine
from advisor.facts.given import given_key
from advisor.facts.reading import BASES, BrokenFact, Missing, NotDefined, Reading
from advisor.facts.registry import register
from advisor.judging.review import review_job
from advisor.reading.shorthand import Edge
from tests.facts.jobs import BASE, EXAMPLES, TODAY, changed, engine, everything, subject, value, work_out_by


@pytest.fixture
def counted(monkeypatch):
    """Count how often each fact of each subject is worked out."""
    times: Counter[tuple[str, str]] = Counter()

    def counting(fact):
        def compute(view):
            times[str(view), fact.name] += 1
            return fact.compute(view)

        return compute

    for (kind, name), fact in list(register().items()):
        work_out_by(monkeypatch, kind, name, counting(fact))
    return times


def key_of(engine: Engine, kind: str, name: str, record: str, word: str):
    one = subject(engine.chain, kind, name)
    return given_key(one.specs[record], one, record, word)


def test_each_fact_is_worked_out_once_however_often_it_is_asked_for(tmp_path, counted):
    made = engine(tmp_path, changed())
    first = everything(made)
    assert set(counted.values()) == {1}
    assert made.computed == len(counted) >= len(first)
    assert everything(made) == first
    assert made.computed == len(counted)


def test_a_review_works_out_each_fact_once_too(tmp_path, counted):
    made = review_job(BASE, today=TODAY).engine
    assert made.computed == len(made._known)  # what-ifs for verdicts near their limit count as their own
    assert counted


def test_nothing_is_worked_out_before_it_is_asked_for(tmp_path, counted):
    made = engine(tmp_path, changed())
    assert made.computed == 0
    assert value(made, "tweeter left.wired_ohm") == 4
    assert counted == {("tweeter left", "wired_ohm"): 1}


def test_a_what_if_works_out_only_what_hangs_on_it(tmp_path, counted):
    made = engine(tmp_path, changed())
    before = everything(made)
    counted.clear()
    key = key_of(made, "driver", "midwoof left", "part", "fs_hz")
    other = made.what_if({key: 64.0})
    after = everything(other)
    subjects = {name for name, _ in counted}
    assert {"midwoof left", "midwoof right"} <= subjects
    assert not any(name.startswith(("front", "low", "brain", "door", "supply")) for name in subjects)
    assert ("tweeter left", "trim_to_set_db") in counted  # what is set for one way is set against the others
    assert ("tweeter left", "sensitivity_2v83_db") not in counted
    assert ("midwoof left", "plays_down_to_hz") in counted
    assert ("midwoof left", "wired_ohm") not in counted
    assert set(counted.values()) == {1}
    assert other.computed == len(counted) < made.computed / 5
    assert after != before
    assert everything(made) == before  # the first engine is left as it was


def test_all_that_rests_on_a_given_value_is_worked_out_again(tmp_path, counted):
    made = engine(tmp_path, changed())
    key = key_of(made, "driver", "sub", "part", "qts")
    resting = {
        (name, fact)
        for (_, name, fact), reading in everything(made).items()
        if isinstance(reading, Reading) and any(below.key == key for below in reading.walk())
    }
    counted.clear()
    everything(made.what_if({key: 0.5}))
    assert resting
    assert resting <= set(counted)


def test_a_what_if_of_nothing_works_out_nothing(tmp_path):
    made = engine(tmp_path, changed())
    first = everything(made)
    other = made.what_if({})
    assert everything(other) == first
    assert other.computed == 0


def test_what_ifs_add_up(tmp_path):
    made = engine(tmp_path, changed())
    fs, qts = (key_of(made, "driver", "sub", "part", word) for word in ("fs_hz", "qts"))
    everything(made)
    by_steps = made.what_if({fs: 33.0})
    everything(by_steps)
    assert told(by_steps.what_if({qts: 0.6})) == told(made.what_if({fs: 33.0, qts: 0.6}))
    assert told(by_steps.what_if({fs: 29.0})) == told(made)


def test_a_what_if_can_give_what_nobody_wrote(tmp_path):
    made = engine(tmp_path, changed(("ways.sub.driver.vas_l",)))
    with pytest.raises(Missing):
        value(made, "sub.box_resonance_hz")
    key = key_of(made, "driver", "sub", "part", "vas_l")
    assert value(made.what_if({key: 40.0}), "sub.box_resonance_hz") == pytest.approx(29 * math.sqrt(1 + 40 / 25))


def told(made: Engine) -> dict:
    """Every fact's value, or why it has none."""
    return {key: found.value if isinstance(found, Reading) else found for key, found in everything(made).items()}


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    fs_hz=st.floats(20, 90).map(lambda hz: round(hz, 2)),
    qts=st.floats(0.2, 1.2).map(lambda q: round(q, 3)),
    vas_l=st.floats(4, 120).map(lambda litre: round(litre, 2)),
    low=st.integers(20, 70),
    high=st.integers(72, 400),
)
def test_a_what_if_equals_a_file_that_says_so(tmp_path, fs_hz, qts, vas_l, low, high):
    made = engine(tmp_path, changed())
    everything(made)
    part = {"fs_hz": fs_hz, "qts": qts, "vas_l": vas_l}
    asked = {key_of(made, "driver", "sub", "part", word): number for word, number in part.items()}
    edges = (Edge.parse(f"{low} BW24"), Edge.parse(f"{high} LR24"))
    asked[key_of(made, "driver", "sub", "way", "plays")] = edges
    driver = changed()["ways"]["sub"]["driver"] | part
    edited = changed(ways__sub__driver=driver, ways__sub__plays=[str(edge) for edge in edges])
    assert told(made.what_if(asked)) == told(engine(tmp_path, edited))


EDITS = [
    ("amplifier", "front", "part", "efficiency", 0.6, "chain__front__amplifier__efficiency"),
    ("amplifier", "front", "spec", "fan", "none", "chain__front__fan"),
    ("job", "job", "electrics", "running_v", 12.6, "vehicle__electrics__running_v"),
    ("job", "job", "spec", "air_c", 31.0, "air_c"),
    ("supply", "supply", "spec", "run_m", 6.5, "supply__run_m"),
    ("supply", "supply", "spec", "cable_awg", 4, "supply__cable_awg"),
    ("driver", "midwoof left", "way", "count", 2, "ways__midwoof__count"),
    ("driver", "sub", "box", "closed_l", 60.0, "ways__sub__box__closed_l"),
    ("driver", "sub", "part", "price", 999.0, "ways__sub__driver__price"),
    ("driver", "midwoof left", "way", "work", ("damp-door",), "ways__midwoof__work"),
    ("location", "door left", "spec", "behind", "cabin", "vehicle__locations__door__behind"),
    ("location", "arch", "spec", "zone", "front", "vehicle__locations__arch__zone"),
]


@pytest.mark.parametrize(("kind", "name", "record", "word", "new", "path"), EDITS)
def test_any_given_value_can_be_asked_what_if(tmp_path, kind, name, record, word, new, path):
    made = engine(tmp_path, changed())
    before = told(made)
    after = told(made.what_if({key_of(made, kind, name, record, word): new}))
    assert after != before
    # an operation that is listed no more leaves its task behind, undefined; a chain built anew has none
    after = {key: found for key, found in after.items() if found != "NotDefined: it is not listed"}
    assert after == told(engine(tmp_path, changed(**{path: list(new) if isinstance(new, tuple) else new})))


# -- missing --------------------------------------------------------------------------------------------------


def line_of(folder, text: str) -> int:
    lines = (folder / "job.yaml").read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if text in line)


@pytest.mark.parametrize("fact", ["box_resonance_hz", "box_q", "reference_efficiency"])
def test_a_missing_number_of_a_part_is_named_with_its_place(tmp_path, fact):
    made = engine(tmp_path, changed(("ways.sub.driver.fs_hz",)))
    with pytest.raises(Missing) as caught:
        value(made, f"sub.{fact}")
    assert caught.value.name == "ways.sub.driver.fs_hz"
    assert caught.value.place == f"job.yaml:{line_of(tmp_path, 'type: sub')}:7"


@pytest.mark.parametrize("address", ["job.parts_cost", "job.total_cost"])
def test_what_is_missing_is_named_all_the_way_up(tmp_path, address):
    made = engine(tmp_path, changed(("ways.sub.driver.price", "chain.front.amplifier.price")))
    with pytest.raises(Missing, match=r"the price of chain\.front\.amplifier, ways\.sub\.driver is not given"):
        value(made, address)


@pytest.mark.parametrize(
    "address", ["sub.distance_m", "sub.arrival_ms", "job.latest_arrival_ms", "tweeter left.delay_ms"]
)
def test_one_distance_nobody_taped_leaves_every_delay_open(tmp_path, address):
    made = engine(tmp_path, changed(("vehicle.locations.arch.distance_m",)))
    with pytest.raises(Missing, match=r"sub: distance_m to driver .*; tape it from the driver to the driver's ear"):
        value(made, address)


def test_a_missing_input_is_named_the_second_time_as_the_first(tmp_path):
    made = engine(tmp_path, changed(("ways.sub.driver.fs_hz",)))
    found = []
    for _ in range(2):
        with pytest.raises(Missing) as caught:
            value(made, "sub.box_q")
        found.append(str(caught.value))
    assert found[0] == found[1]


def test_what_a_subject_does_not_have_is_no_gap(tmp_path):
    made = engine(tmp_path, changed())
    with pytest.raises(NotDefined, match="the high edge is open"):
        value(made, "tweeter left.high_edge_hz")
    with pytest.raises(NotDefined, match="names no lowest crossover"):
        value(made, "sub.lowest_crossover_hz")


# -- what a number rests on -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "basis"),
    [
        ({"sd_cm2": 132, "data": "measured"}, "measured"),
        ({"sd_cm2": 132}, "datasheet"),
        ({"sd_cm2": 132, "data": "estimated"}, "rule of thumb"),
        ({"size_mm": 165, "data": "measured"}, "rule of thumb"),
    ],
)
def test_the_basis_is_the_weakest_of_what_a_number_rests_on(tmp_path, part, basis):
    made = engine(tmp_path, changed(ways__midwoof__driver={"type": "midwoof", **part}))
    assert made.ask(*made.find("midwoof left.cone_radius_mm")).basis == basis


def test_what_the_job_itself_decides_is_firm(tmp_path):
    made = engine(tmp_path, changed())
    assert made.ask(*made.find("midwoof left.low_edge_hz")).basis == "computed"
    assert made.ask(*made.find("midwoof left.distance_m")).basis == "measured"


@pytest.mark.parametrize("path", [*EXAMPLES, BASE], ids=lambda path: path.stem)
def test_no_number_is_firmer_than_its_leaves(path):
    for found in everything(review_job(path, today=TODAY).engine).values():
        if isinstance(found, Reading):
            leaves = [reading.basis for reading in found.walk() if not reading.inputs]
            assert found.basis == min(leaves, key=BASES.index)


# -- faults of ours -------------------------------------------------------------------------------------------


def test_facts_in_a_circle_are_broken(tmp_path, monkeypatch):
    for name, other in (("listening_c", "sound_speed_m_s"), ("sound_speed_m_s", "listening_c")):
        work_out_by(monkeypatch, "job", name, lambda job, other=other: getattr(job, other))
    made = engine(tmp_path, changed())
    for address in ("job.listening_c", "job.sound_speed_m_s", "sub.arrival_ms", "sub.delay_ms"):
        with pytest.raises(BrokenFact, match="rests on itself"):
            value(made, address)
    assert value(made, "sub.wired_ohm") == 4


def test_a_fact_that_asks_for_itself_is_broken(tmp_path, monkeypatch):
    work_out_by(monkeypatch, "job", "supply_v", lambda job: job.supply_v + 1)
    with pytest.raises(BrokenFact, match=r"job\.supply_v rests on itself"):
        value(engine(tmp_path, changed()), "job.supply_v")


@pytest.mark.parametrize("gives", [float("nan"), float("inf"), None])
def test_what_cannot_be_a_value_is_broken(tmp_path, monkeypatch, gives):
    work_out_by(monkeypatch, "job", "supply_v", lambda job: gives)
    with pytest.raises(BrokenFact, match="gave"):
        value(engine(tmp_path, changed()), "supply.drop_v")


# -- asking by name -------------------------------------------------------------------------------------------


def test_an_address_finds_subject_and_fact(tmp_path):
    made = engine(tmp_path, changed())
    one, fact = made.find(" midwoof left.plays_down_to_hz ")
    assert (one.key, fact) == (("driver", "midwoof left"), "plays_down_to_hz")
    assert made.find("front.1.load_ohm")[0].key == ("channel", "front.1")


@pytest.mark.parametrize(
    ("address", "what"),
    [
        ("midwoof lft.plays_down_to_hz", "there is no subject 'midwoof lft'; did you mean 'midwoof left'?"),
        ("midwoof left.plays_down_to", "there is no fact of midwoof left 'plays_down_to'; did you mean"),
        ("plays_down_to_hz", "there is no subject 'plays_down_to_hz'"),
        ("", "there is no subject ''"),
    ],
)
def test_an_address_that_leads_nowhere_says_what_there_is(tmp_path, address, what):
    made = engine(tmp_path, changed())
    with pytest.raises(NameUnknown) as caught:
        made.find(address)
    assert str(caught.value).startswith(what)
