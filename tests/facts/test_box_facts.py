"""Driver and box through whole job files: port, travel, heat, beaming, and whether a sheet can be believed."""

from __future__ import annotations

import math

import pytest

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from tests.facts.jobs import changed, engine, value
from tests.printed import printed

B4 = "alignment tables, sites.google.com/site/diyloudspeakerdesign"
TRAVEL = "the right value of a formula misprinted on the web; Small 1972, displacement-limited power"
TABLES = "Bessel tables (from memory)"
PEAK = "Zmax = Re (1 + Qms/Qes); value derived"

SUB = {
    "type": "sub", "size_mm": 250, "fs_hz": 30, "qts": 0.4048, "qms": 5, "vas_l": 60, "sd_cm2": 330, "xmax_mm": 12,
    "impedance_ohm": 4, "re_ohm": 3.3, "power_w": 300,
}  # fmt: skip


def sub(tmp_path, box=None, plays=None, way=None, **driver):
    places = {f"ways__sub__{key}": entry for key, entry in (way or {}).items()}
    if box:
        places["ways__sub__box"] = box
    if plays:
        places["ways__sub__plays"] = plays
    return engine(tmp_path, changed(ways__sub__driver={**SUB, **driver}, **places))


def test_ten_decibels_down_in_the_flattest_vented_box(tmp_path):
    made = sub(tmp_path, box={"vented_l": 60 / 1.0613, "tuned_hz": 30})
    assert printed("0.7598", source=B4, within=2e-4) == value(made, "sub.tenth_power_hz") / 30


def test_what_travel_allows(tmp_path):
    made = sub(tmp_path, plays=["50 BW24", "75 LR24"], sd_cm2=490, xmax_mm=15)
    assert printed("113.7", source=TRAVEL, within=0.15) == value(made, "sub.excursion_limited_db")


def test_two_cones_reach_six_decibels_more(tmp_path):
    one = value(sub(tmp_path), "sub.excursion_limited_db")
    (tmp_path / "two").mkdir()
    two = value(sub(tmp_path / "two", way={"count": 2, "joined": "parallel"}), "sub.excursion_limited_db")
    assert two - one == pytest.approx(20 * math.log10(2))


def test_a_port_carries_the_level_where_the_cone_rests(tmp_path):
    closed = value(sub(tmp_path, plays=["30 BW24", "75 LR24"]), "sub.excursion_limited_db")
    (tmp_path / "vented").mkdir()
    box = {"vented_l": 50, "tuned_hz": 30}
    vented = value(sub(tmp_path / "vented", box=box, plays=["30 BW24", "75 LR24"]), "sub.excursion_limited_db")
    assert vented > closed + 6


def test_a_port_of_that_length_tunes_the_box(tmp_path):
    made = sub(tmp_path, box={"vented_l": 40, "tuned_hz": 32, "port_mm": 75, "ports": 2})
    length, area = value(made, "sub.port_length_mm") / 1000, math.pi * 0.0375**2
    assert physics.port.tuned_hz(length_m=length, box_m3=0.040, area_m2=area, count=2) == pytest.approx(32)


def test_a_hole_too_small_for_its_tuning_has_no_length(tmp_path):
    made = sub(tmp_path, box={"vented_l": 40, "tuned_hz": 90, "port_mm": 40})
    with pytest.raises(NotDefined, match="wider"):
        value(made, "sub.port_length_mm")


def test_air_goes_slower_through_more_ports(tmp_path):
    speeds = []
    for ports in (1, 2):
        folder = tmp_path / str(ports)
        folder.mkdir()
        made = sub(folder, box={"vented_l": 40, "tuned_hz": 32, "port_mm": 80, "ports": ports})
        speeds.append(value(made, "sub.port_velocity_m_s"))
    assert speeds[0] == pytest.approx(2 * speeds[1])


