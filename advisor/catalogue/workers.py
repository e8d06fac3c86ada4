"""Packages judged one after the other, or by several processes; results come in the packages' order either way."""

from __future__ import annotations

import gc
from collections import deque
from collections.abc import Collection, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from datetime import date
from multiprocessing import get_context
from pathlib import Path

from advisor.catalogue.bench import Bench
from advisor.catalogue.catalogue import Catalogue, open_catalogue
from advisor.catalogue.work import Done, Keys, work_on

Task = tuple[Path, frozenset[str]]
"""A package's file, and the keys of its lines that are known."""

AHEAD = 3
"""Packages handed out for each worker before results are waited for: enough to keep all busy, and memory bounded."""


TIDIED = 25
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
    catalogue: Catalogue, program: str, today: date, tasks: Iterable[Task | None], workers: int
) -> Iterator[Done | None]:
    """Yield what came of each task, in their order; nothing for one that has nothing left to do."""
    if workers <= 1:
        alone = Alone(catalogue, program, today)
        yield from (alone(*task) if task else None for task in tasks)
        return
    beginning = (catalogue.folder, catalogue.name, program, today)
    context = get_context("spawn")  # nothing this process holds, locks least of all, is in the others by chance
    with ProcessPoolExecutor(workers, context, _begin, beginning) as pool:
        waiting: deque[Future[Done] | None] = deque()
        try:
            for task in tasks:
                waiting.append(pool.submit(_one, *task) if task else None)
                while waiting and (waiting[0] is None or len(waiting) >= AHEAD * workers):
                    yield _result(waiting.popleft())
            while waiting:
                yield _result(waiting.popleft())
        finally:
            for future in waiting:
                if future:
                    future.cancel()


def _result(future: Future[Done] | None) -> Done | None:
    return future.result() if future else None


_ALONE: list[Alone] = []


def _begin(folder: Path, name: str, program: str, today: date) -> None:
    gc.disable()
    _ALONE[:] = [Alone(open_catalogue(folder, name), program, today)]


def _one(path: Path, known: frozenset[str]) -> Done:
    return _ALONE[0](path, known)
