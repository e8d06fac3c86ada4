"""Loads the rulebook and refuses what cannot be trusted: unknown keys, names, operators, rules without cases."""

from __future__ import annotations

import functools
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from advisor.chain.kinds import KINDS
from advisor.errors import Fault, InputError, RulebookError, did_you_mean
from advisor.judging.expressions import condition_names, sentence_names
from advisor.judging.finding import OUTCOMES
from advisor.judging.rule import LEVELS, OPERATORS, Check, Comparison, Group, Limit, Rule
from advisor.judging.vocabulary import refusal
from advisor.reading.origin import Origin, root_of
from advisor.reading.source import read_source
from advisor.shipped import rules_folder

DATA_FILES = ("assumptions.yaml", "shop-defaults.yaml", "tolerances.yaml")
"""Files of rules/ that hold figures, not rules."""

REQUIRED = ("rule", "about", "level", "check", "says", "because", "to_customer", "sources", "cases")
OPTIONAL = ("when", "tolerance", "limits", "levers", "cautions")
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+$")
TEXTS = ("says", "because", "to_customer")


def load_rulebook(own: Any = None) -> dict[str, Rule]:
    """Return every rule by name, the shop's own rules, limits and levels worked in.

    `own` is the shop file that was read, if any. Raises RulebookError with every fault of every file.
    """
    paths = [path for path in sorted(rules_folder().glob("*.yaml")) if path.name not in DATA_FILES]
    shipped, shipped_faults = _shipped(tuple((path, path.stat().st_mtime_ns, path.stat().st_size) for path in paths))
    rules, faults = dict(shipped), list(shipped_faults)
    if not rules and not faults:
        raise RulebookError([Fault(str(rules_folder()), 1, 1, "", "no rules were found here", "install again")])
    if own is not None and own.origin is not None:
        _work_in(own, rules, faults)
    if faults:
        raise RulebookError(faults)
    return rules


@functools.lru_cache(maxsize=4)
def _shipped(stamps: tuple[tuple[Path, int, int], ...]) -> tuple[dict[str, Rule], tuple[Fault, ...]]:
    """Return the rules of the shipped files and what is wrong with them, read again only when a file changed."""
    rules: dict[str, Rule] = {}
    faults: list[Fault] = []
    for path, _, _ in stamps:
        _load_file(path, rules, faults)
    return rules, tuple(faults)


def _load_file(path: Path, rules: dict[str, Rule], faults: list[Fault]) -> None:
    try:
        file = read_source(path, f"rules/{path.name}")
    except InputError as error:
        faults += error.faults
        return
    root = root_of(file)
    listed = root.child("rules")
    if not isinstance(file.data, dict) or set(file.data) != {"rules"} or not isinstance(file.data["rules"], list):
        faults.append(root.fault("a file of rules holds 'rules:', a list, and nothing else"))
        return
    assert listed is not None
    _add(file.data["rules"], listed, rules, faults)


def _add(entries: list[Any], listed: Origin, rules: dict[str, Rule], faults: list[Fault]) -> None:
    for index, data in enumerate(entries):
        place = listed.child(index) or listed
        rule = _Loader(place, faults).rule(data)
        if rule is None:
            continue
        if rule.name in rules:
            first = rules[rule.name].origin.place
            faults.append(place.fault(f"the rule '{rule.name}' is also at {first}", "a rule is written once"))
        else:
            rules[rule.name] = rule


def _work_in(own: Any, rules: dict[str, Rule], faults: list[Fault]) -> None:
    """Change limits and levels as the shop says, and add its own rules."""
    listed = own.origin.child("rules")
    if own.rules and listed:
        _add(list(own.rules), listed, rules, faults)
    for name, level in own.levels.items():
        place = own.origin.down(("levels", name))[0]
        if name not in rules:
            faults.append(place.fault(f"there is no rule '{name}'", did_you_mean(name, rules), at_key=True))
        else:
            rules[name] = replace(rules[name], level=level, level_by_shop=f"{rules[name].level} made {level}")
    for name, limits in own.limits.items():
        for limit, value in limits.items():
            place = own.origin.down(("limits", name, limit))[0]
            known = rules[name].limits if name in rules else {}
            if limit not in known:
                hint = did_you_mean(limit, known) if name in rules else did_you_mean(name, rules)
                faults.append(place.fault(f"there is no limit '{limit}' of a rule '{name}'", hint, at_key=True))
                continue
            by_shop = f"{known[limit].value:g} made {value:g} ({place.place})"
            changed = {**known, limit: Limit(value, f"the shop's own; {known[limit].source}", by_shop)}
            rules[name] = replace(rules[name], limits=changed)


