import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import port
from tests.printed import printed


@given(
    st.floats(0.0, 0.8),
    st.floats(0.005, 0.2),
    st.floats(1e-3, 0.02),
    st.integers(1, 3),
    st.sampled_from(sorted(port.END_CORRECTION)),
)
def test_length_round_trip(length_m, box_m3, area_m2, count, ends):
    shape = {"box_m3": box_m3, "area_m2": area_m2, "count": count, "ends": ends}
    tuned = port.tuned_hz(length_m=length_m + 1e-6, **shape)
    assert port.port_length_m(tuned_hz=tuned, **shape) == pytest.approx(length_m + 1e-6, rel=1e-6, abs=1e-9)


def test_end_corrections():
    source = "Norris & Sheng 1989; Levine & Schwinger 1948, from memory"
    assert printed("1.6434", source=source) == port.END_CORRECTION["both flanged"]
    assert printed("1.435", source=source) == port.END_CORRECTION["one flanged"]
    assert printed("1.2266", source=source) == port.END_CORRECTION["both free"]


def test_a_hole_in_a_wall_is_a_helmholtz_resonator():
    """A bare hole: f = c / 2 pi sqrt(2 a / V) times sqrt(pi / (2 k)) with k = 1.6434 for both sides."""
    radius, volume = 0.05, 0.05
    rayleigh = 343.2 / (2 * math.pi) * math.sqrt(2 * radius / volume)
    found = port.tuned_hz(length_m=0.0, box_m3=volume, area_m2=math.pi * radius**2, ends="both flanged")
    assert found == pytest.approx(rayleigh * math.sqrt(math.pi / (2 * 1.6434)), rel=1e-9)
    # Rayleigh's own hole conducts 2 a, an end correction of pi/4 a side; the flanged pipe's is 5 % longer.
    assert found == pytest.approx(rayleigh, rel=0.03)


def test_two_ports_of_half_the_area_each_tune_alike_but_for_their_ends():
    one = port.tuned_hz(length_m=0.3, box_m3=0.05, area_m2=0.008)
    two = port.tuned_hz(length_m=0.3, box_m3=0.05, area_m2=0.004, count=2)
    assert one < two < 1.06 * one


def test_smallest_diameter():
    source = "Small 1973 Part II, from memory"
    found = port.smallest_port_diameter_m(tuned_hz=30.0, displacement_m3=4e-4)
    assert printed("109.5", source=source) == 1000 * found
    assert printed("17", source=source, within=0.5) == 0.05 * 343.2
    assert printed("17", source=source) == port.AUDIBLE_M_S


def test_velocity_shares_the_flow():
    assert port.port_velocity_m_s(flow_m3_s=0.12, area_m2=0.01) == pytest.approx(12.0)
    assert port.port_velocity_m_s(flow_m3_s=0.12, area_m2=0.01, count=2) == pytest.approx(6.0)


@given(st.floats(0.05, 1.5), st.floats(1e-3, 0.03))
def test_a_port_rings_when_half_a_wave_fits_in(length_m, area_m2):
    """At that frequency the pipe's own equations let as much flow in at one end as comes out at the other, turned."""
    acting = length_m + (0.8217 + 0.6133) * math.sqrt(area_m2 / math.pi)
    hz = port.pipe_resonance_hz(length_m=length_m, area_m2=area_m2)
    assert math.sin(2 * math.pi * hz / 343.2 * acting) == pytest.approx(0.0, abs=2e-4)
    assert math.cos(2 * math.pi * hz / 343.2 * acting) == pytest.approx(-1.0, abs=1e-6)


def test_refusals():
    with pytest.raises(ValueError, match="port must be larger"):
        port.port_length_m(tuned_hz=80.0, box_m3=0.05, area_m2=0.001)
    with pytest.raises(ValueError, match="count"):
        port.tuned_hz(length_m=0.1, box_m3=0.05, area_m2=0.001, count=0)
    with pytest.raises(ValueError, match="ends must be one of both flanged, one flanged, both free"):
        port.tuned_hz(length_m=0.1, box_m3=0.05, area_m2=0.001, ends="flared")
    with pytest.raises(ValueError, match="length_m"):
        port.tuned_hz(length_m=-0.1, box_m3=0.05, area_m2=0.001)
