"""Answers by what they rest on: found where all of that is the same, and nowhere else."""

from __future__ import annotations

import functools
import itertools
from operator import or_

from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.catalogue.leaves import Leaf
from advisor.catalogue.tokens import DesignTokens, Numbers, VehicleTokens
from advisor.catalogue.traces import MANY, Line, Traces


class Stands(DesignTokens, VehicleTokens):
    """What stands at leaves, as a test says."""

    def __init__(self, numbers: Numbers, said: dict[Leaf, object]) -> None:
        super(VehicleTokens, self).__init__(numbers)
        self.said = said

    def token(self, leaf: Leaf) -> object:
        return self.said.get(leaf)


def leaf(name: str) -> Leaf:
    return ("given", "vehicle#place" if name.isupper() else "package#ways", name)


def line_of(numbers: Numbers, said: dict[str, object]) -> Line:
    stands = Stands(numbers, {leaf(name): value for name, value in said.items()})
    return Line(stands, stands)


def asked(traces: Traces, line: Line, said: dict[str, object], names: str) -> object:
    """Look an answer up or work it out; it is made of what stands at some leaves."""
    question = traces.questions["what"]
    known = traces.get(question, line)
    if known is not None:
        return known[0]
    found = tuple((name, said[name]) for name in names)
    traces.put(question, line, bits(traces, names), found)
    return found


def bits(traces: Traces, names: str) -> int:
    return functools.reduce(or_, [traces.index[leaf(name)] for name in names])


def read_of(said: dict[str, object]) -> str:
    """Return the leaves that are read: which come next hangs on what stood at the first."""
    return "a" + ("bB" if said["a"] == 0 else "cA" if said["a"] == 1 else "bcAB")


VALUES = st.fixed_dictionaries({name: st.integers(0, 2) for name in "abcAB"})


@given(st.lists(VALUES, max_size=40), st.sampled_from([4, 1000]))
@settings(deadline=None)
def test_an_answer_is_the_one_that_would_be_worked_out(lines, most):
    numbers = Numbers()
    traces = Traces(numbers.index, most)
    for said in lines:
        names = read_of(said)
        expected = tuple((name, said[name]) for name in names)
        assert asked(traces, line_of(numbers, said), said, names) == expected


def test_the_same_is_not_worked_out_twice_and_what_is_not_known_is_equal_to_nothing():
    numbers = Numbers()
    traces = Traces(numbers.index, 1000)
    said = {"a": 1, "c": 5, "A": 7}
    for _ in range(3):
        asked(traces, line_of(numbers, said), said, "acA")
    assert (traces.made, traces.taken) == (1, 2)
    for _ in range(2):
        asked(traces, line_of(numbers, {**said, "c": None}), {**said, "c": None}, "acA")
    assert traces.made == 3


def test_a_question_of_many_sets_of_leaves_is_looked_up_by_what_all_have():
    """As a sum over the parts of a package: each combination reads leaves of its own."""
    numbers = Numbers()
    traces = Traces(numbers.index, 1000)
    letters = "bcdefghijklmnopq"
    pairs = list(itertools.combinations(letters, 2))[: 5 * MANY]
    for _ in range(2):
        for number, pair in enumerate(pairs):
            said = {"a": number, **{name: ord(name) for name in letters}}
            assert asked(traces, line_of(numbers, said), said, "a" + "".join(pair))[1][0] == pair[0]
    question = traces.questions["what"]
    assert question.common is not None
    assert question.common.all == bits(traces, "a")
    assert max(len(known) for known in question.by_common.values()) <= 2
    assert traces.taken >= len(pairs) - 2 * MANY


def test_what_was_not_asked_for_in_a_long_while_makes_room():
    numbers = Numbers()
    traces = Traces(numbers.index, 20)
    for number in range(200):
        said = {"a": number}
        asked(traces, line_of(numbers, said), said, "a")
        asked(traces, line_of(numbers, {"a": 0}), {"a": 0}, "a")
    held = [len(one.found) + len(one.before) for one in traces.questions["what"].known]
    assert sum(held) <= 20
    assert traces.made == 200
