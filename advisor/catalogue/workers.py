"""Packages judged by this process alone, or by several, each beginning at its own part of them."""

from __future__ import annotations

import functools
import gc
import itertools
from collections import deque
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from advisor.catalogue.bench import Bench
from advisor.catalogue.catalogue import Catalogue, open_catalogue
from advisor.catalogue.work import Done, Keys, work_on

if TYPE_CHECKING:
    from advisor.catalogue.crew import Crew

T = TypeVar("T")
Answer = tuple[int, Done]
"""A task by its number, and what came of it."""

Task = tuple[Path, frozenset[str]]
"""A package's file, and the keys of its lines that are known."""

AHEAD = 2
"""Packages handed out to each worker before results are waited for: enough to keep all busy, and the end even."""

TIDIED = 300
"""Packages after which garbage is looked for, among what came since the last time: most of what is there stays. Where
none was found, twice as many pass. Where an audit is a process of its own that is the only time it is looked for."""


class Alone:
    """Judges in this process."""

    def __init__(self, catalogue: Catalogue, program: str, today: date) -> None:
        self._bench, self._keys = Bench(catalogue, today), Keys(catalogue, program, today)
        self._judged, self._tidied_after = 0, TIDIED

    def __call__(self, path: Path, known: Collection[str]) -> Done:
        """Judge one package."""
        self._judged += 1
        if self._judged >= self._tidied_after:
            found, longer = gc.collect(), min(2 * self._tidied_after, 16 * TIDIED)
            self._judged, self._tidied_after = 0, TIDIED if found else longer
            gc.freeze()
        return work_on(self._bench, self._keys, path, known)


def judged(
    catalogue: Catalogue, program: str, today: date, tasks: Sequence[Task], workers: int
) -> Iterator[tuple[Task, Done]]:
    """Yield each task with what came of it, as they are done.

    Raises WorkerLost.
    """
    if not tasks:
        return
    if workers <= 1:
        alone = Alone(catalogue, program, today)
        yield from ((task, alone(*task)) for task in tasks)
        return
    from advisor.catalogue.crew import Crew, can_copy

    copies = can_copy()
    begin: Callable[[], Callable[[int], Answer]]
    if copies:
        begin = functools.partial(_numbered, Alone(catalogue, program, today), tasks)
    else:
        begin = functools.partial(_begun, catalogue.folder, catalogue.name, program, today, tasks)
    shares = [deque(share) for share in shared_out(range(len(tasks)), workers)]
    with Crew(begin, len(shares), copies=copies) as crew:
        for worker in [*range(len(shares))] * AHEAD:
            _ask(crew, shares, worker)
        for worker, (number, done) in crew.answers():
            _ask(crew, shares, worker)
            yield tasks[number], done


def shared_out(tasks: Sequence[T], workers: int) -> list[Sequence[T]]:
    """Return a run of the tasks for each worker: neighbours have much in common.

    >>> shared_out([1, 2, 3, 4, 5], 2)
    [[1, 2], [3, 4, 5]]
    """
    ends = [len(tasks) * number // workers for number in range(workers + 1)]
    return [tasks[start:end] for start, end in itertools.pairwise(ends) if end > start]


def _next(shares: list[deque[T]], worker: int) -> T | None:
    """Return a worker's next task; one that is through with its own helps with the end of the longest that is left."""
    if shares[worker]:
        return shares[worker].popleft()
    longest = max(shares, key=len)
    return longest.pop() if longest else None


def _ask(crew: Crew[Answer], shares: list[deque[int]], worker: int) -> None:
    number = _next(shares, worker)
    if number is not None:
        crew.ask(worker, number)


def _begun(folder: Path, name: str, program: str, today: date, tasks: Sequence[Task]) -> Callable[[int], Answer]:
    """Return what judges in a process that was begun anew."""
    return _numbered(Alone(open_catalogue(folder, name), program, today), tasks)


def _numbered(alone: Alone, tasks: Sequence[Task]) -> Callable[[int], Answer]:
    return lambda number: (number, alone(*tasks[number]))
