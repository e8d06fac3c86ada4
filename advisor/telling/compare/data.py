"""A comparison as plain data for other programs."""

from __future__ import annotations

from typing import Any

from advisor.telling.compare.compared import Against, Change, Comparison, Found
from advisor.telling.compare.figures import FIGURES, Figure, Value


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison: every option with its figures, and each other one against the first."""
    return {
        "advisor": 1,
        "options": [
            {
                "letter": option.letter,
                "job": option.review.system.job.job,
                "file": option.review.system.name,
                "verdict": option.verdict,
                "figures": [_figure(*pair) for pair in zip(FIGURES, option.values, strict=True)],
            }
            for option in comparison.options
        ],
        "against_the_first": [_against(against) for against in comparison.others],
    }


def _figure(figure: Figure, value: Value) -> dict[str, Any]:
    data: dict[str, Any] = {"figure": figure.name, "more_is_better": figure.more, "text": value.text}
    if value.reading:
        data |= {"fact": value.reading.name, "value": value.reading.value, "unit": value.reading.unit}
        data["basis"] = value.reading.basis
    else:
        data["why_not"] = value.why_not
    return data


def _against(against: Against) -> dict[str, Any]:
    return {
        "letter": against.second.letter,
        "changes": [_change(change) for change in against.changes],
        "gained": [_found(entry) for entry in against.gained],
        "lost": [_found(entry) for entry in against.lost],
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "figure": change.figure.name,
        "from": change.first.text,
        "to": change.second.text,
        "better": change.better,
        "because": [
            {"what": cause.words, "against": cause.against, "alone": cause.alone.value if cause.alone else None}
            for cause in change.causes
        ],
    }


def _found(entry: Found) -> dict[str, Any]:
    return {
        "rule": entry.rule, "outcome": entry.outcome, "level": entry.level, "at": entry.where, "says": entry.says,
    }  # fmt: skip
