"""How far an audit is, with the time left, on standard error where that is a terminal."""

from __future__ import annotations

import sys
import time
from typing import TextIO

WIDTH = 30
EVERY_S = 0.2


class Progress:
    """A line that is written over as packages are done, and gone at the end."""

    def __init__(self, what: str, stream: TextIO | None = None) -> None:
        self.what, self.stream = what, stream or sys.stderr
        self.began = time.monotonic()
        self.told = 0.0

    def __call__(self, done: int, whole: int) -> None:
        """Tell that so many packages of so many are done."""
        if not self.stream.isatty():
            return
        now = time.monotonic()
        if done < whole and now - self.told < EVERY_S:
            return
        self.told = now
        left = (now - self.began) / done * (whole - done)
        full = WIDTH * done // whole
        bar = "#" * full + "." * (WIDTH - full)
        line = f"{self.what} {bar} {done}/{whole} packages, {time_words(left)} left"
        self.stream.write("\r" + (" " * len(line) + "\r" if done == whole else line + " "))
        self.stream.flush()


def time_words(seconds: float) -> str:
    """Return a time to come in words of a clock.

    >>> time_words(7.2), time_words(75), time_words(7260)
    ('8 s', '1 min 15 s', '2 h 1 min')
    """
    whole = int(-(-seconds // 1))
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
