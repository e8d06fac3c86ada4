"""Packages judged on a cluster: a `distributed` scheduler is told by its address; its workers need no files of ours.

What all packages share goes out once, each package with its task. A worker that dies costs the tasks it had in hand:
the scheduler gives them to others. Results come in the packages' order.
"""

from __future__ import annotations

import atexit
import hashlib
import importlib
import shutil
import tempfile
import threading
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from advisor.catalogue.catalogue import Catalogue, open_catalogue, program_digest
from advisor.catalogue.work import Done
from advisor.catalogue.workers import AHEAD, Alone, Task
from advisor.errors import AdvisorError

RETRIES = 3


class NoCluster(AdvisorError):
    """The cluster cannot be used."""


@dataclass(frozen=True)
class Bundle:
    """What all packages of a catalogue share: the files of its library, by their place in it."""

    name: str
    program: str
    today: date
    files: tuple[tuple[str, bytes], ...]
    key: str


def bundle_of(catalogue: Catalogue, program: str, today: date) -> Bundle:
    """Return all that a worker needs beside packages."""
    folder = catalogue.folder
    paths = [path for place in ("parts", "vehicles") for path in sorted((folder / place).rglob("*.y*ml"))]
    shop = folder / "shop.yaml"
    files = tuple((path.relative_to(folder).as_posix(), path.read_bytes()) for path in (*paths, shop) if path.is_file())
    summed = hashlib.sha256(repr((catalogue.name, program, today, files)).encode())
    return Bundle(catalogue.name, program, today, files, summed.hexdigest())


def judged_on_cluster(
    catalogue: Catalogue, program: str, today: date, tasks: Sequence[Task], address: str
) -> Iterator[tuple[Task, Done]]:
    """Yield each task with what came of it, in their order.

    Raises NoCluster.
    """
    try:
        distributed: Any = importlib.import_module("distributed")
    except ImportError:
        raise NoCluster("a cluster needs the extra 'cluster': pip install 'advisor[cluster]'") from None
    try:
        client = distributed.Client(address, timeout="20s", set_as_default=False)
    except (OSError, ValueError) as error:
        raise NoCluster(f"no scheduler answers at {address}: {error}") from None
    with client:
        shared = client.scatter(bundle_of(catalogue, program, today), broadcast=True, hash=False)
        waiting: deque[tuple[Task, Any]] = deque()
        for task in tasks:
            waiting.append((task, _submitted(client, shared, catalogue, task)))
            if len(waiting) >= AHEAD * max(1, len(client.nthreads())):
                yield _result(*waiting.popleft())
        while waiting:
            yield _result(*waiting.popleft())


def _submitted(client: Any, shared: Any, catalogue: Catalogue, task: Task) -> Any:
    path, known = task
    place = path.relative_to(catalogue.folder).as_posix()
    return client.submit(on_worker, shared, place, path.read_bytes(), known, pure=False, retries=RETRIES)


def _result(task: Task, future: Any) -> tuple[Task, Done]:
    try:
        done: Done = future.result()
    except AdvisorError:
        raise
    except Exception as error:  # whatever a cluster of others' machines may meet
        raise NoCluster(f"the cluster gave a package up: {type(error).__name__}: {error}") from None
    return task, done


_LOCK = threading.Lock()
_ALONE: dict[str, tuple[Path, Alone]] = {}


def on_worker(bundle: Bundle, place: str, text: bytes, known: frozenset[str]) -> Done:
    """Judge one package, on a worker: one at a time, so that its lines share their work."""
    with _LOCK:
        if bundle.key not in _ALONE:
            _ALONE[bundle.key] = _unpacked(bundle, place, text)
        folder, alone = _ALONE[bundle.key]
        path = folder / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)
        try:
            return alone(path, known)
        finally:
            path.unlink()


def _unpacked(bundle: Bundle, place: str, text: bytes) -> tuple[Path, Alone]:
    if program_digest() != bundle.program:
        raise NoCluster("a worker of the cluster has another version of the program or its rules")
    folder = Path(tempfile.mkdtemp(prefix="advisor-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    for name, data in (*bundle.files, (place, text)):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder, Alone(open_catalogue(folder, bundle.name), bundle.program, bundle.today)
