"""Trims, polarity and delays of a way: one for both sides or one for each, refused where they stand."""

from __future__ import annotations

import pytest

from advisor.reading.reader import read_job
from advisor.reading.sides import BySide
from advisor.reading.system import System


def with_settings(desk, text: str) -> System:
    desk.change("work: [damp-door]", f"work: [damp-door], {text}")
    return read_job(desk.folder / "job.yaml", "job.yaml")


def test_one_setting_is_for_both_sides(desk):
    way = with_settings(desk, "trim_db: -3, polarity: inverted, delay_ms: 0.5").ways["mid"].spec
    for setting, both in ((way.trim_db, -3), (way.polarity, "inverted"), (way.delay_ms, 0.5)):
        assert isinstance(setting, BySide)
        assert (setting.of("left"), setting.of("right"), setting.of("")) == (both, both, both)
    assert (str(way.trim_db), str(way.polarity)) == ("-3", "inverted")


def test_each_side_may_have_its_own_or_none(desk):
    way = with_settings(desk, "trim_db: {left: -4.5, right: 0}, delay_ms: {left: 1.25}").ways["mid"].spec
    assert way.trim_db is not None
    assert (way.trim_db.of("left"), way.trim_db.of("right")) == (-4.5, 0)
    assert way.delay_ms is not None
    assert (way.delay_ms.of("left"), way.delay_ms.of("right")) == (1.25, None)
    assert (str(way.trim_db), str(way.delay_ms)) == ("left -4.5, right 0", "left 1.25")
    assert way.polarity is None


@pytest.mark.parametrize(
    ("written", "where", "what"),
    [
        ("trim_db: loud", "ways.mid.trim_db", "'loud' is not a number"),
        ("trim_db: '3'", "ways.mid.trim_db", "'3' is not a number"),
        ("trim_db: 21", "ways.mid.trim_db", "'21' must be less than equal 20"),
        ("trim_db: {left: -61}", "ways.mid.trim_db.left", "'-61' must be greater than equal -60"),
        ("trim_db: {}", "ways.mid.trim_db", "a mapping holds no setting by side"),
        ("trim_db: {both: 1}", "ways.mid.trim_db", "a mapping holds no setting by side"),
        ("delay_ms: {right: -0.1}", "ways.mid.delay_ms.right", "'-0.1' must be greater than equal 0"),
        ("delay_ms: {lefd: 1}", "ways.mid.delay_ms", "a mapping holds no setting by side"),
        ("delay_ms: [1, 2]", "ways.mid.delay_ms", "a list is not a number"),
        ("delay_ms: true", "ways.mid.delay_ms", "'true' is not a number"),
        ("polarity: 1", "ways.mid.polarity", "'1' is not one of 'normal' or 'inverted'"),
        ("polarity: {left: invert}", "ways.mid.polarity.left", "'invert' is not one of 'normal' or 'inverted'"),
    ],
)
def test_a_setting_that_is_none_is_refused_where_it_stands(desk, written, where, what):
    desk.change("work: [damp-door]", f"work: [damp-door], {written}")
    fault = desk.fault()
    assert (fault.file, fault.line, fault.where) == ("job.yaml", 10, where)
    assert what in fault.what


@pytest.mark.parametrize("name", ["trim_db: {left: -3}", "delay_ms: {right: 1}", "polarity: {left: normal}"])
def test_sides_want_a_way_that_has_them(desk, name):
    desk.change("at: door", "at: shelf")
    desk.change("from: [front.1, front.2], plays", f"from: front.1, {name}, plays")
    fault = desk.fault()
    assert "is given by side, but this way has no left and right" in fault.what
    assert fault.where == f"ways.mid.{name.split(':')[0]}"
