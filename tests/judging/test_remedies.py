"""Ways out: whatever is printed was tried, and clears its finding when it is really written into the file."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from advisor.judging.remedies import WayOut, place_of
from advisor.judging.review import Review, review_job
from advisor.judging.trials import Trials
from advisor.reading.edits import edited, flow
from advisor.reading.reader import OpenJob
from advisor.reading.source import read_source
from advisor.telling.data import review_data
from advisor.telling.terminal import review_text
from advisor.telling.ways_out import find_ways_out
from tests.judging.perturbed import EXAMPLES, TODAY, opened, perturbed, shelf, written
from tests.telling.examples import reviewed, ways_out

FAULTY = ("faults", "over-budget", "quick", "cheaper")
PERTURBATIONS, AT_ONCE = int(os.environ.get("PERTURBATIONS", "60")), 10
"""Before a release three hundred are tried, `PERTURBATIONS=300 pytest tests/judging/test_remedies.py`."""


def distinct(ways: dict) -> list[WayOut]:
    return list({id(way): way for way in ways.values()}.values())


def fresh(jobs: Path, job: OpenJob, edits) -> Review:
    """Write a job with a change made, and review that file from the start."""
    return review_job(written(jobs, edited(job.source.data, edits), "mended.yaml"), "mended.yaml", TODAY)


def check_that_it_clears(jobs: Path, job: OpenJob, way: WayOut) -> None:
    for remedy in way.remedies:
        after = {place_of(finding): finding for finding in fresh(jobs, job, remedy.edits).findings}
        for finding in way.findings:
            now = after.get(place_of(finding))
            assert now is not None or finding.subject.kind in ("location", "waiver"), remedy.says
            assert now is None or now.outcome == "holds", (remedy.says, finding.rule.name)
        for opened_ in remedy.opens:
            assert after[place_of(opened_)].outcome in ("falls short", "broken")
        for cleared in remedy.clears:
            assert after[place_of(cleared)].outcome == "holds"


def check_that_no_member_can_be_spared(trials: Trials, way: WayOut) -> None:
    """Each member of a conflict left out, the job as it is or some change tried breaks none of the others."""
    if not way.conflict:
        return
    names = [(finding.rule.name, finding.subject.bare) for finding in way.conflict]
    assert len(set(names)) == len(names) >= 2
    assert not {(f.rule.name, f.subject.bare) for f in trials.review.of("falls short")} & set(names[1:])
    broken = [{(f.rule.name, f.subject.bare) for f in remedy.breaks} for remedy in way.tried_remedies]
    assert all(one & set(names[1:]) for one in broken)
    for member in names[1:]:
        assert any(not one & (set(names[1:]) - {member}) for one in broken), member


@pytest.mark.parametrize("name", FAULTY)
def test_every_way_out_of_a_faulty_example_clears_its_finding(name, tmp_path):
    jobs = shelf(tmp_path)
    job, _, trials = opened(written(jobs, OpenJob(EXAMPLES / "jobs" / f"{name}.yaml").source.data))
    ways = find_ways_out(trials)
    assert any(way.remedies for way in ways.values())
    for way in distinct(ways):
        check_that_it_clears(jobs, job, way)
        check_that_no_member_can_be_spared(trials, way)


@pytest.mark.parametrize("start", range(0, PERTURBATIONS, AT_ONCE))
def test_every_way_out_of_a_perturbed_job_clears_its_finding(start, tmp_path):
    jobs = shelf(tmp_path)
    for seed in range(start, start + AT_ONCE):
        job, _, trials = perturbed(jobs, seed)
        for way in distinct(find_ways_out(trials, ["must"])):
            check_that_it_clears(jobs, job, way)
            check_that_no_member_can_be_spared(trials, way)


@pytest.mark.parametrize("seed", range(1000, 1012))
def test_every_way_out_of_a_trade_off_clears_it_and_breaks_no_must(seed, tmp_path):
    jobs = shelf(tmp_path)
    job, _, trials = perturbed(jobs, seed)
    for way in distinct(find_ways_out(trials, ["trade-off", "tip"])):
        check_that_it_clears(jobs, job, way)
        assert not any(remedy.breaks or remedy.worsens for remedy in way.remedies)


def way_of(rule: str, at: str) -> WayOut:
    """Return the way out of one finding of the faulty example, which is looked for once."""
    return next(way for (name, (_, where)), way in ways_out("faults").items() if (name, where) == (rule, at))


def test_both_sides_of_a_thing_are_mended_at_once():
    way = way_of("way-fits-its-hole", "ambience left")
    assert [finding.subject.name for finding in way.findings] == ["ambience left", "ambience right"]
    assert [str(edit) for edit in way.remedies[0].edits] == ["ways.ambience.driver: CX-100"]
    assert way.remedies[0].costs < 0


def test_nothing_is_proposed_for_an_airbags_path_or_what_the_customer_keeps():
    places = [
        edit.value
        for way in ways_out("faults").values()
        for remedy in way.remedies
        for edit in remedy.edits
        if edit.path[-1] == "at"
    ]
    assert places
    assert not {"a-pillar", "load-floor"} & set(places)


def test_nothing_is_proposed_that_no_fitter_would_do():
    review = reviewed("faults")
    held = way_of("box-is-held-in-a-crash", "woofer")
    assert ["hold-box-down"] in [edit.value for remedy in held.remedies for edit in remedy.edits]
    ways = ways_out("faults")
    edits = [edit for way in ways.values() for remedy in way.remedies for edit in remedy.edits]
    assert not [edit for edit in edits if edit.path[-1] == "work" and "amplifier-rack" in edit.value and edit.path[1:]]
    assert not [edit for edit in edits if "branches" in edit.path and edit.path[-1] == "cable_mm2" and edit.value > 10]
    assert not [edit for edit in edits if edit.path[-1] == "run_m" and edit.value < 0.85 * 5.5 - 1e-6]
    text = review_text(review, ways)
    assert "Shorten the cable from the battery to the main fuse from 1.4 to 0.4 m" in " ".join(text.split())
    assert "write take out" not in text


def test_what_makes_another_must_worse_is_no_way_out_of_a_trade_off():
    """The tweeter of the faulty example is crossed too low already; no handover is mended by crossing it lower."""
    for (name, _), way in ways_out("faults").items():
        for remedy in way.remedies:
            for edit in remedy.edits:
                if edit.path == ("ways", "tweeter", "plays"):
                    assert float(edit.value[0].split()[0]) >= 1500, name


def test_the_terminal_and_the_data_say_what_to_write():
    review = reviewed("faults")
    ways = ways_out("faults")
    text = " ".join(review_text(review, ways).split())
    data = json.loads(json.dumps(review_data(review, ways)))
    for finding, told in zip(review.findings, data["findings"], strict=True):
        way = ways.get(place_of(finding))
        assert ("ways_out" in told) == (way is not None)
        for remedy in way.remedies if way else ():
            verb = "" if all(edit.removes for edit in remedy.edits) else "write "
            assert f"{verb}{'; '.join(map(str, remedy.edits))}" in text
        for remedy, one in zip(way.remedies if way else (), told.get("ways_out", ()), strict=True):
            assert [edit.get("value") for edit in one["edits"]] == [
                None if edit.removes else edit.value for edit in remedy.edits
            ]


def test_what_is_written_reads_back_as_the_value_that_was_tried(tmp_path):
    for way in distinct(ways_out("faults")):
        for remedy in way.remedies:
            for edit in remedy.edits:
                if not edit.removes:
                    path = tmp_path / "value.yaml"
                    path.write_text(f"value: {flow(edit.value)}\n", encoding="utf-8")
                    assert read_source(path).data["value"] == edit.value


def test_a_sound_job_has_nothing_to_mend():
    _, _, trials = opened(EXAMPLES / "jobs" / "sound.yaml")
    assert find_ways_out(trials, ["must"]) == {}
