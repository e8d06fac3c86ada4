"""Parts to order, hours by stage, money: each sum against its parts, and against the job file by hand."""

from __future__ import annotations

import math

import pytest
import yaml

from advisor.facts.engine import Engine
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.work import STAGE_FACTS
from tests.facts.jobs import EXAMPLES, ROOT, changed, engine, value, written
from tests.printed import printed

BY_HAND = "derived by hand from rules/bases/base.yaml and rules/shop-defaults.yaml"
PRICED = [path for path in EXAMPLES if path.stem != "quick"]


def example(path) -> Engine:
    from advisor.chain.build import build_chain
    from advisor.reading.reader import read_job

    return Engine(build_chain(read_job(path)))


@pytest.fixture(scope="module", params=PRICED, ids=lambda path: path.stem)
def job(request):
    return example(request.param)


def asked(made: Engine, address: str):
    try:
        return value(made, address)
    except NotDefined:
        return 0.0


def test_items_and_networks_come_to_the_price_of_all_parts(job):
    items = [f"{one.name}.cost" for one in job.chain.of_kind("item")]
    assert len(items) > 8
    total = sum(value(job, item) for item in items) + value(job, "job.networks_cost")
    assert value(job, "job.parts_cost") == pytest.approx(total)


def test_stages_come_to_all_hours(job):
    assert value(job, "job.labour_h") == pytest.approx(sum(asked(job, f"job.{fact}") for fact in STAGE_FACTS))
    tasks = [one.name for one in job.chain.of_kind("task")]
    assert value(job, "job.work_h") == pytest.approx(sum(value(job, f"{task}.hours_h") for task in tasks))
    assert value(job, "job.consumables_cost") == pytest.approx(sum(value(job, f"{one}.consumables") for one in tasks))


def test_shares_of_the_parts_of_the_chain_come_to_a_hundred(job):
    parts = ("source", "processing", "amplification", "front", "bass", "rear", "wiring")
    shares = [asked(job, f"job.{part}_share_percent") for part in (*parts, "work", "consumables")]
    assert sum(shares) == pytest.approx(100)
    costs = sum(asked(job, f"job.{part}_cost") for part in parts)
    assert costs == pytest.approx(value(job, "job.parts_cost"))


def test_the_base_job_by_hand(tmp_path):
    made = engine(tmp_path, changed())
    # processor 480, amplifiers 380 + 300, tweeters 2 · 60, midwoofers 2 · 90, sub 210, box 120, two networks of 48
    assert printed("1886", source=BY_HAND) == value(made, "job.parts_cost")
    # seal-door-skin 2 · 2.0, damp-door 2 · 1.5, battery-wiring 3.0, set-up-and-tuning 4.0
    assert printed("14", source=BY_HAND) == value(made, "job.work_h")
    # tweeters 2 · 60, midwoofers 2 · 90, two networks of 48
    assert printed("396", source=BY_HAND) == value(made, "job.front_cost")
    assert printed("330", source=BY_HAND) == value(made, "job.bass_cost")


def test_cable_is_ordered_in_whole_metres(tmp_path):
    cable = {"price": 2.0, "mm2": 2.5, "use": "speaker"}
    data = changed(ways__midwoof__speaker_cable={"cable": cable, "run_m": 3.1})
    made = engine(tmp_path, data)
    item = "item midwoof cable"
    assert value(made, f"{item}.length_m") == pytest.approx(6.2)
    assert value(made, f"{item}.quantity") == 7
    assert value(made, f"{item}.cost") == pytest.approx(14.0)
    assert value(made, f"{item}.fit_h") == 0


def test_a_supply_cable_is_ordered_for_both_legs(tmp_path):
    data = changed(supply={"cable": {"price": 10, "mm2": 25}, "run_m": 4.2, "fuse_a": 80, "fuse_from_battery_m": 0.2})
    assert value(engine(tmp_path, data), "item supply cable.quantity") == math.ceil(2 * 4.2)


def test_what_is_in_the_vehicle_already_is_not_ordered(tmp_path):
    assert not [one for one in engine(tmp_path, changed()).chain.of_kind("item") if "screen" in one.name]


def test_a_part_without_a_price_is_named(tmp_path):
    made = engine(tmp_path, changed(("ways.sub.driver.price",)))
    with pytest.raises(Missing, match=r"price of ways\.sub\.driver"):
        value(made, "job.parts_cost")


def test_several_drivers_of_a_side_are_all_ordered(tmp_path):
    made = engine(tmp_path, changed(ways__midwoof__count=2, ways__midwoof__joined="series"))
    assert value(made, "item midwoof driver.quantity") == 4


SHOP = {"advisor": 1, "shop": "ours", "tax_percent": 20}


def taxed(folder, **more) -> Engine:
    written(folder, {**SHOP, **more}, "shop.yaml")
    return engine(folder, changed(shop="shop.yaml"))


def test_tax_is_contained_or_comes_on_top(tmp_path):
    contained = taxed(tmp_path)
    listed = value(contained, "job.listed_cost")
    assert value(contained, "job.total_cost") == listed
    assert value(contained, "job.tax_cost") == pytest.approx(listed - listed / 1.2)
    on_top = taxed(tmp_path, prices_with_tax=False)
    assert value(on_top, "job.tax_cost") == pytest.approx(0.2 * listed)
    assert value(on_top, "job.total_cost") == pytest.approx(1.2 * listed)


def test_margin_is_taken_before_tax(tmp_path):
    made = taxed(tmp_path, parts_margin_percent=30)
    assert value(made, "job.parts_margin") == pytest.approx(value(made, "job.parts_cost") / 1.2 * 0.3)


def test_tax_is_no_rule_of_thumb(tmp_path):
    with pytest.raises(Missing, match="tax_percent"):
        value(engine(tmp_path, changed()), "job.tax_cost")


def test_the_day_it_is_ready_waits_for_the_slowest_part(tmp_path):
    made = engine(tmp_path, changed(ways__sub__driver__lead_days=17))
    assert value(made, "job.waiting_days") == 17
    assert value(made, "job.last_to_come") == "sub driver"
    assert value(made, "job.ready_days") == 17 + value(made, "job.booked_days")


def test_the_weakest_way_is_the_one_that_ends_first(tmp_path):
    made = engine(tmp_path, changed(ways__midwoof__driver__xmax_mm=1.0))
    assert value(made, "job.weakest_way") == "midwoof left"
    assert value(made, "job.weak_link_ends_by") == "its travel"
    gap = value(made, "job.rest_reaches_db") - value(made, "job.weakest_reaches_db")
    assert value(made, "job.weak_link_db") == pytest.approx(gap)
    # half the travel is half the pressure
    half = engine(tmp_path, changed(ways__midwoof__driver__xmax_mm=0.5))
    lost = value(made, "job.weakest_reaches_db") - value(half, "job.weakest_reaches_db")
    assert printed("6.0206", source="derived: 20 log 2") == lost


def test_shipped_operations_put_back_no_longer_than_they_take():
    shop = yaml.safe_load((ROOT / "rules" / "shop-defaults.yaml").read_text(encoding="utf-8"))
    back = {name: operation["refit_h"] for name, operation in shop["operations"].items() if "refit_h" in operation}
    assert back
    assert all(hours < shop["operations"][name]["h"] for name, hours in back.items())
