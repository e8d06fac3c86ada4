"""Processes that answer numbers: copies of this one where that is safe, begun anew elsewhere.

A copy has all that was read and loaded before. It is safe where nothing else runs in this process: what another thread
holds, a lock say, would be held in the copy for ever. Whoever of them ends early is noticed by its pipe, and so is by
them the end of this process; a key that interrupts is for this process alone, which ends them.
"""

from __future__ import annotations

import contextlib
import gc
import signal
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from types import TracebackType
from typing import Any, Generic, TypeVar, cast

from advisor.errors import AdvisorError

T = TypeVar("T")
Work = Callable[[int], T]

TASKS = Path("/proc/self/task")
"""Where Linux lists the threads of a process, those of libraries too."""


class WorkerLost(AdvisorError):
    """A process that judges ended before it was done."""


def can_copy() -> bool:
    """Tell whether this process can safely be copied as it is."""
    try:
        return sys.platform == "linux" and len(list(TASKS.iterdir())) == 1
    except OSError:
        return False


class Crew(Generic[T]):
    """Processes that work side by side. `begin` is called in each; what it returns does the work.

    Where they are begun anew `begin` is sent to them. With it go out numbers only, so that a pipe is never full.
    """

    def __init__(self, begin: Callable[[], Work[T]], count: int, *, copies: bool) -> None:
        context: Any = get_context("fork" if copies else "spawn")
        self._pipes: list[Connection] = []
        self._processes: list[BaseProcess] = []
        self._asked = [0] * count
        try:
            for _ in range(count):
                ours, theirs = context.Pipe()
                self._pipes.append(ours)
                not_theirs = tuple(self._pipes) if copies else ()
                process = context.Process(target=_serve, args=(begin, theirs, not_theirs), daemon=True)
                process.start()
                self._processes.append(process)
                theirs.close()
        except BaseException:
            self._end()
            raise

    def __enter__(self) -> Crew[T]:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._end()

    def ask(self, worker: int, number: int) -> None:
        """Give a process something to do."""
        self._asked[worker] += 1
        with contextlib.suppress(OSError):  # that it is gone is told where its answer is waited for
            self._pipes[worker].send(number)

    def answers(self) -> Iterator[tuple[int, T]]:
        """Yield each answer as it comes, with who gave it, until nothing is left that was asked.

        Raises WorkerLost, and what went wrong in a process.
        """
        while any(self._asked):
            busy = {pipe: worker for worker, pipe in enumerate(self._pipes) if self._asked[worker]}
            for pipe in wait(list(busy)):
                worker = busy[cast(Connection, pipe)]
                try:
                    answer = self._pipes[worker].recv()
                except (EOFError, OSError):
                    raise WorkerLost(self._how_it_ended(worker)) from None
                self._asked[worker] -= 1
                if isinstance(answer, BaseException):
                    raise answer
                yield worker, answer

    def _how_it_ended(self, worker: int) -> str:
        process = self._processes[worker]
        process.join(5)
        code = process.exitcode or 0
        how = f"by signal {-code}" if code < 0 else f"with exit code {code}"
        return f"a process that judges ended {how} before it was done; what it had judged is kept, audit again"

    def _end(self) -> None:
        for pipe in self._pipes:
            pipe.close()
        for process in self._processes:
            process.terminate()
        for process in self._processes:
            process.join()


def _serve(begin: Callable[[], Work[T]], pipe: Connection, not_ours: Sequence[Connection]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for other in not_ours:
        other.close()
    gc.disable()
    gc.freeze()
    work: Work[T] | None = None
    with contextlib.suppress(EOFError, OSError):  # whoever asked is gone
        while True:
            number = pipe.recv()
            try:
                work = work or begin()
                answer: T | Exception = work(number)
            except Exception as error:  # whatever a rule or library may throw belongs to who asked
                error.add_note(traceback.format_exc())
                answer = error
            pipe.send(answer)
