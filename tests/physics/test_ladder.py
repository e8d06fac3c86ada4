import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.ladder import Element, solve

HZ = np.geomspace(10.0, 20000.0, 41)
elements = st.builds(
    Element,
    place=st.sampled_from(["series", "shunt"]),
    resistance_ohm=st.floats(0.05, 20.0),
    inductance_h=st.floats(0.0, 5e-3),
    capacitance_f=st.none() | st.floats(1e-6, 3e-4),
)


@given(st.lists(elements, max_size=7), st.floats(1.0, 16.0), st.floats(0.0, 2e-3), st.floats(0.0, 0.5))
def test_what_goes_in_is_heat_or_reaches_the_load(parts, load_ohm, load_h, source_ohm):
    load = load_ohm + 2j * np.pi * HZ * load_h
    solved = solve(HZ, elements=parts, load_ohm=load, source_ohm=source_ohm, voltage_v=10.0)
    current = 10.0 / (solved.input_ohm + source_ohm)
    taken = np.abs(current) ** 2 * solved.input_ohm.real
    np.testing.assert_allclose(solved.load_w + solved.element_w.sum(axis=0), taken, rtol=1e-8)
    assert solved.element_w.shape == (len(parts), HZ.size)


@given(st.lists(elements, min_size=1, max_size=7), st.floats(1.0, 16.0))
def test_against_the_equations_of_all_meshes_at_once(parts, load_ohm):
    """The same ladder by nodal analysis: one matrix per frequency instead of a walk."""
    for hz in HZ[::8]:
        nodes = 1 + sum(part.place == "series" for part in parts)
        matrix = np.zeros((nodes, nodes), dtype=complex)
        node = 0
        for part in parts:
            admittance = 1 / part.impedance_ohm(np.array([hz]))[0]
            if part.place == "series":
                pair = [node, node + 1]
                matrix[np.ix_(pair, pair)] += admittance * np.array([[1, -1], [-1, 1]])
                node += 1
            else:
                matrix[node, node] += admittance
        matrix[node, node] += 1 / load_ohm
        potentials = np.ones(nodes, dtype=complex)
        if nodes > 1:
            potentials[1:] = np.linalg.solve(matrix[1:, 1:], -matrix[1:, 0])
        solved = solve(np.array([hz]), elements=parts, load_ohm=load_ohm)
        assert solved.transfer[0] == pytest.approx(potentials[-1], rel=1e-7)
        assert 1 / solved.input_ohm[0] == pytest.approx(matrix[0] @ potentials, rel=1e-7)


def test_a_bare_load():
    bare = solve(HZ, elements=[], load_ohm=4.0, source_ohm=0.1, voltage_v=4.1)
    np.testing.assert_allclose(bare.transfer, 4.0 / 4.1)
    np.testing.assert_allclose(bare.input_ohm, 4.0)
    np.testing.assert_allclose(bare.load_w, 4.0)
    assert bare.element_w.shape == (0, HZ.size)


def test_the_winding_takes_its_share():
    heat = solve(np.array([1.0]), elements=[Element("series", resistance_ohm=1.0)], load_ohm=4.0, voltage_v=5.0)
    assert heat.element_w.tolist() == [[1.0]]
    assert heat.load_w.tolist() == [4.0]


def test_refusals():
    with pytest.raises(ValueError, match="place"):
        Element("across", resistance_ohm=1.0)
    with pytest.raises(ValueError, match="needs a resistance"):
        Element("series")
    with pytest.raises(ValueError, match="capacitance_f"):
        Element("series", capacitance_f=0.0)
    with pytest.raises(ValueError, match="inductance_h"):
        Element("series", inductance_h=-1e-3)
    with pytest.raises(ValueError, match="short circuit"):
        solve(HZ, elements=[], load_ohm=0.0)
    with pytest.raises(ValueError, match="frequency_hz"):
        solve(np.array([0.0]), elements=[], load_ohm=4.0)
