"""The figures of the electrical half can be asked for by name, each with value, unit, basis and what it was made of."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from advisor.cli import main
from tests.facts.jobs import changed, engine, value, written

HOT = {"vehicle__cabin__hottest_c": 80, "vehicle__locations__seat-base__air": "closed"}
NOISY = {"chain__front__amplifier__noise_distance_db": 95, "ways__tweeter__driver__sensitivity_db": 91}
NAMES = {
    "low.dissipation_w": "W", "low.sink_c": "°C", "low.thermal_margin_k": "K", "low.minutes_to_protection": "min",
    "low.current_a": "A", "low.peak_current_a": "A", "low.1.power_w": "W", "low.1.sensitivity_to_set_v": "V",
    "supply.drop_v": "V", "supply.smallest_cable_mm2": "mm²", "supply.main_fuse_a": "A", "supply.largest_fuse_a": "A",
    "supply.idle_reserve_a": "A", "supply.parked_days": "days", "tweeter left.hiss_db": "dB", "job.exposure_min": "min",
}  # fmt: skip


@pytest.mark.parametrize(("address", "unit"), NAMES.items())
def test_a_figure_by_its_name(tmp_path, address, unit):
    data = changed(**HOT, **NOISY, customer__loudness_db=98)
    result = CliRunner().invoke(main, ["why", str(written(tmp_path, data)), address, "--json"])
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert told["name"] == address
    assert told["unit"] == unit
    assert told["value"] == value(engine(tmp_path, data), address)
    assert told["basis"] in ("rule of thumb", "datasheet", "measured", "computed")
    assert told["derivation"]
