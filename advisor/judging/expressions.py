"""The conditions and sentences of rules: Jinja2, narrowed to what a rule may say."""

from __future__ import annotations

import functools
import operator
import re
from collections.abc import Callable, Iterator
from typing import Any

from jinja2 import Environment, StrictUndefined, TemplateError, TemplateSyntaxError, nodes
from jinja2.exceptions import SecurityError
from jinja2.sandbox import ImmutableSandboxedEnvironment

from advisor.judging.formats import FILTERS

_ALLOWED = (
    nodes.Name, nodes.Getattr, nodes.Const, nodes.Compare, nodes.Operand, nodes.And, nodes.Or, nodes.Not,
    nodes.Add, nodes.Sub, nodes.Mul, nodes.Div, nodes.Neg, nodes.List, nodes.CondExpr,
)  # fmt: skip
_TEXT_ALLOWED = (*_ALLOWED, nodes.Template, nodes.Output, nodes.TemplateData, nodes.Filter, nodes.If)


class _Narrow(ImmutableSandboxedEnvironment):
    """No globals, no calls, own look-up: subjects read facts, mappings read keys, nothing else has attributes."""

    intercepted_binops = frozenset(["*"])

    def getattr(self, obj: Any, attribute: str) -> Any:
        if isinstance(obj, dict):
            return obj[attribute] if attribute in obj else self.undefined(obj=obj, name=attribute)
        if type(obj).__module__ == "advisor.facts.views" and not attribute.endswith("_"):
            return getattr(obj, attribute)
        raise SecurityError(f"'{attribute}' of {type(obj).__name__} is out of bounds")

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        if not isinstance(left, int | float) or not isinstance(right, int | float):
            raise SecurityError("only numbers can be multiplied")
        return left * right


@functools.cache
def environment() -> Environment:
    """Return the one environment of conditions and sentences."""
    env = _Narrow(undefined=StrictUndefined, autoescape=False, trim_blocks=True, lstrip_blocks=True)
    env.globals = {}
    env.filters = dict(FILTERS)
    env.tests = {}
    return env


Value = Callable[[dict[str, Any]], Any]
"""Gives the value of a condition's node by the names it reads."""


@functools.cache
def compile_condition(text: str) -> Callable[..., Any]:
    """Return a condition or operand as a function of the names it reads.

    Made of one function for each node of the dozen kinds a condition may have: that takes a tenth of the time of having
    Jinja write, and Python compile, a module for each. Rulebooks hold hundreds of conditions, most asked a few times.
    """
    value = _value(_condition(text))
    return lambda **names: value(names)


_BINARY: dict[type[nodes.Node], Callable[[Any, Any], Any]] = {
    nodes.Add: operator.add,
    nodes.Sub: operator.sub,
    nodes.Mul: operator.mul,
    nodes.Div: operator.truediv,
}
_COMPARING: dict[str, Callable[[Any, Any], bool]] = {
    "eq": operator.eq,
    "ne": operator.ne,
    "lt": operator.lt,
    "lteq": operator.le,
    "gt": operator.gt,
    "gteq": operator.ge,
    "in": lambda left, right: left in right,
    "notin": lambda left, right: left not in right,
}


def _value(node: nodes.Node) -> Value:
    """Return how a condition's node is worked out; `and` and `or` give truth, as Jinja's do."""
    if isinstance(node, nodes.Getattr):
        of, attribute, look_up = _value(node.node), node.attr, environment().getattr
        return lambda names: look_up(of(names), attribute)
    if isinstance(node, nodes.Name):
        return operator.itemgetter(node.name)
    if isinstance(node, nodes.Const):
        value = node.value
        return lambda names: value
    if isinstance(node, nodes.BinExpr) and type(node) in _BINARY:
        return _reckoned(_BINARY[type(node)], _value(node.left), _value(node.right))
    if isinstance(node, nodes.Compare):
        return _compared(_value(node.expr), [(_COMPARING[one.op], _value(one.expr)) for one in node.ops])
    return _logic(node)


def _reckoned(reckon: Callable[[Any, Any], Any], left: Value, right: Value) -> Value:
    def value(names: dict[str, Any]) -> Any:
        one, other = left(names), right(names)
        if not isinstance(one, int | float) or not isinstance(other, int | float):
            raise SecurityError("only numbers can be reckoned with")
        return reckon(one, other)

    return value


def _compared(first: Value, others: list[tuple[Callable[[Any, Any], bool], Value]]) -> Value:
    def value(names: dict[str, Any]) -> bool:
        left = first(names)
        for holds, other in others:
            right = other(names)
            if not holds(left, right):
                return False
            left = right
        return True

    return value