class _Loader:
    """Checks one rule, collecting faults."""

    def __init__(self, place: Origin, faults: list[Fault]) -> None:
        self.place, self.faults = place, faults
        self.before = len(faults)

    def refuse(self, what: str, way_out: str = "", *steps: str | int) -> None:
        self.faults.append(self.place.down(steps)[0].fault(what, way_out, at_key=not steps))

    def rule(self, data: Any) -> Rule | None:
        if not isinstance(data, dict):
            self.refuse("a rule is a mapping that begins with 'rule:' and its name")
            return None
        self.keys(data)
        if len(self.faults) > self.before:
            return None
        if not _NAME.match(data["rule"]):
            self.refuse(f"'{data['rule']}' is no name of a rule", "words joined by hyphens: way-fits-its-hole", "rule")
        if data["level"] not in LEVELS:
            self.refuse(f"'{data['level']}' is no level; one of {', '.join(LEVELS)}", "", "level")
        if data["about"] not in KINDS:
            self.refuse(f"nothing is called '{data['about']}'", did_you_mean(data["about"], KINDS), "about")
            return None
        if data.get("tolerance") not in (None, "none"):
            self.refuse("'tolerance' can only be none", "leave it out for the usual one", "tolerance")
        limits = self.limits(data.get("limits") or {})
        roots: dict[str, str | None] = {data["about"]: data["about"]}
        check = self.check(data["check"], ("check",), {**roots, **_limit_roots(limits)}, limits)
        self.condition(data.get("when"), ("when",), {**roots, **_limit_roots(limits)}, limits)
        for key in TEXTS:
            self.sentence(data[key], key, {**roots, "limits": None, "left": None, "right": None}, limits)
        self.cases(data["cases"])
        for key in ("sources", "levers", "cautions"):
            self.words(data.get(key), key)
        levers = data.get("levers")
        for index, lever in enumerate(levers if isinstance(levers, list) else ()):
            if why := refusal(tuple(str(lever).split(".")), dict(zip(KINDS, KINDS, strict=True))):
                self.refuse(f"the lever '{lever}' is not there: {why}", "", "levers", index)
        if len(self.faults) > self.before or check is None:
            return None
        return Rule(
            name=data["rule"],
            about=data["about"],
            level=data["level"],
            check=check,
            says=data["says"],
            because=data["because"],
            to_customer=data["to_customer"],
            sources=tuple(data["sources"]),
            origin=self.place,
            when=data.get("when"),
            exact="tolerance" in data,
            limits=limits,
            levers=tuple(data.get("levers") or ()),
            cautions=tuple(data.get("cautions") or ()),
            cases=tuple(data["cases"]),
        )

    def keys(self, data: dict[str, Any]) -> None:
        for key in data:
            if key not in REQUIRED + OPTIONAL:
                self.refuse(f"unknown key '{key}'", did_you_mean(key, REQUIRED + OPTIONAL), key)
        for key in REQUIRED:
            if data.get(key) in (None, "", []):
                self.refuse(f"a rule needs '{key}'", "see `advisor new rule`")
        for key in ("rule", "about", "level", "when", *TEXTS):
            if data.get(key) is not None and not isinstance(data[key], str):
                self.refuse(f"'{key}' is not a text", "put it in quotes", key)

    def limits(self, data: Any) -> dict[str, Limit]:
        found: dict[str, Limit] = {}
        for name, entry in data.items() if isinstance(data, dict) else ():
            if not isinstance(entry, dict) or set(entry) != {"value", "source"} or not entry["source"]:
                self.refuse("a limit has exactly 'value' and 'source'", "", "limits", name)
            elif isinstance(entry["value"], bool) or not isinstance(entry["value"], int | float):
                self.refuse("the value of a limit is a number", "", "limits", name, "value")
            else:
                found[name] = Limit(float(entry["value"]), str(entry["source"]))
        if not isinstance(data, dict):
            self.refuse("'limits' maps names to value and source", "", "limits")
        return found

    def check(
        self, data: Any, steps: tuple[str | int, ...], roots: dict[str, str | None], limits: dict[str, Limit]
    ) -> Check | None:
        if isinstance(data, dict) and len(data) == 1 and next(iter(data)) in ("all", "any", "not"):
            kind = next(iter(data))
            if not data[kind] or (kind == "not" and isinstance(data[kind], list) and len(data[kind]) != 1):
                wanted = "exactly one check" if kind == "not" else "at least one check"
                self.refuse(f"'{kind}' is over {wanted}", "", *steps, kind)
                return None
            members = data[kind] if isinstance(data[kind], list) else [data[kind]]
            inner = (*steps, kind)
            found = [self.check(member, (*inner, i), roots, limits) for i, member in enumerate(members)]
            return Group(kind, tuple(member for member in found if member is not None))
        if not isinstance(data, dict) or set(data) != {"left", "op", "right"}:
            self.refuse("a check is left, op and right, or all, any or not over such", "", *steps)
            return None
        if data["op"] not in OPERATORS:
            hint = did_you_mean(data["op"], OPERATORS) or f"one of {', '.join(OPERATORS)}"
            self.refuse(f"'{data['op']}' is no operator", hint, *steps, "op")
        for side in ("left", "right"):
            if data[side] is None or data[side] == "":
                self.refuse(f"'{side}' is empty", "say what is compared", *steps, side)
                return None
            data = {**data, side: _literal(data[side])}
            self.condition(data[side], (*steps, side), roots, limits)
        return Comparison(data["left"], data["op"], data["right"])

    def condition(
        self, text: Any, steps: tuple[str | int, ...], roots: dict[str, str | None], limits: dict[str, Limit]
    ) -> None:
        if text is None:
            return
        try:
            self.names(condition_names(text), steps, roots, limits)
        except ValueError as error:
            self.refuse(f"'{text}' {error}", "", *steps)

    def sentence(self, text: str, key: str, roots: dict[str, str | None], limits: dict[str, Limit]) -> None:
        try:
            self.names(sentence_names(text), (key,), roots, limits)
        except ValueError as error:
            self.refuse(f"the text {error}", "", key)

    def names(
        self,
        names: list[tuple[str, ...]],
        steps: tuple[str | int, ...],
        roots: dict[str, str | None],
        limits: dict[str, Limit],
    ) -> None:
        for name in names:
            if name[0] == "limits":
                if len(name) != 2 or name[1] not in limits:
                    hint = did_you_mean(name[-1], limits) or "list it under 'limits'"
                    self.refuse(f"there is no limit '{'.'.join(name[1:])}'", hint, *steps)
            elif why := refusal(name, roots):
                self.refuse(why, "", *steps)

    def cases(self, data: Any) -> None:
        if not isinstance(data, list) or not all(isinstance(case, dict) for case in data):
            self.refuse("'cases' is a list of mappings", "", "cases")
            return
        for index, case in enumerate(data):
            if case.get("expect") not in OUTCOMES:
                hint = did_you_mean(case.get("expect"), OUTCOMES) or f"one of {', '.join(OUTCOMES)}"
                self.refuse(f"a case expects '{case.get('expect')}'", hint, "cases", index, "expect")
                return
        expected = {case["expect"] for case in data}
        for outcome in ("holds", "falls short"):
            if outcome not in expected:
                self.refuse(
                    f"no case shows where the rule {outcome}", "a rule nobody saw at work is not trusted", "cases"
                )

    def words(self, data: Any, key: str) -> None:
        if data is None:
            return
        if not isinstance(data, list) or not all(isinstance(word, str) and word.strip() for word in data):
            self.refuse(f"'{key}' is a list of texts, none of them empty", "", key)


def _limit_roots(limits: dict[str, Limit]) -> dict[str, str | None]:
    return {"limits": None} if limits else {}


def _literal(value: Any) -> str:
    """A number, word or list written bare is itself."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else repr(value)
