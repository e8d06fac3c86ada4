"""The picture of the level at the seat: the same every time, fit for a page, true to the facts, readable in grey."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from advisor.judging.review import review_job
from advisor.telling.pictures.charts import strokes_of
from advisor.telling.pictures.impedance import impedance
from advisor.telling.pictures.level import level
from advisor.telling.pictures.level_curves import HZ, curves_of
from advisor.telling.report import draw_pictures
from tests.facts.jobs import EXAMPLES, TODAY, changed, engine, review, value

SVG = "{http://www.w3.org/2000/svg}"
KNOWN = [job for job in EXAMPLES if job.stem != "quick"]


def made(job: Path):
    return review_job(job, job.name, TODAY).engine


@pytest.mark.parametrize("job", KNOWN, ids=lambda job: job.stem)
def test_stands_inside_a_page_and_is_the_same_twice(job):
    picture = level(made(job))
    assert picture is not None
    assert picture == level(made(job))
    root = ElementTree.fromstring(picture.svg)
    assert root.attrib["aria-label"] == picture.alt
    assert root[0].text == picture.alt
    assert not list(root.iter(f"{SVG}style"))
    assert all(node.attrib["id"].startswith("level-") for node in root.iter() if "id" in node.attrib)


def test_every_way_is_named_and_has_dashes_of_its_own(tmp_path):
    picture = level(engine(tmp_path, changed()))
    assert picture is not None
    texts = ["".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]
    assert {"sub", "midwoof", "tweeter", "sum"} <= set(texts)
    dashes = {part.split(";")[0] for part in picture.svg.split("stroke-dasharray:")[1:]}
    assert len(dashes) == 2  # the first way is drawn through, the sum is a broad grey band


def test_a_way_looks_as_it_does_in_the_other_charts(tmp_path):
    job = engine(tmp_path, changed())
    for way, (width, _, colour) in strokes_of(job).items():
        for picture in (level(job), impedance(job)):
            assert picture is not None
            assert f"stroke: {colour}" in picture.svg, way
            assert f"stroke-width: {width:g}" in picture.svg, way


def test_the_sum_at_a_handover_is_that_of_the_facts(tmp_path):
    made = engine(tmp_path, changed())
    curves = curves_of(made)
    at_handover = float(np.interp(75, HZ, curves.total_db))
    # the picture is against the balance of all ways, the fact against the mean level of the two
    apart = [value(made, f"{name}.stands_off_db") for name in ("sub", "midwoof left")]
    assert at_handover == pytest.approx(value(made, "sub/midwoof left.sum_db") + sum(apart) / 2, abs=0.1)


def test_depths_are_told_as_the_facts_have_them(tmp_path):
    made = engine(tmp_path, changed())
    picture = level(made)
    assert picture is not None
    depth = value(made, "midwoof/tweeter left.hole_db")
    assert f"midwoof and tweeter together fall {depth:.1f} dB round 2400 Hz" in picture.caption


def test_what_plays_along_from_behind_is_not_in_the_sum():
    curves = curves_of(made(next(job for job in EXAMPLES if job.stem == "sound")))
    assert [curve.name for curve in curves.ways] == ["sub", "midwoof", "mid", "tweeter"]


def test_a_way_without_a_sheet_is_said_to_be_unknown(tmp_path):
    picture = level(engine(tmp_path, changed(("ways.sub.driver.fs_hz",))))
    assert picture is not None
    assert "not known of sub" in picture.caption


def test_where_nothing_is_known_there_is_no_picture(tmp_path):
    bare = {"advisor": 1, "job": "List", "ways": {"sub": {"driver": {"size_in": 10}, "plays": [30, 80]}}}
    assert [picture.name for picture in draw_pictures(review(tmp_path, bare))] == ["chain", "bands"]