def _logic(node: nodes.Node) -> Value:
    if isinstance(node, nodes.And | nodes.Or):
        left, right = _value(node.left), _value(node.right)
        if isinstance(node, nodes.And):
            return lambda names: left(names) and right(names)
        return lambda names: left(names) or right(names)
    if isinstance(node, nodes.Not):
        denied = _value(node.node)
        return lambda names: not denied(names)
    if isinstance(node, nodes.Neg):
        turned = _value(node.node)
        return lambda names: -turned(names)
    if isinstance(node, nodes.List):
        items = [_value(item) for item in node.items]
        return lambda names: [item(names) for item in items]
    if isinstance(node, nodes.CondExpr) and node.expr2 is not None:
        test, one, other = _value(node.test), _value(node.expr1), _value(node.expr2)
        return lambda names: one(names) if test(names) else other(names)
    raise SecurityError(f"a condition may not use {type(node).__name__.lower()}s")


@functools.cache
def compile_sentence(text: str) -> Callable[..., str]:
    """Return a sentence as a function of the names it reads.

    Most have nothing but names to fill in. For those no template is compiled, which takes Jinja about a millisecond.
    """
    if not _has_names_alone(text):
        return environment().from_string(text).render
    told, *filled_in = _FILLED_IN.split(text.removesuffix("\n"))  # as Jinja has it
    parts = [
        (_read(tuple(name.split("."))), FILTERS[by] if by else str, after)
        for name, by, after in zip(filled_in[::3], filled_in[1::3], filled_in[2::3], strict=True)
    ]

    def write(**names: Any) -> str:
        return told + "".join([written(read(**names)) + after for read, written, after in parts])

    return write


def _has_names_alone(text: str) -> bool:
    """Tell whether a sentence has nothing but names to be filled in, written by known filters."""
    plain = _FILLED_IN.sub("", text)
    found = _FILLED_IN.findall(text)
    return (
        "{" not in plain
        and "}" not in plain
        and all(not by or by in FILTERS for _, by in found)
        and not _WORDS & {name for name, _ in found}
    )


def _read(steps: tuple[str, ...]) -> Callable[..., Any]:
    first, *rest = steps

    def read(**names: Any) -> Any:
        value = names[first] if first in names else environment().undefined(name=first)
        for step in rest:
            value = environment().getattr(value, step)
        return value

    return read


def condition_names(text: str) -> list[tuple[str, ...]]:
    """Return the dotted names a condition reads.

    Raises ValueError where it is not a condition, or says what a condition may not.
    """
    return _names(_condition(text), _ALLOWED)


_DOTTED = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)*")
_FILLED_IN = re.compile(r"{{ *([a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)*) *(?:\| *([a-z][a-z0-9_]*) *)?}}")
_WORDS = {"true", "false", "none", "not", "and", "or", "in", "is", "if", "else"}


@functools.cache
def _condition(text: str) -> nodes.Node:
    if _DOTTED.fullmatch(text) and text not in _WORDS:  # most are a name and nothing else: no parser is needed
        first, *rest = text.split(".")
        node: nodes.Expr = nodes.Name(first, "load")
        for step in rest:
            node = nodes.Getattr(node, step, "load")
        return node
    try:
        tree = environment().parse("{{ " + text + " }}")
    except TemplateSyntaxError as error:
        raise ValueError(f"is not a condition: {error.message}") from None
    output = tree.body[0] if len(tree.body) == 1 else None
    if not isinstance(output, nodes.Output) or len(output.nodes) != 1:
        raise ValueError("is not one condition")
    return output.nodes[0]


def sentence_names(text: str) -> list[tuple[str, ...]]:
    """Return the dotted names a sentence reads. Raises ValueError like `condition_names`."""
    if _has_names_alone(text):  # no parser is needed
        return [tuple(name.split(".")) for name, _ in _FILLED_IN.findall(text)]
    try:
        tree = environment().parse(text)
    except TemplateError as error:
        raise ValueError(f"is not a sentence template: {error.message}") from None
    for node in tree.find_all(nodes.Filter):
        if node.name not in FILTERS:
            raise ValueError(f"uses the filter '{node.name}'; there is {', '.join(sorted(FILTERS))}")
    return _names(tree, _TEXT_ALLOWED)


def _names(tree: nodes.Node, allowed: tuple[type[nodes.Node], ...]) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for node in _walk(tree):
        if not isinstance(node, allowed):
            raise ValueError(f"may not use {type(node).__name__.lower()}s; formulas belong into facts")
        if isinstance(node, nodes.Name | nodes.Getattr):
            found.append(_dotted(node))
    return found


def _walk(node: nodes.Node) -> Iterator[nodes.Node]:
    """Yield every node; of a dotted name only its whole."""
    yield node
    if not isinstance(node, nodes.Getattr):
        for child in node.iter_child_nodes():
            yield from _walk(child)


def _dotted(node: nodes.Node) -> tuple[str, ...]:
    steps: list[str] = []
    while isinstance(node, nodes.Getattr):
        steps.append(node.attr)
        node = node.node
    if not isinstance(node, nodes.Name):
        raise ValueError("takes an attribute of what has no name")
    return (node.name, *reversed(steps))
