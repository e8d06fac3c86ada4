"""Sentences that only have names to fill in come out as Jinja, whose language they are written in, writes them."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.judging.expressions import _FILLED_IN, _has_names_alone, compile_sentence, environment
from advisor.judging.rulebook import load_rulebook

SENTENCES = sorted(
    {
        text
        for rule in load_rulebook().values()
        for text in (rule.says, rule.because, rule.to_customer)
        if _has_names_alone(text) and "{" in text
    }
)


class Filled(dict[str, Any]):
    """A mapping that reads as a word or a number itself."""

    def __init__(self, value: Any) -> None:
        super().__init__()
        self.value = value

    def __str__(self) -> str:
        return str(self.value)


def names_for(text: str, value: Any) -> dict[str, Any]:
    """Return names that give a value for all that a sentence fills in."""
    found: dict[str, Any] = {}
    ways = [dotted.split(".") for dotted, _ in _FILLED_IN.findall(text)]
    for *way, last in sorted(ways, key=len, reverse=True):
        here = found
        for step in way:
            here = here.setdefault(step, Filled(value))
        here.setdefault(last, value)
    return found


def written(write: Any, names: dict[str, Any]) -> str:
    try:
        return str(write(**names))
    except Exception as error:  # a filter may not take what is filled in; then neither may
        return f"{type(error).__name__}: {error}"


@pytest.mark.parametrize("value", [12.345, 0, True, "a word", ("one", "two")], ids=repr)
def test_every_shipped_sentence_is_as_jinja_writes_it(value):
    assert len(SENTENCES) > 100
    for text in SENTENCES:
        names = names_for(text, value)
        assert written(compile_sentence(text), names) == written(environment().from_string(text).render, names), text


def test_a_name_that_nobody_gave_is_an_error_and_not_left_out():
    for text in ("It is {{ left | db }}.", "It is {{ left }}.", "It is {{ driver.name }}."):
        errors = [written(write, {}) for write in (compile_sentence(text), environment().from_string(text).render)]
        assert errors[0] == errors[1]
        assert "Undefined" in errors[0]


def test_what_asks_for_more_than_names_is_left_to_jinja():
    assert not _has_names_alone("{% if left %}yes{% endif %}")
    assert not _has_names_alone("{{ left + right }}")
    assert not _has_names_alone("{{ left | upper }}")
    assert not _has_names_alone("{{ none }}")
    assert compile_sentence("{% if left %}yes{% else %}no{% endif %}")(left=0) == "no"
