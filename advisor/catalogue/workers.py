"""Packages judged by this process alone, or by several, each beginning at its own part of them."""

from __future__ import annotations

import contextlib
import gc
import itertools
from collections import deque
from collections.abc import Collection, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from datetime import date
from multiprocessing import get_context
from pathlib import Path
from typing import TypeVar

from advisor.catalogue.bench import Bench
from advisor.catalogue.catalogue import Catalogue, open_catalogue
from advisor.catalogue.work import Done, Keys, work_on

T = TypeVar("T")
Task = tuple[Path, frozenset[str]]
"""A package's file, and the keys of its lines that are known."""

AHEAD = 3
"""Packages handed out to each worker before results are waited for: enough to keep all busy, and memory bounded."""

TIDIED = 50
"""Packages after which garbage is looked for, among what came since the last time: most of what is there stays. Where
an audit is a process of its own that is the only time it is looked for."""


class Alone:
    """Judges in this process."""

    def __init__(self, catalogue: Catalogue, program: str, today: date) -> None:
        self.catalogue, self.program, self.today = catalogue, program, today
        self._bench: Bench | None = None
        self._judged = 0

    def __call__(self, path: Path, known: Collection[str]) -> Done:
        """Judge one package."""
        if self._bench is None:
            self._bench = Bench(self.catalogue, self.today)
        self._judged += 1
        if self._judged % TIDIED == 0:
            gc.collect()
            gc.freeze()
        return work_on(self._bench, Keys(self.catalogue, self.program, self.today), path, known)


def judged(
    catalogue: Catalogue, program: str, today: date, tasks: Sequence[Task], workers: int
) -> Iterator[tuple[Task, Done]]:
    """Yield each task with what came of it, as they are done."""
    if workers <= 1:
        alone = Alone(catalogue, program, today)
        yield from ((task, alone(*task)) for task in tasks)
        return
    beginning = (catalogue.folder, catalogue.name, program, today)
    context = get_context("spawn")  # nothing this process holds, locks least of all, is in the others by chance
    with contextlib.ExitStack() as stack:
        shares = [deque(share) for share in shared_out(tasks, workers)]
        pools = [stack.enter_context(ProcessPoolExecutor(1, context, _begin, beginning)) for _ in shares]
        waiting: dict[Future[Done], tuple[int, Task]] = {}
        try:
            for worker, pool in enumerate(pools):
                for _ in range(AHEAD):
                    if task := _next(shares, worker):
                        waiting[pool.submit(_one, *task)] = worker, task
            while waiting:
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    worker, task = waiting.pop(future)
                    yield task, future.result()
                    if following := _next(shares, worker):
                        waiting[pools[worker].submit(_one, *following)] = worker, following
        finally:
            for future in waiting:
                future.cancel()


def shared_out(tasks: Sequence[T], workers: int) -> list[Sequence[T]]:
    """Return a run of the tasks for each worker: neighbours have much in common.

    >>> shared_out([1, 2, 3, 4, 5], 2)
    [[1, 2], [3, 4, 5]]
    """
    ends = [len(tasks) * number // workers for number in range(workers + 1)]
    return [tasks[start:end] for start, end in itertools.pairwise(ends) if end > start]


def _next(shares: list[deque[Task]], worker: int) -> Task | None:
    """Return a worker's next task; one that is through with its own helps with the end of the longest that is left."""
    if shares[worker]:
        return shares[worker].popleft()
    longest = max(shares, key=len)
    return longest.pop() if longest else None


_ALONE: list[Alone] = []


def _begin(folder: Path, name: str, program: str, today: date) -> None:
    gc.disable()
    _ALONE[:] = [Alone(open_catalogue(folder, name), program, today)]


def _one(path: Path, known: frozenset[str]) -> Done:
    return _ALONE[0](path, known)
