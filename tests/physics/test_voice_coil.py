import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import driver, voice_coil


@given(
    q=st.tuples(st.floats(0.2, 2), st.floats(1, 12)),
    resonance_hz=st.floats(20, 2000),
    coil=st.tuples(st.floats(1, 16), st.floats(0, 3e-3)),
)
def test_agrees_with_the_equations_of_motion(q, resonance_hz, coil):
    """The same coil and cone, solved as forces and velocities: impedance does not depend on area or compliance."""
    electrical_q, mechanical_q = q
    shared = {
        "resonance_hz": resonance_hz,
        "electrical_q": electrical_q,
        "mechanical_q": mechanical_q,
        "coil_ohm": coil[0],
        "coil_h": coil[1],
    }
    hz = np.geomspace(10, 20_000, 60)
    moving = driver.Driver(compliance_volume_m3=0.02, cone_area_m2=0.013, **shared)
    assert voice_coil.impedance_ohm(hz, **shared) == pytest.approx(
        driver.infinite_baffle(hz, driver=moving).impedance_ohm, rel=1e-9
    )


@pytest.mark.parametrize("wrong", [{"coil_ohm": 0}, {"coil_h": -1e-3}, {"mechanical_q": float("nan")}])
def test_refuses_what_no_coil_has(wrong):
    sound = {"coil_ohm": 3.3, "resonance_hz": 60, "electrical_q": 0.6, "mechanical_q": 4}
    with pytest.raises(ValueError, match=next(iter(wrong))):
        voice_coil.impedance_ohm(100.0, **{**sound, **wrong})
