"""Watching a job while it is edited: reviewed again on every save, and what changed is told."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.judging.again import review_again
from advisor.judging.review import Review, review_system
from advisor.reading.files import Stamp
from advisor.reading.rereading import JobOnDisk
from advisor.telling.changes import Teller
from advisor.telling.harmless import harmless
from advisor.telling.terminal import review_text, styled

EVERY_S = 0.05
"""Time between two looks at the files."""

AT_REST_S = 0.02
"""A file that was as it is for so long is not being written."""

PATIENCE_S = 0.3
"""How long what is found faulty may still turn out to be half written, or about to be moved into place."""


class Watch:
    """Reviews a job now and whenever one of its files is saved.

    `say` takes what is told, `complain` what is wrong with a file; `sleep` passes the time.
    """

    def __init__(
        self,
        path: Path,
        say: Callable[[str], None],
        complain: Callable[[str], None],
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self.job = JobOnDisk(path)
        self.say, self.complain, self.sleep = say, complain, sleep
        self.review: Review | None = None
        self.teller: Teller | None = None
        self.faulty = False

    def run(self) -> None:
        """Watch until it is interrupted (Ctrl-C)."""
        try:
            saved: list[Path] = []
            while True:
                self._once(saved)
                gc.collect()  # while nobody waits: a command looks for no garbage otherwise
                saved = self._wait()
        except KeyboardInterrupt:
            return

    def exit_code(self, fail_on: str) -> int:
        """Return the exit code of a review of the job as it stands."""
        if self.faulty or self.review is None:
            return 2
        return int(fail_on != "never" and self.review.fails(fail_on))

    def _once(self, saved: list[Path]) -> None:
        """Review, and tell the whole at first, then what changed."""
        start = time.perf_counter()
        try:
            self.review = self._reviewed()
        except AdvisorError as error:
            if self._moves_within(PATIENCE_S):
                return
            self.faulty = True
            kept = "; what was told before is kept until it is mended" if self.teller else ""
            self.complain(f"\n{_heading(saved)}cannot be used as it is saved{kept}:\n{error}")
            return
        took_ms = (time.perf_counter() - start) * 1000
        was_faulty, self.faulty = self.faulty, False
        if self.teller is None:
            self.teller = Teller(self.review)
            files = len(self.job.files.asked) - 1
            self.say(review_text(self.review).rstrip("\n"))
            self.say(f"\nWatching {harmless(self.job.name)} and {files} other files it is made of; Ctrl-C ends.")
            return
        mended = "mended and " if was_faulty else ""
        self.say(f"\n{_heading(saved)}{mended}reviewed again in {took_ms:.0f} ms")
        self.say(self.teller.tell(self.review))

    def _reviewed(self) -> Review:
        system, today = self.job.read(), date.today()
        return review_again(self.review, system, today) if self.review else review_system(system, today)

    def _wait(self) -> list[Path]:
        """Return the files that were saved, as soon as some were and all are at rest."""
        asked = self.job.files.asked
        while True:
            now, took_s = self._look()
            if now != asked:
                self.sleep(AT_REST_S)
                if self.job.files.look() == now:
                    return sorted(path for path in now.keys() | asked.keys() if now.get(path) != asked.get(path))
            self.sleep(max(EVERY_S, 9 * took_s))  # a library of thousands of files costs a tenth of the time at most

    def _look(self) -> tuple[dict[Path, Stamp], float]:
        start = time.perf_counter()
        return self.job.files.look(), time.perf_counter() - start

    def _moves_within(self, seconds: float) -> bool:
        """Wait, and tell whether the files changed meanwhile."""
        asked = self.job.files.asked
        self.sleep(seconds)
        return self.job.files.look() != asked


def _heading(saved: list[Path]) -> str:
    names = harmless(", ".join(path.name for path in saved))
    return styled(f"-- {time.strftime('%H:%M:%S')} {names}".rstrip(), bold=True) + ": "
