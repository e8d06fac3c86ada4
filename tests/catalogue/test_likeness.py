"""Packages of the same parts follow each other, and each worker begins at its own run of them."""

from __future__ import annotations

from collections import deque

from hypothesis import given
from hypothesis import strategies as st

from advisor.catalogue.likeness import by_likeness
from advisor.catalogue.workers import _next, shared_out

WOOFERS, SUBS = ("W-1", "W-2", "W-3"), ("S-1", "S-2")


def test_what_differs_most_is_kept_together_first(tmp_path):
    paths = []
    for number in range(24):
        path = tmp_path / f"{number:02d}.yaml"
        path.write_text(
            f"# W-9 {number}\nways: {{sub: {{driver: {SUBS[number % 2]}}}, low: {{driver: {WOOFERS[number % 3]}}}}}"
        )
        paths.append(path)
    few = tmp_path / "few.yaml"
    few.write_text("ways: {low: {driver: W-2}}")
    ordered = by_likeness([*paths, few], {*WOOFERS, *SUBS})
    assert sorted(ordered) == sorted([*paths, few])
    assert ordered[0] == few
    kinds = [(WOOFERS[int(path.stem) % 3], SUBS[int(path.stem) % 2]) for path in ordered[1:]]
    assert kinds == sorted(kinds)


def test_a_file_that_cannot_be_read_has_its_place_too(tmp_path):
    (tmp_path / "a.yaml").write_bytes(b"\xff\xfe W-1")
    paths = [tmp_path / "gone.yaml", tmp_path / "a.yaml"]
    assert set(by_likeness(paths, {"W-1"})) == set(paths)


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
