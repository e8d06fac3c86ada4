import math

import numpy as np
import pytest
import scipy.signal
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import box_response, edges, thiele_small
from tests.printed import printed

CLOSED = "derived from Small, Closed-Box Loudspeaker Systems I, 1972 (from memory)"
THIELE = "Thiele 1971 (1961), Table I, from memory"
TABLE = "alignment table page, sites.google.com/site/diyloudspeakerdesign"
HALF_POWER_DB = 10 * math.log10(2)
SIX_DB = 20 * math.log10(2)


def closed_edge(box_q, drop_db):
    def response(hz):
        return box_response.closed_response(hz, box_resonance_hz=100.0, box_q=box_q)

    return edges.lower_edge_hz(response, drop_db=drop_db) / 100.0


@pytest.mark.parametrize(
    ("box_q", "half_power", "six"),
    [
        (0.5, "1.5538", "1.0000"),
        (0.577, "1.2720", "0.8761"),
        (0.7071, "1.0000", "0.7598"),
        (0.8, "0.8972", "0.7135"),
    ],
)
def test_edges_of_a_closed_box(box_q, half_power, six):
    q = 1 / math.sqrt(3) if box_q == 0.577 else box_q
    assert printed(half_power, source=CLOSED, within=5e-4) == closed_edge(q, HALF_POWER_DB)
    assert printed(six, source=CLOSED, within=5e-4) == closed_edge(q, SIX_DB)


def test_peak_of_a_closed_box():
    hz = np.geomspace(50.0, 1000.0, 4001)
    levels = [
        20 * np.log10(np.abs(box_response.closed_response(hz, box_resonance_hz=100.0, box_q=q)).max())
        for q in (0.5, 0.577, 0.7071)
    ]
    assert max(levels) < 1e-3
    at = 100.0 / math.sqrt(1 - 1 / (2 * 0.8**2))
    peak = 20 * math.log10(abs(box_response.closed_response(at, box_resonance_hz=100.0, box_q=0.8)))
    assert printed("0.213", source=CLOSED) == peak


@given(st.floats(0.2, 3.0))
def test_level_at_the_box_resonance_is_its_q(box_q):
    assert abs(box_response.closed_response(61.0, box_resonance_hz=61.0, box_q=box_q)) == pytest.approx(box_q)


def test_driver_in_a_closed_box():
    hz, q = box_response.closed_box(resonance_hz=30.0, total_q=0.40, compliance_volume_m3=0.060, box_m3=0.02824)
    source = "derived from Small 1972 (from memory)"
    assert printed("0.7071", source=source, share=1e-3) == q
    assert printed("53.0", source=source, share=1e-3) == hz


@given(st.floats(0.2, 1.0), st.floats(1e-3, 0.3), st.floats(1.05, 4.0))
def test_closed_box_volume_round_trip(total_q, compliance_volume, rise):
    volume = box_response.closed_box_volume_m3(
        total_q=total_q, compliance_volume_m3=compliance_volume, box_q=total_q * rise
    )
    _, q = box_response.closed_box(
        resonance_hz=40.0, total_q=total_q, compliance_volume_m3=compliance_volume, box_m3=volume
    )
    assert q == pytest.approx(total_q * rise, rel=1e-9)


@given(st.floats(10.0, 3000.0), st.floats(0.2, 5.0))
def test_closed_response_against_scipy(resonance_hz, q):
    hz = np.geomspace(resonance_hz / 50, resonance_hz * 50, 31)
    w0 = 2 * np.pi * resonance_hz
    _, expected = scipy.signal.freqs([1, 0, 0], [1, w0 / q, w0**2], worN=2 * np.pi * hz)
    found = box_response.closed_response(hz, box_resonance_hz=resonance_hz, box_q=q)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def vented_edge(tuning, alpha, total_q, drop_db, leakage_q=math.inf):
    def response(hz):
        return box_response.vented_response(
            hz,
            resonance_hz=100.0,
            total_q=total_q,
            compliance_volume_m3=0.05 * alpha,
            box_m3=0.05,
            tuned_hz=100.0 * tuning,
            leakage_q=leakage_q,
        )

    return edges.lower_edge_hz(response, drop_db=drop_db) / 100.0


@pytest.mark.parametrize(
    ("tuning", "alpha", "total_q", "half_power", "six"),
    [
        (2.000, 10.48, 0.180, "2.68", "2.236"),
        (1.420, 4.46, 0.259, "1.77", "1.481"),
        (1.000, 1.414, 0.383, "1.000", "0.872"),
        (0.829, 0.729, 0.466, "0.729", "0.667"),
    ],
)
def test_lossless_alignments(tuning, alpha, total_q, half_power, six):
    assert printed(half_power, source=THIELE, share=5e-3) == vented_edge(tuning, alpha, total_q, HALF_POWER_DB)
    recomputed = "derived: f6 of the same rows by an independent computation"
    assert printed(six, source=recomputed, share=1e-3) == vented_edge(tuning, alpha, total_q, SIX_DB)


def fourth_order_butterworth(leakage_q):
    """Alignments of the table and of its formulas: total Q and compliance ratio at h = 1."""
    total_q = 1 / (2 * math.cos(math.pi / 8) + 2 * math.cos(3 * math.pi / 8) - 1 / leakage_q)
    return total_q, 2 + math.sqrt(2) - 2 - 1 / (leakage_q * total_q)


