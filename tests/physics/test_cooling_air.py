"""Air as a coolant, against the standard atmosphere and an open property library."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.physics import air, cooling_air
from tests.printed import printed

ATMOSPHERE = "U.S. Standard Atmosphere 1976 at 288.15 K, from memory"


def test_standard_atmosphere() -> None:
    assert 1e5 * cooling_air.viscosity_pa_s(temperature_c=15.0) == printed("1.789", source=ATMOSPHERE)
    assert 1e3 * cooling_air.conductivity_w_mk(temperature_c=15.0) == printed("25.3", source=ATMOSPHERE)


@pytest.mark.parametrize("temperature_c", [-40.0, -10.0, 20.0, 50.0, 100.0])
def test_agrees_with_real_air(temperature_c: float) -> None:
    real = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is the oracle here").PropsSI

    def of(quantity: str) -> float:
        return float(real(quantity, "T", temperature_c + 273.15, "P", 101325.0, "Air"))

    assert cooling_air.viscosity_pa_s(temperature_c=temperature_c) == pytest.approx(of("viscosity"), rel=0.008)
    assert cooling_air.conductivity_w_mk(temperature_c=temperature_c) == pytest.approx(of("conductivity"), rel=0.017)
    assert air.air_density_kg_m3(temperature_c=temperature_c) == pytest.approx(of("D"), rel=0.002)
    assert of("C") == pytest.approx(cooling_air.HEAT_CAPACITY_J_KGK, rel=0.006)
    assert cooling_air.heat_carried_j_m3k(temperature_c=temperature_c) == pytest.approx(of("C") * of("D"), rel=0.006)


def test_warm_air_is_thicker_conducts_more_and_carries_less() -> None:
    temperature = np.linspace(-40.0, 120.0, 161)
    assert np.all(np.diff(cooling_air.viscosity_pa_s(temperature_c=temperature)) > 0)
    assert np.all(np.diff(cooling_air.conductivity_w_mk(temperature_c=temperature)) > 0)
    assert np.all(np.diff(cooling_air.heat_carried_j_m3k(temperature_c=temperature)) < 0)


@pytest.mark.parametrize("call", [cooling_air.viscosity_pa_s, cooling_air.conductivity_w_mk])
def test_refuses_what_cannot_be(call) -> None:
    with pytest.raises(ValueError, match="temperature_c must lie between -100 and 500"):
        call(temperature_c=-200.0)