def test_the_cone_stops_the_air_where_power_would_not(tmp_path):
    speeds = []
    for travel in (0.5, 1.5, 100):
        folder = tmp_path / str(travel)
        folder.mkdir()
        made = sub(folder, box={"vented_l": 40, "tuned_hz": 32, "port_mm": 80}, xmax_mm=travel)
        speeds.append(value(made, "sub.port_velocity_m_s"))
    assert speeds[0] < speeds[1] < speeds[2]


def test_a_filling_makes_the_box_seem_larger_and_the_port_shorter(tmp_path):
    seems, lengths = [], []
    for fill in ("none", "lined", "filled"):
        folder = tmp_path / fill
        folder.mkdir()
        made = sub(folder, box={"vented_l": 40, "tuned_hz": 32, "port_mm": 80, "fill": fill})
        seems.append(value(made, "sub.box_seems_l"))
        lengths.append(value(made, "sub.port_length_mm"))
    assert seems == pytest.approx([40, 42, 48])
    # what resonates is the acting length, its ends included: 1.43 radii for one end in a wall and one free
    acting = [length + 40 * (0.822 + 0.613) for length in lengths]
    assert acting[0] / acting[2] == pytest.approx(1.2, rel=1e-3)


def test_a_filled_box_holds_the_cone_less(tmp_path):
    travel = []
    for fill in ("none", "filled"):
        folder = tmp_path / fill
        folder.mkdir()
        motion = value(sub(folder, box={"closed_l": 25, "fill": fill}), "sub.motion")
        travel.append(float(motion(physics.spectrum.at_hz(25.0)).peak_excursion_m[0]))
    assert travel[1] > 1.05 * travel[0]


@pytest.mark.parametrize("box", [{"closed_l": 25}, {"vented_l": 40, "tuned_hz": 32}])
def test_a_filled_box_plays_as_a_larger_one(tmp_path, box):
    (volume, litres), *rest = box.items()
    edges = []
    for name, made in (("filled", {**box, "fill": "filled"}), ("larger", {volume: 1.2 * litres, **dict(rest)})):
        folder = tmp_path / name
        folder.mkdir()
        edges.append(value(sub(folder, box=made), "sub.half_power_hz"))
    assert edges[0] == pytest.approx(edges[1], rel=1e-9)


def test_a_driver_without_a_box_has_none_to_fill(tmp_path):
    with pytest.raises(NotDefined, match="no box"):
        value(engine(tmp_path, changed()), "midwoof left.box_seems_l")


def test_what_an_open_door_takes_off(tmp_path):
    """A share g of the back, so far behind: 1 - g exp(-j phase), by hand at the low edge of 75 Hz."""
    made = engine(tmp_path, changed())
    phase = 2 * math.pi * 75 * 0.3 / 343.2
    left = math.hypot(1 - 0.7 * math.cos(phase), 0.7 * math.sin(phase))
    assert value(made, "midwoof left.unsealed_loss_db") == pytest.approx(-20 * math.log10(left), abs=0.01)
    with pytest.raises(NotDefined, match="no door"):
        value(made, "sub.unsealed_loss_db")


@pytest.mark.parametrize("name", ["sub.port_length_mm", "sub.port_velocity_m_s"])
def test_a_closed_box_has_no_port(tmp_path, name):
    with pytest.raises(NotDefined, match="no port"):
        value(sub(tmp_path), name)


def test_beams_where_the_tables_have_it(tmp_path):
    made = engine(tmp_path, changed())
    x = 2 * math.pi * value(made, "midwoof left.beams_above_hz") / 343.2 * math.sin(math.radians(45))
    assert printed("2.2118", source=TABLES) == x * value(made, "midwoof left.cone_radius_mm") / 1000


def test_an_angle_nobody_took_is_asked_for(tmp_path):
    made = engine(tmp_path, changed(("vehicle.locations.door.left.off_axis_deg",)))
    with pytest.raises(Missing, match="off_axis_deg to driver"):
        value(made, "midwoof left.beams_above_hz")


def test_peak_of_the_impedance(tmp_path):
    assert printed("35.7", source=PEAK) == value(sub(tmp_path, qts=None, qes=0.5, qms=4.909), "sub.motional_peak_ohm")


