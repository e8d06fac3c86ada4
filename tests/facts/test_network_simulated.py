"""A job's own networks through a circuit simulator: what facts pass on is what the circuit of parts and driver does."""

from __future__ import annotations

import numpy as np
import pytest

from tests.facts.jobs import changed, engine, value
from tests.facts.test_ready_made import LEGS
from tests.physics.test_ladder_ngspice import assert_same, simulate, simulator

__all__ = ["simulator"]

NETWORKS = {
    "designed": {},
    "designed with a pad": {"chain__split__pad_db": {"high": 6}},
    "designed steeper": {
        "ways__tweeter__plays": ["2400 LR24", "open"],
        "ways__midwoof__plays": ["75 LR24", "2400 BW18"],
    },
    "ready made": {"chain__split__network": {"legs": LEGS}},
}


@pytest.mark.parametrize("name", NETWORKS)
@pytest.mark.parametrize("way", ["tweeter left", "midwoof left"])
def test_a_networks_voltage_and_load(simulator, tmp_path, name, way):
    # a tweeter's sheet has no Vas; its impedance does not depend on it, the simulator's circuit wants one
    made = engine(tmp_path, changed(ways__tweeter__driver__vas_l=0.007, **NETWORKS[name]))
    parts = [bought for _, bought in value(made, f"{way}.branch")]
    hz, load, seen, _ = simulate(simulator, tmp_path, parts, value(made, f"{way}.model"), vented=False)
    assert_same(value(made, f"{way}.network_passes")(hz), load)
    both = value(made, "front.1.load_curve")(hz)
    other = {"tweeter left": "midwoof left", "midwoof left": "tweeter left"}[way]
    (tmp_path / "other").mkdir()
    beside = [bought for _, bought in value(made, f"{other}.branch")]
    _, _, rest, _ = simulate(simulator, tmp_path / "other", beside, value(made, f"{other}.model"), vented=False)
    assert_same(both, 1 / (1 / seen + 1 / rest))
    assert value(made, "split left.lowest_load_ohm") == pytest.approx(np.abs(both[hz >= 20]).min(), rel=2e-3)
