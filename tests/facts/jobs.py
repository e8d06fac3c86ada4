"""Whole job files for tests: the base of the rule cases, changed, written out and read as a user's would be."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.chain.build import Chain, build_chain
from advisor.chain.subject import Subject
from advisor.facts.engine import Engine
from advisor.facts.reading import Missing, NotDefined, Reading
from advisor.facts.registry import register, register_by_kind
from advisor.judging.cases import patched
from advisor.judging.review import Review, review_job
from advisor.reading.reader import read_job

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples" / "jobs").glob("*.yaml"))
BASE = ROOT / "rules" / "bases" / "base.yaml"
TODAY = date(2026, 11, 25)


def changed(unset: tuple[str, ...] = (), /, **places: Any) -> dict[str, Any]:
    """Return the base job changed: `ways__sub__plays=[...]` sets ways.sub.plays."""
    return patched({"set": {place.replace("__", "."): value for place, value in places.items()}, "unset": unset})


def written(folder: Path, data: dict[str, Any], name: str = "job.yaml") -> Path:
    path = folder / name
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return path


def chain(folder: Path, data: dict[str, Any]) -> Chain:
    return build_chain(read_job(written(folder, data), "job.yaml"))


def engine(folder: Path, data: dict[str, Any]) -> Engine:
    return Engine(chain(folder, data))


def review(folder: Path, data: dict[str, Any]) -> Review:
    return review_job(written(folder, data), "job.yaml", TODAY)


def value(engine: Engine, address: str) -> Any:
    """Return the value of `midwoof left.plays_down_to_hz`."""
    return engine.ask(*engine.find(address)).value


def work_out_by(patch: pytest.MonkeyPatch, kind: str, name: str, compute: Callable[[Any], Any]) -> None:
    """Let a fact be worked out by another function for the time of a test."""
    other = replace(register()[kind, name], compute=compute)
    patch.setitem(register(), (kind, name), other)
    patch.setitem(register_by_kind()[kind], name, other)


def subject(chain: Chain, kind: str, name: str) -> Subject:
    return next(one for one in chain.of_kind(kind) if one.name == name)


def shown_facts(engine: Engine) -> Iterator[tuple[Subject, str]]:
    """Yield every fact of every subject that is no hidden step."""
    for one in engine.chain.subjects:
        for (kind, name), fact in engine.facts.items():
            if kind == one.kind and not fact.hidden:
                yield one, name


def everything(engine: Engine) -> dict[tuple[str, str, str], Reading | str]:
    """Ask for every fact; where there is none, keep why."""
    found: dict[tuple[str, str, str], Reading | str] = {}
    for one, name in shown_facts(engine):
        try:
            found[(*one.key, name)] = engine.ask(one, name)
        except (Missing, NotDefined) as stop:
            found[(*one.key, name)] = f"{type(stop).__name__}: {getattr(stop, 'name', stop)}"
    return found