@pytest.mark.parametrize(
    ("leakage_q", "total_q", "alpha", "source"),
    [
        (7.0, "0.4048", "1.0613", TABLE),
        (
            5.0,
            "0.4144",
            "0.9316",
            "derived from the table's formulas (alignment table page, sites.google.com/site/diyloudspeakerdesign)",
        ),
        (
            10.0,
            "0.3979",
            "1.1629",
            "derived from the table's formulas (alignment table page, sites.google.com/site/diyloudspeakerdesign)",
        ),
        (
            15.0,
            "0.3927",
            "1.2445",
            "derived from the table's formulas (alignment table page, sites.google.com/site/diyloudspeakerdesign)",
        ),
    ],
)
def test_printed_alignment_gives_a_butterworth_response(leakage_q, total_q, alpha, source):
    exact_q, exact_alpha = fourth_order_butterworth(leakage_q)
    assert printed(total_q, source=source, within=2e-4) == exact_q
    assert printed(alpha, source=source, within=2e-4) == exact_alpha
    hz = np.geomspace(5.0, 2000.0, 101)
    found = box_response.vented_response(
        hz,
        resonance_hz=40.0,
        total_q=exact_q,
        compliance_volume_m3=0.03 * exact_alpha,
        box_m3=0.03,
        tuned_hz=40.0,
        leakage_q=leakage_q,
    )
    b, a = scipy.signal.butter(4, 2 * np.pi * 40.0, "high", analog=True)
    _, expected = scipy.signal.freqs(b, a, worN=2 * np.pi * hz)
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_edges_of_the_leaky_butterworth_alignment():
    assert printed("1.000", source=TABLE) == vented_edge(1.0, 1.06132, 0.40481, HALF_POWER_DB, 7.0)
    assert printed("0.7598", source=TABLE, within=2e-4) == vented_edge(1.0, 1.06132, 0.40481, 10.0, 7.0)


@pytest.mark.parametrize("alpha", [0.353, 0.360, 0.370, 0.380, 0.385])
def test_a_remembered_row_that_no_compliance_ratio_gives(alpha):
    """Thiele's row 9.5 is remembered with h .638, QT .625 and f3/fs .520; alpha .385 gives .5276."""
    found = vented_edge(0.638, alpha, 0.625, HALF_POWER_DB)
    assert abs(found - 0.520) > 0.005
    if alpha == 0.385:
        assert printed("0.5276", source="derived: recomputed row", within=2e-4) == found


@given(st.floats(20.0, 80.0), st.floats(0.2, 0.7), st.floats(0.1, 6.0), st.floats(0.5, 1.8), st.floats(3.0, 50.0))
def test_vented_box_against_an_acoustic_circuit(resonance_hz, total_q, alpha, tuning, leakage_q):
    """The same system as masses, springs and losses in an acoustic circuit, solved without any polynomial."""
    box_m3, rho, c = 0.04, 1.204, 343.2
    hz = np.geomspace(5.0, 1000.0, 41)
    s = 2j * np.pi * hz
    box_compliance = box_m3 / (rho * c**2)
    driver_compliance = alpha * box_compliance
    driver_mass = 1 / ((2 * np.pi * resonance_hz) ** 2 * driver_compliance)
    driver_loss = 1 / (2 * np.pi * resonance_hz * driver_compliance * total_q)
    tuned = 2 * np.pi * resonance_hz * tuning
    port_mass = 1 / (tuned**2 * box_compliance)
    leak = leakage_q / (tuned * box_compliance)
    box = 1 / (s * box_compliance + 1 / (s * port_mass) + 1 / leak)
    flow = 1 / (driver_loss + s * driver_mass + 1 / (s * driver_compliance) + box)
    # Only the flow that compresses the air in the box remains when cone, port and leak are summed.
    radiated = flow * box * s * box_compliance
    expected = radiated * s * driver_mass
    found = box_response.vented_response(
        hz,
        resonance_hz=resonance_hz,
        total_q=total_q,
        compliance_volume_m3=alpha * box_m3,
        box_m3=box_m3,
        tuned_hz=resonance_hz * tuning,
        leakage_q=leakage_q,
    )
    np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_silence_at_zero_hertz_and_scalars_in_scalars_out():
    assert box_response.closed_response(0.0, box_resonance_hz=50.0, box_q=0.7) == 0
    assert isinstance(box_response.closed_response(50.0, box_resonance_hz=50.0, box_q=0.7), complex)


def test_refusals():
    with pytest.raises(ValueError, match="box only raises Q"):
        box_response.closed_box_volume_m3(total_q=0.7, compliance_volume_m3=0.06, box_q=0.7)
    with pytest.raises(ValueError, match="frequency_hz"):
        box_response.closed_response(-1.0, box_resonance_hz=50.0, box_q=0.7)
    with pytest.raises(ValueError, match="leakage_q"):
        box_response.vented_response(
            50.0,
            resonance_hz=30.0,
            total_q=0.4,
            compliance_volume_m3=0.06,
            box_m3=0.05,
            tuned_hz=30.0,
            leakage_q=0.0,
        )


@pytest.mark.parametrize(("box_q", "expected"), [(1.1, "2.0e-6"), (1 / math.sqrt(2), "1.36e-6")])
def test_efficiency_that_a_small_closed_box_allows(box_q, expected):
    """eta0 = k f3³ VB for a lossless driver much softer than its box."""
    resonance_hz, compliance_volume, box_m3 = 0.05, 1000.0, 0.02
    total_q = box_q / math.sqrt(1 + compliance_volume / box_m3)
    efficiency = thiele_small.reference_efficiency(
        resonance_hz=resonance_hz,
        compliance_volume_m3=compliance_volume,
        electrical_q=total_q,
        sound_speed_m_s=345.0,
    )
    box_resonance, _ = box_response.closed_box(
        resonance_hz=resonance_hz, total_q=total_q, compliance_volume_m3=compliance_volume, box_m3=box_m3
    )
    edge = closed_edge(box_q, HALF_POWER_DB) * box_resonance
    source = "Small 1972, from memory"
    assert printed(expected, source=source, share=0.01) == efficiency / (edge**3 * box_m3)
