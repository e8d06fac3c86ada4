"""Forces on what is mounted, and the decelerations they come from."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import retention
from tests.printed import printed

NEWTON = "derived from F = m a"


@pytest.mark.parametrize(("mass", "text"), [(25, "4903"), (10, "1961"), (18, "3530")])
def test_force_at_twenty_g(mass: float, text: str) -> None:
    assert retention.force_n(mass_kg=mass, deceleration_g=20.0) == printed(text, source=NEWTON)
    assert retention.force_n(mass_kg=mass) == printed(text, source=NEWTON)


@pytest.mark.parametrize(("stopping", "text"), [(0.5, "19.7"), (0.7, "14.1")])
def test_stop_from_fifty(stopping: float, text: str) -> None:
    severity = retention.mean_deceleration_g(speed_m_s=50 / 3.6, stopping_m=stopping)
    assert severity == printed(text, source="derived from v**2/(2 s)")


def test_force_on_the_remembered_test_block() -> None:
    # 18 kg and a 300 mm cube are remembered; a working paper's moment of inertia supports them.
    block_kg, edge_m = 18.0, 0.3
    assert block_kg * edge_m**2 / 6 == printed("0.3", source="GRSP/2014/19, proposed 0.3 +- 0.05", within=0.05)
    assert retention.force_n(mass_kg=block_kg) == printed("3530", source=NEWTON)


@pytest.mark.parametrize(
    ("direction", "text"), [("forward", "0.8"), ("backward", "0.5"), ("sideways", "0.5"), ("upward", "0.2")]
)
def test_driving_loads_keep_their_decimal_points(direction: str, text: str) -> None:
    # A load-restraint page prints 8 g, 5 g, 5 g and 2 g.
    in_g = retention.driving_force_n(mass_kg=1.0, direction=direction) / retention.STANDARD_GRAVITY_M_S2
    assert in_g == printed(text, source="load restraint in road transport, decimal points restored", within=1e-9)
    assert in_g < 1 < retention.CRASH_G


@given(st.floats(0.1, 200.0), st.floats(1.0, 40.0), st.floats(0.1, 2.0))
def test_work_of_the_force_is_the_kinetic_energy(mass: float, speed: float, stopping: float) -> None:
    severity = retention.mean_deceleration_g(speed_m_s=speed, stopping_m=stopping)
    work = retention.force_n(mass_kg=mass, deceleration_g=severity) * stopping
    assert work == pytest.approx(mass * speed**2 / 2, rel=1e-12)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (lambda: retention.force_n(mass_kg=0.0), "mass_kg must be"),
        (lambda: retention.mean_deceleration_g(speed_m_s=14.0, stopping_m=0.0), "stopping_m must be"),
        (lambda: retention.driving_force_n(mass_kg=5.0, direction="inward"), "direction must be one of"),
    ],
)
def test_refuses_what_cannot_be(call, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        call()
