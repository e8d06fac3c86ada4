"""A rule as text: what it asks, why, its limits and where they come from."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from advisor.judging.rule import LEVELS, Check, Comparison, Rule
from advisor.telling.groups import WORDS

_NAME = re.compile(r"{{ *([^|}]*?) *(?:\|[^}]*)?}}")
"""What a sentence fills in; on the page of a rule its name stands for it."""

_TAGS = ((r"{%-? *if [^%]*%}", "["), (r"{%-? *(?:else|elif [^%]*) *-?%}", " | "), (r"{%-? *endif *-?%}", "]"))
"""What a sentence says only sometimes stands in brackets on the page of its rule."""


def rule_list(rules: dict[str, Rule]) -> str:
    """Return the names of all rules by level, with what each is about."""
    lines = []
    for level in LEVELS:
        lines.append(f"{level}:")
        lines += [f"  {rule.name}  ({rule.about})" for rule in rules.values() if rule.level == level]
    return "\n".join(lines) + "\n"


def rule_text(rule: Rule) -> str:
    """Return the page of one rule."""
    return "\n".join(_lines(rule)) + "\n"


def _lines(rule: Rule) -> Iterator[str]:
    yield f"{rule.name}  ({rule.level}, about each {rule.about}; {rule.origin.place})"
    if rule.level_by_shop:
        yield f"  level changed by the shop: {rule.level_by_shop}"
    yield ""
    yield f"Must hold:  {_said(rule.check)}"
    if rule.when:
        yield f"Only where: {rule.when}"
    for name, limit in rule.limits.items():
        changed = f"; changed by the shop: {limit.by_shop}" if limit.by_shop else ""
        yield f"Limit:      {name} = {limit.value:g} ({limit.source}{changed})"
    yield ""
    yield from textwrap.wrap(_plain(rule.because), 100)
    yield ""
    yield f"Sources:    {'; '.join(rule.sources)}"
    for caution in rule.cautions:
        yield from textwrap.wrap(f"Caution:    {caution}", 100, subsequent_indent="            ")
    if rule.levers:
        yield f"What can be changed: {', '.join(rule.levers)}"
    yield f"Cases that show it at work: {len(rule.cases)}"


def _plain(sentence: str) -> str:
    for tag, mark in _TAGS:
        sentence = re.sub(tag, mark, sentence)
    return " ".join(_NAME.sub(r"<\1>", sentence).split())


def _said(check: Check) -> str:
    if isinstance(check, Comparison):
        return f"{check.left} {WORDS[check.op]} {check.right}"
    if check.kind == "not":
        return f"not ({_said(check.members[0])})"
    return f" {'and' if check.kind == 'all' else 'or'} ".join(f"({_said(member)})" for member in check.members)
