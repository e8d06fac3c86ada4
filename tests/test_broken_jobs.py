"""Whatever is done to a good file, the program says in words where it went wrong, or reviews it; and soon."""

from __future__ import annotations

import copy
import functools
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.errors import InputError
from advisor.judging.review import Review, review_job
from advisor.reading.source import read_source

ROOT = Path(__file__).parent.parent
LIBRARY = ROOT / "examples" / "library"
TODAY = date(2026, 11, 25)
PLACE = re.compile(r".+:[1-9][0-9]*:[1-9][0-9]*: .")

JOBS = [*sorted((ROOT / "examples" / "jobs").glob("*.yaml")), ROOT / "rules" / "bases" / "base.yaml"]
RULES = [ROOT / "advisor" / "starters" / "rule.yaml"]
BESIDE = [LIBRARY / name for name in ("shop.yaml", "vehicles/camper-swb.yaml", "parts/amplifiers.yaml")]
BESIDE += [LIBRARY / "parts" / f"{name}.yaml" for name in ("tweeters", "processors", "sources", "subs")]

ODD = [
    None,
    True,
    False,
    0,
    -1,
    1,
    3,
    64,
    65,
    0.5,
    1e-9,
    1e9,
    1e14,
    -273.15,
    "",
    " ",
    "open",
    "auto",
    "none",
    "4:1",
    "010",
    "on",
    "no",
    "25 mm",
    "0.5",
    "350 LR24",
    "9e9 LR24",
    "20 BW6",
    "20000 BS48",
    "brain.1",
    "front.1+2",
    "front.0",
    "front.9",
    "split.high",
    "split",
    "left",
    "sub left",
    "2027-02-30",
    "x" * 3000,
    "ä\u202e\u0301",
    "\x1b[31m\n",
    "{{ job }}",
    [],
    [[]],
    {},
    [1, 2],
    [2, 1, 0],
    ["a"],
    {"a": 1},
    {1: 2},
    {"kind": "driver"},
    {"title": "x"},
    {"driver": 1.0},
    ["brain.1", "brain.1"],
    "driver",
    "SB-250",
    "AM-1",
]


class TooSlow(BaseException):
    """Not an Exception, for a rule that fails with one is only called broken."""


HANGS_S = 20
"""A review that takes this long hangs, on a busy machine too; how fast it is, is measured in tests/bench."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    def stop(number: int, frame: FrameType | None) -> None:
        raise TooSlow(f"more than {seconds} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def reviewed(path: Path) -> Review | InputError:
    """Return the review, or the error after a look at each of its faults; anything else escapes."""
    with within(HANGS_S):
        try:
            return review_job(path, path.name, today=TODAY)
        except InputError as error:
            assert error.faults
            for fault in error.faults:
                assert fault.line >= 1
                assert fault.column >= 1
                assert fault.what
                head, *shown = str(fault).split("\n")
                assert PLACE.match(head), head
                assert str(fault).replace("\n", "").isprintable()
                assert not shown or (len(shown) == 2 and shown[1].strip() == "^" and len(shown[1]) <= 120)
            return error


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for jobs beside a copy of the example library."""
    folder = tmp_path_factory.mktemp("broken")
    shutil.copytree(LIBRARY, folder / "library")
    (folder / "jobs").mkdir()
    return folder


