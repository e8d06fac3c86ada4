"""What an audit finds in a small catalogue, line by line and as a whole."""

from __future__ import annotations

import pytest

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.baseline import Baseline
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.matrix import matrix_of, suspects
from advisor.catalogue.row import VERDICTS, packed, unpacked
from advisor.catalogue.store import Store
from advisor.judging.review import review_system
from advisor.reading.reader import JobReader
from tests.catalogue.conftest import PACKAGE, TODAY, vehicle


@pytest.fixture
def audit():
    """Audits a folder; what it keeps is gone after the test."""
    with Store(None) as store:
        yield lambda folder, **options: audit_catalogue(open_catalogue(folder, "small"), TODAY, store, **options)


def test_every_choice_for_every_customer_in_every_vehicle_claimed_is_a_line(small_audit):
    lines = {(e.package, e.line.settled, e.line.customer, e.line.vehicle) for e in small_audit.entries}
    assert lines == {
        ("front", (("midwoof.driver", label),), "quiet", code) for label in ("W-1", "W-2") for code in ("hatch", "van")
    }


def test_a_line_says_what_a_review_of_that_job_says(small, small_audit):
    catalogue = open_catalogue(small, "small")
    package = catalogue.package(catalogue.packages[0])
    for row in small_audit.rows():
        file = package.job(row.settled, row.customer, row.vehicle)
        review = review_system(JobReader(file.path, file.name, catalogue.library).system(file), TODAY)
        told = sorted((f.rule.name, f.subject.name, f.outcome, f.says or f.why_not, f.place) for f in review.findings)
        kept = sorted((one.rule, one.at, one.outcome, one.says, one.place) for one in row.noted)
        assert kept == [one for one in told if one[2] not in ("holds", "does not apply")]
        outcomes = dict(row.outcomes(list(small_audit.rules)))
        assert {name for name, _, outcome, _, _ in told if outcome == "falls short"} == {
            name for name, outcome in outcomes.items() if outcome == "falls short"
        }


def test_the_worst_comes_first_and_the_matrix_has_the_worst_of_each_claim(small_audit):
    verdicts = [VERDICTS.index(entry.verdict) for entry in small_audit.worst_first()]
    assert verdicts == sorted(verdicts)
    matrix = matrix_of(small_audit)
    assert matrix.vehicles == ("bus", "hatch", "van")
    cell = matrix.cells["front", "van"]
    assert cell.verdict == "must be fixed"
    assert cell.worst.line.settled == (("midwoof.driver", "W-2"),)
    assert ("front", "bus") not in matrix.cells
    row = small_audit.row(cell.worst)
    assert row.worst is not None
    assert (row.worst.rule, row.worst.left, row.worst.right) == ("way-fits-its-hole", 151, 146)
    assert row.worst.share == (146 - 151) / 146


def test_waived_findings_are_kept_with_their_reason(small_audit):
    waived = [one for row in small_audit.rows() for one in row.of("waived")]
    assert {(one.rule, one.at) for one in waived} == {("way-fits-its-depth", "midwoof left")}
    assert {one.reason for one in waived} == {"ring of 5 mm; until 2099-01-01 by workshop"}


def test_what_is_told_of_the_catalogue_itself(small_audit):
    found = {(one.rule, one.at) for one in small_audit.remarks}
    assert ("part-is-used-by-a-package", "W-9") in found
    assert ("part-is-used-by-a-package", "W-1") not in found
    assert ("part-used-is-still-made", "W-2") in found
    assert ("vehicle-is-served-by-a-package", "bus") in found


def test_a_place_a_vehicle_has_not_is_a_claim_that_fails(small, audit):
    (small / "vehicles" / "van.yaml").write_text(vehicle("van", 160).replace("  door:", "  gate:"))
    found = audit(small)
    row = next(row for row in found.rows() if row.vehicle == "van")
    assert row.verdict == "cannot be built"
    assert [(one.rule, one.at) for one in row.noted] == [("claimed-vehicle-has-every-place", "ways.midwoof.at")]
    assert "no place 'door'" in row.noted[0].says
    assert found.fails("must")


def test_a_seat_a_vehicle_has_not_is_a_claim_that_fails(small, audit):
    path = small / "packages" / "front.yaml"
    path.write_text(PACKAGE.replace("{loudness_db: 90}", "{seats: [berth]}"))
    assert {row.verdict for row in audit(small).rows()} == {"cannot be built"}


def test_a_step_of_price_that_buys_nothing_is_told(small, audit):
    path = small / "packages" / "front.yaml"
    text = PACKAGE.replace("{one of: [W-1, W-2]}", "W-1").split("waive:")[0]
    path.write_text(text + "extras: {W-9: 1}\n")
    dear = text.replace("Two ways for the front", "The same in gold") + "extras: {W-9: 9}\n"
    (small / "packages" / "gold.yaml").write_text(dear)
    parts = small / "parts" / "parts.yaml"
    parts.write_text(parts.read_text().replace("price: 10}", "price: 10, fit_h: 0}"))
    steps = [one for one in audit(small).remarks if one.rule == "dearer-step-buys-something"]
    assert [(one.at, one.operand) for one in steps] == [("gold", "front")]
    assert "costs 80 more than front" in steps[0].says


def test_packages_made_of_the_same_are_told(small, audit):
    (small / "packages" / "other.yaml").write_text(PACKAGE.replace("Two ways", "Both ways").replace(", van]", "]"))
    same = [one for one in audit(small).remarks if one.rule == "package-differs-from-the-next"]
    assert [(one.at, one.operand) for one in same] == [("other", "front")]


def test_parts_nearly_alike_are_told(small, audit):
    parts = small / "parts" / "parts.yaml"
    again = "  W-3: {kind: driver, type: midwoof, size_in: 6.5, impedance_ohm: 4, sensitivity_db: 90, power_w: 81,"
    parts.write_text(
        parts.read_text() + again + " cutout_mm: 143,\n        depth_mm: 62, fs_hz: 60, price: 95, fit_h: 0.6}\n"
    )
    alike = [one for one in audit(small).remarks if one.rule == "part-differs-from-the-next"]
    assert [(one.at, one.operand) for one in alike] == [("W-3", "W-1")]
    assert "they cost 80 and 95" in alike[0].says


def test_rules_that_tell_nothing_apart_are_suspect(small_audit):
    how = {one.rule: one.how for one in suspects(small_audit)}
    assert how["waiver-has-not-run-out"] == "holds wherever it applies"
    assert how["optical-link-carries-its-sample-rate"] == "applies nowhere"
    assert "way-fits-its-hole" not in how


def test_a_row_comes_back_from_its_text(small_audit):
    for row in small_audit.rows():
        assert unpacked(packed(row)) == row


def test_known_findings_do_not_count(small, audit, tmp_path):
    from advisor.catalogue.baseline import read_baseline
    from advisor.telling.audit.files import write_baseline

    first = audit(small)
    assert first.fails("must")
    assert first.fails("tip")
    write_baseline(first, tmp_path / "known.json")
    known = read_baseline(tmp_path / "known.json")
    second = audit(small, baseline=known)
    assert not second.fails("cannot tell")
    moved = small / "packages" / "front.yaml"
    moved.write_text("# a line more\n" + PACKAGE)
    assert not audit(small, baseline=known).fails("cannot tell")  # lines moved, places did not
    moved.write_text(PACKAGE.replace("W-1, W-2", "W-2, W-1").replace("tweeter", "treble"))
    assert audit(small, baseline=known).fails("cannot tell")
    assert Baseline().known == frozenset()
