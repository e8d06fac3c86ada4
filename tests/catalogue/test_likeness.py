"""Packages of the same parts follow each other, and each worker begins at its own run of them."""

from __future__ import annotations

from collections import deque

from hypothesis import given
from hypothesis import strategies as st

from advisor.catalogue.likeness import by_likeness
from advisor.catalogue.workers import _next, shared_out

DRIVERS, AMPLIFIERS = ("W-1", "W-2", "S-1", "S-2", "S-3"), ("A-1", "A-2", "A-3")


def test_files_of_the_same_keys_come_together_and_in_them_those_of_the_same_drivers(tmp_path):
    paths, made_of = [], {}
    for number in range(36):
        woofer, sub, amplifier = f"W-{number % 2 + 1}", f"S-{number % 3 + 1}", f"A-{number // 3 % 3 + 1}"
        path = tmp_path / f"{number:02d}.yaml"
        passive = "split: {network: auto}, " if number % 4 == 0 else ""
        path.write_text(
            f"# S-3 {number}\nchain: {{{passive}front: {{amplifier: {amplifier}}}}}\n"
            f"ways: {{low: {{driver: {woofer}}}, sub: {{driver: {sub}}}}}\nextras: {{{amplifier}: 1}}\n"
        )
        paths.append(path)
        made_of[path] = (bool(passive), woofer, sub, amplifier)
    ordered = by_likeness(paths, {*DRIVERS, *AMPLIFIERS}, {*DRIVERS})
    assert sorted(ordered) == paths
    found = [made_of[path] for path in ordered]
    half = found.index(next(one for one in found if one[0] != found[0][0]))
    assert len({one[0] for one in found[half:]}) == 1
    assert found[:half] == sorted(found[:half])
    assert found[half:] == sorted(found[half:])


def test_a_file_that_cannot_be_read_has_its_place_too(tmp_path):
    (tmp_path / "a.yaml").write_bytes(b"\xff\xfe W-1")
    paths = [tmp_path / "gone.yaml", tmp_path / "a.yaml"]
    assert set(by_likeness(paths, {"W-1"}, {"W-1"})) == set(paths)


@given(st.lists(st.integers(), unique=True, max_size=60), st.integers(1, 9), st.randoms())
def test_each_task_is_given_to_one_worker_once(tasks, workers, dice):
    shares = [deque(share) for share in shared_out(tasks, workers)]
    assert [task for share in shares for task in share] == tasks
    given_out = []
    while any(shares):
        task = _next(shares, dice.randrange(len(shares)))
        assert task is not None
        given_out.append(task)
    assert sorted(given_out) == sorted(tasks)


def test_who_is_through_helps_at_the_far_end():
    shares = [deque(), deque([1, 2, 3]), deque([4])]
    assert _next(shares, 0) == 3
    assert _next(shares, 1) == 1
