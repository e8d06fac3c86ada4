"""Ears, and what flies about in a crash, through whole job files."""

from __future__ import annotations

import pytest

from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, review, value
from tests.printed import printed

NIOSH = "HS-01, CDC/NIOSH, medbox.iiab.me mirror; danburzo.ro"
WHO = "WHO and ITU-T H.870, adults (from memory)"
BRAKING = "X-8, load restraint in road transport, decimal points restored"
FORCE = "CG-03, derived from Newton's second law at 20 g"


@pytest.mark.parametrize(("level", "minutes"), [(85, "480"), (88, "240"), (91, "120"), (94, "60")])
def test_minutes_a_day(tmp_path, level, minutes):
    made = engine(tmp_path, changed(customer__loudness_db=level))
    assert printed(minutes, source=NIOSH) == value(made, "job.exposure_min")


@pytest.mark.parametrize(("level", "hours"), [(80, "40"), (83, "20"), (86, "10"), (89, "5")])
def test_hours_a_week(tmp_path, level, hours):
    made = engine(tmp_path, changed(customer__loudness_db=level))
    assert printed(hours, source=WHO) == value(made, "job.exposure_week_h")


def test_loudness_beyond_all_rules(tmp_path):
    with pytest.raises(NotDefined, match="soft"):
        value(engine(tmp_path, changed(customer__loudness_db=40)), "job.exposure_min")
    deafening = value(engine(tmp_path, changed(customer__loudness_db=200)), "job.exposure_min")
    assert 0 < deafening < 0.01
    with pytest.raises(Missing, match="loudness_db"):
        value(engine(tmp_path, changed(customer={"seats": ["driver"]})), "job.exposure_min")


@pytest.mark.parametrize(("kg", "newton"), [(25, "4903"), (10, "1961"), (18, "3530")])
def test_what_holds_a_weight_in_a_crash(tmp_path, kg, newton):
    made = engine(tmp_path, changed(chain__low__amplifier__weight_kg=kg, ways__sub__box__weight_kg=kg))
    assert printed(newton, source=FORCE) == value(made, "low.retention_n")
    braking = float(printed("0.8", source=BRAKING).text)
    assert value(made, "low.braking_n") == pytest.approx(value(made, "low.retention_n") * braking / 20)
    assert value(made, "sub.box_braking_n") == pytest.approx(value(made, "sub.box_retention_n") * braking / 20)
    assert printed(newton, source=FORCE) == value(made, "sub.box_retention_n")


def test_a_box_weighs_what_is_in_it(tmp_path):
    data = changed(ways__sub__box__weight_kg=12, ways__sub__driver__weight_kg=5, ways__sub__count=2)
    assert value(engine(tmp_path, data), "sub.box_weight_kg") == 22


@pytest.mark.parametrize(
    ("way_work", "job_work", "outcome"),
    [
        ([], [], "falls short"),
        (["box-build"], [], "holds"),
        ([], ["hold-box-down"], "holds"),
        ([], ["amplifier-rack"], "falls short"),
    ],
)
def test_only_work_that_holds_holds_a_box(tmp_path, way_work, job_work, outcome):
    data = changed(ways__sub__box__weight_kg=25, ways__sub__work=way_work)
    data["work"] = job_work
    (found,) = [f for f in review(tmp_path, data).findings
                if f.rule.name == "box-is-held-in-a-crash" and f.subject.name == "sub"]  # fmt: skip
    assert found.outcome == outcome
    assert ("4903" in found.says) == (outcome == "falls short")
