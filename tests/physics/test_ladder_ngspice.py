"""Ladders with real drivers behind them, against a circuit simulator that knows nothing of loudspeakers."""

import math
import os
import random
import shutil
import subprocess

import numpy as np
import pytest

from advisor.physics import driver
from advisor.physics.driver import Driver
from advisor.physics.ladder import Element, solve

SIMULATOR = shutil.which("ngspice")
BOX_LITRES, TUNED_HZ, LEAKAGE_Q = 34.0, 33.0, 7.0


@pytest.fixture
def simulator():
    if SIMULATOR is None:
        if os.environ.get("CI") == "true":
            pytest.fail("ngspice is not installed, and CI must not go without this oracle")
        pytest.skip("ngspice is not installed")
    return SIMULATOR


def some_driver(dice):
    return Driver(
        resonance_hz=dice.uniform(25.0, 900.0),
        electrical_q=dice.uniform(0.3, 1.2),
        mechanical_q=dice.uniform(1.5, 8.0),
        compliance_volume_m3=10 ** dice.uniform(-4.5, -1.2),
        cone_area_m2=10 ** dice.uniform(-3.2, -1.4),
        coil_ohm=dice.uniform(1.6, 7.0),
        coil_h=10 ** dice.uniform(-5.0, -2.8),
    )


def some_ladder(dice):
    parts = []
    for _ in range(dice.randint(1, 6)):
        place = dice.choice(["series", "shunt"])
        coil_h, capacitance_f = 10 ** dice.uniform(-4.3, -2.3), 10 ** dice.uniform(-5.7, -3.7)
        parts.append(
            dice.choice(
                [
                    Element(place, resistance_ohm=dice.uniform(0.05, 0.8), inductance_h=coil_h),
                    Element(place, resistance_ohm=dice.uniform(0.01, 0.1), capacitance_f=capacitance_f),
                    Element(place, resistance_ohm=dice.uniform(1.0, 20.0)),
                    Element(place, resistance_ohm=0.3, inductance_h=coil_h, capacitance_f=capacitance_f),
                ]
            )
        )
    return parts


def row(lines, name, start, end, resistance, inductance, capacitance):
    """Write a resistor, a coil and a capacitor in a row from one node to another, leaving out what is absent."""
    present = [
        (letter, value)
        for letter, value in (("r", resistance), ("l", inductance), ("c", capacitance))
        if value is not None
    ]
    for step, (letter, value) in enumerate(present):
        left = start if step == 0 else f"{name}_{step}"
        right = end if step == len(present) - 1 else f"{name}_{step + 1}"
        lines.append(f"{letter}{name} {left} {right} {value:.15g}")


def simulate(command, folder, parts, one, vented):
    lines = ["ladder", ".options rshunt=1e12", "vsource n0 0 dc 0 ac 1"]
    node = 0
    for index, part in enumerate(parts):
        end = f"n{node + 1}" if part.place == "series" else "0"
        row(
            lines,
            f"e{index}",
            f"n{node}",
            end,
            part.resistance_ohm or None,
            part.inductance_h or None,
            part.capacitance_f,
        )
        node += part.place == "series"
    turns = one.force_factor_tm**2
    row(lines, "voice", f"n{node}", "cone", one.coil_ohm, one.coil_h, None)
    row(lines, "loss", "cone", "0", turns / one.loss_kg_s, None, None)
    row(lines, "mass", "cone", "0", None, None, one.moving_mass_kg / turns)
    row(lines, "spring", "cone", "0", None, one.compliance_m_n * turns, None)
    if vented:
        air_h = one.compliance_m_n * turns * BOX_LITRES / (1000 * one.compliance_volume_m3)
        tuned = 2 * math.pi * TUNED_HZ
        row(lines, "box", "cone", "0", tuned * air_h / LEAKAGE_Q, air_h, 1 / (tuned**2 * air_h))
    data = folder / "data"
    lines += [
        ".control",
        "set numdgt=14",
        "set wr_singlescale",
        "ac dec 100 10 20k",
        f"wrdata {data} v(n{node}) i(vsource) v(cone)",
        "quit 0",
        ".endc",
        ".end",
    ]
    netlist = folder / "ladder.cir"
    netlist.write_text("\n".join(lines) + "\n")
    subprocess.run([command, "-b", str(netlist)], check=True, capture_output=True, timeout=60, cwd=folder)
    columns = np.loadtxt(data).T
    hz, *halves = columns
    real_and_imaginary = np.array(halves).reshape(3, 2, -1)
    load, current, cone = real_and_imaginary[:, 0] + 1j * real_and_imaginary[:, 1]
    return hz, load, -1 / current, cone


def assert_same(found, expected):
    ratio = found / expected
    assert np.abs(20 * np.log10(np.abs(ratio))).max() < 0.01
    assert np.abs(np.angle(ratio, deg=True)).max() < 0.1


@pytest.mark.parametrize("seed", range(20))
def test_random_ladder_on_a_driver(simulator, tmp_path, seed):
    dice = random.Random(seed)
    one, parts, vented = some_driver(dice), some_ladder(dice), seed % 2 == 1
    hz, load, seen, cone = simulate(simulator, tmp_path, parts, one, vented)
    assert hz[0] == pytest.approx(10.0)
    assert hz[-1] == pytest.approx(20000.0, rel=0.005)
    if vented:
        moved = driver.vented(
            hz,
            driver=one,
            box_m3=BOX_LITRES / 1000,
            tuned_hz=TUNED_HZ,
            leakage_q=LEAKAGE_Q,
            voltage_v=1.0,
        )
    else:
        moved = driver.infinite_baffle(hz, driver=one, voltage_v=1.0)
    solved = solve(hz, elements=parts, load_ohm=moved.impedance_ohm)
    assert_same(solved.transfer, load)
    assert_same(solved.input_ohm, seen)
    # The voltage behind the coil is force factor times velocity, and so tells the excursion.
    assert_same(solved.transfer * moved.excursion_m, cone / (one.force_factor_tm * 2j * np.pi * hz))