@functools.cache
def written(source: Path) -> Any:
    return read_source(source).data


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every value below a value."""
    keys = data.keys() if isinstance(data, dict) else range(len(data)) if isinstance(data, list) else ()
    for key in keys:
        yield (*path, key)
        yield from places(data[key], (*path, key))


def holder_of(data: Any, path: tuple[Any, ...]) -> Any:
    for step in path[:-1]:
        data = data[step]
    return data


def misspelt(draw: st.DrawFn, word: str) -> str:
    at = draw(st.integers(0, max(0, len(word) - 1)))
    return draw(st.sampled_from([word[:at] + word[at + 1 :], word[:at] + "q" + word[at:], word.upper(), word + "_hz"]))


def delete(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    del holder_of(data, path)[path[-1]]


def misspell(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    holder, value = holder_of(data, path), holder_of(data, path)[path[-1]]
    if isinstance(holder, dict) and (not isinstance(value, str) or draw(st.booleans())):
        holder[misspelt(draw, str(path[-1]))] = holder.pop(path[-1])
    else:
        holder[path[-1]] = misspelt(draw, str(value))


def mistype(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    holder_of(data, path)[path[-1]] = copy.deepcopy(draw(st.sampled_from(ODD)))


def mistake(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    """Another value of the same sort: a decimal point slipped, or a word that stands elsewhere in the file."""
    holder, value = holder_of(data, path), holder_of(data, path)[path[-1]]
    if isinstance(value, int | float) and not isinstance(value, bool):
        holder[path[-1]] = value * draw(st.sampled_from([0.001, 0.1, 0.5, 2, 10, 1000, -1, 0]))
    elif isinstance(value, str):
        words = [other for one in places(data) if isinstance(other := holder_of(data, one)[one[-1]], str)]
        holder[path[-1]] = draw(st.sampled_from(words))
    else:
        delete(draw, data, path)


def swap(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    other = draw(st.sampled_from(list(places(data))))
    if path[: len(other)] == other or other[: len(path)] == path:
        return
    one, two = holder_of(data, path), holder_of(data, other)
    one[path[-1]], two[other[-1]] = two[other[-1]], one[path[-1]]


def blow_up(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    holder = holder_of(data, path)
    value, times = holder[path[-1]], draw(st.sampled_from([2, 60, 1500]))
    if isinstance(value, dict):
        for number in range(times if len(str(value)) < 400 else 5):
            value[f"more {number}"] = copy.deepcopy(next(iter(value.values()), None))
    elif isinstance(value, list | str):
        holder[path[-1]] = value * times
    else:
        holder[path[-1]] = 10 ** min(times, 300)


def nest(draw: st.DrawFn, data: Any, path: tuple[Any, ...]) -> None:
    holder = holder_of(data, path)
    for number in range(draw(st.sampled_from([1, 2, 40]))):
        holder[path[-1]] = [holder[path[-1]]] if number % 2 else {"in": holder[path[-1]]}


HARMS = [delete, mistake, misspell, mistype, mistype, swap, blow_up, nest]
GENTLE = [delete, delete, mistake, mistake, swap]
"""What often leaves a file that can be read, so that chain, facts and rules meet what nobody would plan."""


@st.composite
def patched(draw: st.DrawFn, sources: list[Path], harms: list[Callable[..., None]] = HARMS) -> tuple[Path, bytes]:
    """A file with one to three of its values harmed."""
    source = draw(st.sampled_from(sources))
    data = copy.deepcopy(written(source))
    for _ in range(draw(st.integers(1, 3))):
        known = list(places(data))
        if known:
            harm = draw(st.sampled_from(harms))
            harm(draw, data, draw(st.sampled_from(known)))
    return source, yaml.dump(data, Dumper=yaml.CSafeDumper, allow_unicode=True, sort_keys=False).encode()


@st.composite
def torn(draw: st.DrawFn, sources: list[Path]) -> tuple[Path, bytes]:
    """A file truncated, with bytes put in, or with lines lost, doubled, swapped or shifted."""
    source = draw(st.sampled_from(sources))
    raw = source.read_bytes()
    how = draw(st.sampled_from(["cut", "bytes", "lines"]))
    at = draw(st.integers(0, len(raw)))
    if how == "cut":
        return source, raw[:at]
    if how == "bytes":
        marks = [
            b"\t",
            b"\0",
            b"\xff",
            b"\r",
            b": ",
            b"- ",
            b"&a ",
            b"*a ",
            b"!!set ",
            b"---\n",
            b"{",
            b"]",
            b"'",
            b'"',
            b"#",
            b"%",
            b".inf",
            b"<<: ",
            b"? ",
            b"\xe2\x80\xa8",
            b"\xef\xbb\xbf",
            b"| \n",
            b"\n",
        ]
        return source, raw[:at] + draw(st.sampled_from(marks) | st.binary(max_size=8)) + raw[at:]
    lines = raw.split(b"\n")
    one, two = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
    change = draw(st.sampled_from(["lose", "double", "swap", "shift"]))
    if change == "lose":
        del lines[one]
    elif change == "double":
        lines.insert(two, lines[one])
    elif change == "swap":
        lines[one], lines[two] = lines[two], lines[one]
    else:
        lines[one] = draw(st.sampled_from([b"  ", b"    ", b"\t"])) + lines[one]
    return source, b"\n".join(lines)


LAX = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture],
)


@settings(LAX, max_examples=200)
@given(harmed=patched(JOBS))
def test_a_job_with_harmed_values_is_explained_or_reviewed(shelf: Path, harmed: tuple[Path, bytes]) -> None:
    path = shelf / "jobs" / "job.yaml"
    path.write_bytes(harmed[1])
    reviewed(path)


@settings(LAX, max_examples=300)
@given(harmed=patched(JOBS, GENTLE))
def test_a_job_with_other_values_is_explained_or_reviewed(shelf: Path, harmed: tuple[Path, bytes]) -> None:
    path = shelf / "jobs" / "job.yaml"
    path.write_bytes(harmed[1])
    found = reviewed(path)
    assert isinstance(found, InputError) or [finding.why_not for finding in found.of("broken")] == []


@settings(LAX, max_examples=150)
@given(harmed=torn(JOBS))
def test_a_job_with_torn_text_is_explained_or_reviewed(shelf: Path, harmed: tuple[Path, bytes]) -> None:
    path = shelf / "jobs" / "job.yaml"
    path.write_bytes(harmed[1])
    reviewed(path)


@settings(LAX, max_examples=100)
@given(harmed=patched(BESIDE) | torn(BESIDE))
def test_a_harmed_library_is_explained_or_reviewed(shelf: Path, harmed: tuple[Path, bytes]) -> None:
    source, raw = harmed
    job = shelf / "jobs" / "job.yaml"
    job.write_bytes((ROOT / "examples" / "jobs" / "sound.yaml").read_bytes())
    beside = shelf / "library" / source.relative_to(LIBRARY)
    beside.write_bytes(raw)
    try:
        reviewed(job)
    finally:
        beside.write_bytes(source.read_bytes())


@settings(LAX, max_examples=150)
@given(harmed=patched(RULES) | torn(RULES))
def test_a_harmed_rule_of_a_shop_is_explained_or_judged(shelf: Path, harmed: tuple[Path, bytes]) -> None:
    job = shelf / "jobs" / "job.yaml"
    job.write_bytes((ROOT / "advisor" / "starters" / "job.yaml").read_bytes() + b"\nshop: rules.yaml\n")
    (job.parent / "rules.yaml").write_bytes(harmed[1])
    reviewed(job)


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "job.yaml:1:1: the file is empty"),
        (b"\xff\xfe\x00j", "job.yaml:1:1: byte 0xff is not UTF-8 text"),
        (
            b"job: x\nways: {a: {driver: {size_mm: 25 mm}}}\n",
            "job.yaml:2:30: ways.a.driver.size_mm: '25 mm' is not a number",
        ),
        (b"job: x\njob: y\n", "job.yaml:2:1: job: 'job' stands here twice (first in line 1)"),
        (b"a: " + b"[" * 100_000, "nesting"),
        (
            b"job: x\nways: {a: {driver: {size_mm: 25}, from: b.1}}\n",
            "job.yaml:2:41: ways.a.from: the chain has no 'b'",
        ),
        (
            b"job: x\nwaive: [{rule: no-such, at: a, reason: abc, until: 2027-01-01, by: me}]\n"
            b"ways: {a: {driver: {size_mm: 25}}}\n",
            "job.yaml:2:16: waive.1.rule: there is no rule 'no-such'",
        ),
    ],
)
def test_the_command_line_says_what_is_wrong_and_ends_with_2(tmp_path: Path, raw: bytes, said: str) -> None:
    (tmp_path / "job.yaml").write_bytes(raw)
    command = [sys.executable, "-m", "advisor", "review", "job.yaml"]
    ended = subprocess.run(
        command,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert "Traceback" not in ended.stderr
    assert said in ended.stderr