def test_heat_allows_ten_decibels_for_ten_times_the_power(tmp_path):
    few = value(sub(tmp_path, power_w=30), "sub.thermal_limited_db")
    (tmp_path / "more").mkdir()
    assert value(sub(tmp_path / "more", power_w=300), "sub.thermal_limited_db") - few == pytest.approx(10)


WHOLE = {
    "fs_hz": 32, "mms_g": 104, "sd_cm2": 332, "bl_tm": 12.4, "re_ohm": 3.3, "qms": 6, "qes": 0.45, "qts": 0.42,
    "vas_l": 37.2,
}  # fmt: skip


def test_a_sheet_that_agrees_is_believed(tmp_path):
    made = sub(tmp_path, **WHOLE)
    assert value(made, "sub.sheet_doubt_percent") < 2


@pytest.mark.parametrize(
    ("slip", "named", "suspects"),
    [
        ({"mms_g": 208}, "Qes", ("Mms",)),
        ({"bl_tm": 21.4}, "Qes", ("Bl", "Re")),
        ({"qts": 0.24}, "Qts", ("Qts", "Qms")),
        ({"vas_l": 73.2}, "fs", ("Vas", "Sd")),
        ({"qes": 0.95}, "Qes", ("Qes",)),
        ({"fs_hz": 50}, "fs", ("fs",)),
    ],
)
def test_a_slip_is_found(tmp_path, slip, named, suspects):
    made = sub(tmp_path, **{**WHOLE, **slip})
    assert value(made, "sub.sheet_doubt_percent") > 20
    assert value(made, "sub.doubtful_number").startswith(f"{named} is given as")
    assert set(suspects) <= set(value(made, "sub.likely_slips"))
    assert len(value(made, "sub.likely_slips")) <= 3


def test_a_sheet_that_agrees_has_no_slip(tmp_path):
    with pytest.raises(NotDefined, match="agrees"):
        value(sub(tmp_path, **WHOLE), "sub.likely_slips")


def test_sensitivity_is_held_against_motor_and_mass_where_the_cone_is_not_known(tmp_path):
    """The same efficiency two ways: of the numbers of one sheet, with and without fs, Vas and Q."""
    whole = value(sub(tmp_path, **WHOLE, sensitivity_db=88.8), "sub.sensitivity_shown_db")
    (tmp_path / "motor").mkdir()
    made = sub(tmp_path / "motor", **{**WHOLE, "vas_l": None, "qes": None, "qts": None}, sensitivity_db=88.8)
    assert value(made, "sub.sensitivity_shown_db") == pytest.approx(whole, abs=0.15)


def test_efficiency_by_the_motor_as_printed(tmp_path):
    """eta0 = rho Bl² Sd² / (2 pi c Mms² Re), at 20 °C; the constant is printed for dry air of 25 °C, 1.7 % less."""
    made = sub(tmp_path, **{**WHOLE, "vas_l": None, "qes": None, "qts": None}, sensitivity_db=88.8)
    share = 10 ** ((value(made, "sub.sensitivity_shown_db") - 112.16) / 10)
    constant = share / ((12.4 * 0.0332 / 0.104) ** 2 / 3.3)
    source = "encyclopaedia mirrors of Thiele/Small parameters, rho/(2 pi c) in dry air of 25 °C"
    assert printed("5.445e-4", source=source, share=0.03) == constant


def test_two_coils_are_checked_as_sheets_print_them(tmp_path):
    two = {"coils": 2, "re_ohm": 1.7, "bl_tm": 7.2, "mms_g": 118, "fs_hz": 31, "qes": 0.38, "qms": 5.8, "qts": 0.35}
    made = sub(tmp_path, way={"coils": "series"}, **{**two, "sd_cm2": 331, "vas_l": 34.7})
    assert value(made, "sub.sheet_doubt_percent") < 3


def test_a_sheet_of_a_few_numbers_cannot_be_checked(tmp_path):
    with pytest.raises(NotDefined):
        value(sub(tmp_path), "sub.sheet_doubt_percent")
