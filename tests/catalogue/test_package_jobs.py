"""The job of a package is the same whether its file is read anew or taken over from what the package says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from advisor.reading.border import build
from advisor.reading.job import Job
from advisor.reading.origin import root_of
from advisor.reading.package import read_package
from advisor.reading.source import read_source
from advisor.reading.spec import Spec
from tests.catalogue.conftest import PACKAGE

EXAMPLES = sorted((Path(__file__).parents[2] / "examples" / "catalogue" / "packages").glob("*.yaml"))


def told(value: Any) -> Any:
    """Everything that is known of what was read: values, where each mapping stands, and how much it may be off."""
    if isinstance(value, Spec):
        place = value.origin and (value.origin.place, value.origin.identity)
        inner = {name: told(held) for name, held in vars(value).items() if name not in ("origin", "tolerances")}
        return type(value).__name__, place, sorted(map(repr, value.tolerances.items())), inner
    if isinstance(value, dict):
        return {key: told(inner) for key, inner in value.items()}
    return [told(inner) for inner in value] if isinstance(value, tuple) else value


def same_jobs(path: Path) -> int:
    """Hold all jobs of a package against those made of its data; return how many were taken over."""
    faults: list[Any] = []
    package = read_package(read_source(path, path.name), path.stem, faults)
    assert package is not None, faults
    found = 0
    for settled in package.ways_to_settle:
        for customer in package.spec.customers:
            file = package.job(settled, customer, package.spec.vehicles[-1])
            read = build(Job, file.data, root_of(file), faults)
            assert not faults
            if file.checked is not None:
                found += 1
                assert told(file.checked) == told(read)
    return found


def test_examples_have_the_same_jobs():
    assert sum(map(same_jobs, EXAMPLES)) > 10


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("advisor: 1", "advisor: 1\nair_c: {value: 25, within: 4}"),
        ("loudness_db: 90", "loudness_db: {value: 90, within: 1}"),
        ("at: door,", "at: door, speaker_cable: {run_m: {value: 3, within: 10 %}},"),
    ],
)
def test_what_may_be_off_is_taken_over(tmp_path, written, instead):
    text = PACKAGE.replace("{one of: [W-1, W-2]}", "W-1")
    assert written in text, text
    path = tmp_path / "p.yaml"
    path.write_text(text.replace(written, instead, 1), encoding="utf-8")
    assert same_jobs(path) > 0
