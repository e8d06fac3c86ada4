"""YAML files as text with positions: YAML 1.2 scalars, limits on size, depth and aliases, no duplicate keys."""

from __future__ import annotations

import gc
import re
import stat
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from advisor.errors import Fault, InputError, shortened

MAX_BYTES = 8_000_000
MAX_DEPTH = 24
MAX_VALUES = 400_000
MAX_FAULTS = 500

_BREAK = re.compile("[\n\r\x85\u2028\u2029]")
"""What libyaml counts as the end of a line; its marks have to fit our lines."""

_INT = re.compile(r"[-+]?[0-9]+$")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)$|\.(nan|NaN|NAN)$")
_WORDS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_EMPTY = {"", "~", "null", "Null", "NULL"}
_OF_NO_TEXT = frozenset([*"0123456789+-.~", *(word[:1] for word in (*_WORDS, *_EMPTY))])
"""What begins with another character is a text, plain or quoted."""

_QUOTED = ("'", '"', "|", ">")
_TAGS: dict[type[yaml.Node], str] = {
    node: f"tag:yaml.org,2002:{kind}"
    for node, kind in ((yaml.ScalarNode, "str"), (yaml.MappingNode, "map"), (yaml.SequenceNode, "seq"))
}
_PLAIN_TAGS = set(_TAGS.values())


class _Loader(yaml.CBaseLoader):
    """libyaml's parser and composer with no implicit types: scalars are resolved here, by YAML 1.2."""

    def resolve(self, kind: type[yaml.Node], value: Any, implicit: Any) -> str:
        """Return the tag of a node that says none; there are no rules to look through."""
        return _TAGS[kind]

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        """Go down without a rule to look for."""

    def ascend_resolver(self) -> None:
        """Come up again."""


@dataclass(frozen=True, eq=False)
class SourceFile:
    """One file that was read: its name as the user knows it, its lines, and its node tree."""

    name: str
    path: Path
    lines: tuple[str, ...] = field(repr=False)
    root: yaml.Node = field(repr=False)
    data: Any = field(repr=False)
    newest: list[SourceFile] = field(default_factory=list, repr=False)
    """The file as it was read last; one list for all readings of it, so that those between are not kept."""
    checked: Any = field(default=None, repr=False)
    """What was made of its data, where that is known already."""
    role: str = ""
    """What the file is to the job, where many files are held to be the same thing: one package as another."""

    def follow(self, newer: SourceFile) -> None:
        """Say that the file was read again: places in this one are told by the lines of that one from now on."""
        if newer is not self:
            object.__setattr__(newer, "newest", self.newest)
            self.newest[:] = [newer]

    def latest(self) -> SourceFile:
        """Return the file as it was read last."""
        return self.newest[0] if self.newest else self

    def fault(self, node: yaml.Node | None, where: str, what: str, way_out: str = "") -> Fault:
        """Return a fault at a node of this file."""
        mark = (node or self.root).start_mark
        return _fault(self.name, self.lines, mark.line, mark.column, where, what, way_out)


def read_source(path: Path, name: str | None = None) -> SourceFile:
    """Read one YAML file.

    Raises InputError with every duplicate key, odd tag, non-finite number and the like that it holds.
    """
    shown = name or str(path)
    text = _read_text(path, shown)
    lines = tuple(_BREAK.split(text))
    collecting = gc.isenabled()
    gc.disable()  # most of the time on a big catalogue would go into walking a growing tree of nodes
    try:
        root = _compose(text, shown, lines)
        builder = _Builder(shown, lines)
        data = builder.value(root, 0, None)
    finally:
        if collecting:
            gc.enable()
    if builder.faults:
        raise InputError(builder.faults)
    return SourceFile(shown, path, lines, root, data)


def _fault(
    name: str, lines: tuple[str, ...], line: int, column: int, where: str, what: str, way_out: str = ""
) -> Fault:
    source_line = lines[line] if line < len(lines) else ""
    return Fault(name, line + 1, column + 1, where, what, way_out, source_line.rstrip("\r"))


def _read_text(path: Path, shown: str) -> str:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise InputError([Fault(shown, 1, 1, "", "this is a folder", "name a YAML file")])
        if not stat.S_ISREG(status.st_mode):  # a pipe or device may never end
            raise InputError([Fault(shown, 1, 1, "", "this is not an ordinary file", "name a YAML file")])
        if status.st_size > MAX_BYTES:
            what = f"{status.st_size / 1e6:.1f} MB is more than a file of this kind may hold ({MAX_BYTES / 1e6:.0f} MB)"
            raise InputError([Fault(shown, 1, 1, "", what, "split it")])
        raw = path.read_bytes()
    except FileNotFoundError:
        raise InputError([Fault(shown, 1, 1, "", "there is no such file", "check the path")]) from None
    except (OSError, ValueError) as error:
        what = f"cannot be read: {getattr(error, 'strerror', None) or error}"
        raise InputError([Fault(shown, 1, 1, "", what)]) from None
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:  # of what follows a byte order mark: `error.object`, not `raw`
        before = _BREAK.split(error.object[: error.start].decode("utf-8").replace("\r\n", "\n"))
        what = f"byte 0x{error.object[error.start]:02x} is not UTF-8 text"
        where = (len(before), len(before[-1]) + 1)
        raise InputError([Fault(shown, *where, "", what, "save the file as UTF-8")]) from None


def _compose(text: str, shown: str, lines: tuple[str, ...]) -> yaml.Node:
    loader = None
    try:
        loader = _Loader(text)
        root = loader.get_single_node()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line, mark.column) if mark else (0, 0)
        raise InputError([_fault(shown, lines, line, column, "", *_syntax(error, lines, line))]) from None
    except yaml.reader.ReaderError as error:
        good = text.encode()[: error.position].decode(errors="ignore")  # libyaml counts bytes
        before = _BREAK.split(good)
        what = f"the character U+{ord(text[len(good)]):04X} cannot stand in a text file"
        at = (len(before) - 1, len(before[-1]))
        raise InputError([_fault(shown, lines, *at, "", what, "remove it")]) from None
    except (yaml.YAMLError, RecursionError) as error:
        what = str(error).replace("\n", " ")[:160]
        raise InputError([Fault(shown, 1, 1, "", f"is not YAML text: {what}")]) from None
    finally:
        if loader is not None:
            loader.dispose()
    if root is None or (isinstance(root, yaml.ScalarNode) and not root.value and root.style not in _QUOTED):
        raise InputError([Fault(shown, 1, 1, "", "the file is empty", "`advisor new job` writes a starter")])
    return root


def _syntax(error: yaml.MarkedYAMLError, lines: tuple[str, ...], line: int) -> tuple[str, str]:
    what = (error.problem or "not YAML").strip()
    text = lines[line] if line < len(lines) else ""
    if "\t" in text[: len(text) - len(text.lstrip())] or "'\\t'" in what or "tab" in what:
        return what, "indent with spaces, not tabs"
    if "another document" in what:
        return "a second document begins here", "one file holds one document; remove the line '---'"
    if "mapping values are not allowed" in what:
        return what, "a text with ': ' in it needs quotes; otherwise check the indentation"
    if "did not find expected" in what:
        return what, "check the indentation and the brackets of the lines above"
    return what, ""


_Where = tuple[Any, Any, bool] | None
"""Where a value stands: where what holds it stands, its key or number in it, and whether that is a key."""


def _told(where: _Where) -> str:
    """Return a place in words; they are made when they are needed, which is hardly ever."""
    if where is None:
        return ""
    holder, step, is_key = where
    above = _told(holder)
    if not is_key:
        return f"{above}.{step}"
    return shortened(f"{above}.{step}" if above else str(step), 200)


class _Builder:
    """Turns nodes into plain values, collecting what is wrong with them."""

    def __init__(self, name: str, lines: tuple[str, ...]) -> None:
        self.name, self.lines = name, lines
        self.faults: list[Fault] = []
        self.values = 0
        self.too_deep: set[int] = set()

    def refuse(self, node: yaml.Node, where: _Where, what: str, way_out: str = "") -> None:
        mark = node.start_mark
        self.faults.append(_fault(self.name, self.lines, mark.line, mark.column, _told(where), what, way_out))
        if len(self.faults) >= MAX_FAULTS:
            raise InputError(self.faults)

    def value(self, node: yaml.Node, depth: int, where: _Where) -> Any:
        self.values += 1
        if self.values > MAX_VALUES:  # an alias that repeats aliases grows without end
            self.refuse(node, where, f"more than {MAX_VALUES} values, aliases counted as often as used", "split")
            raise InputError(self.faults)
        if depth > MAX_DEPTH:
            if id(node) not in self.too_deep:  # an alias leads to one node in many ways
                self.too_deep.add(id(node))
                self.refuse(node, where, f"nested more than {MAX_DEPTH} levels deep")
            return None
        if node.tag not in _PLAIN_TAGS:
            self.refuse(node, where, f"the tag '{node.tag}' is not used here", "remove it")
            return None
        if isinstance(node, yaml.ScalarNode):
            return self.scalar(node, where)
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, depth + 1, where)
        return [self.value(item, depth + 1, (where, number, False)) for number, item in enumerate(node.value, 1)]

    def mapping(self, node: yaml.MappingNode, depth: int, where: _Where) -> dict[Any, Any]:
        result: dict[Any, Any] = {}
        seen: dict[Any, yaml.Node] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self.refuse(key_node, where, "a list or mapping cannot be a key", "quote it")
                continue
            key = self.scalar(key_node, where)
            if key is None or isinstance(key, bool):
                self.refuse(key_node, where, f"'{key_node.value}' is no key", "put it in quotes if it is meant as one")
                continue
            inner = (where, key, True)
            if key in seen:
                first = seen[key].start_mark.line + 1
                self.refuse(key_node, inner, f"'{key}' stands here twice (first in line {first})", "keep one")
                continue
            seen[key] = key_node
            result[key] = self.value(value_node, depth, inner)
        return result

    def scalar(self, node: yaml.ScalarNode, where: _Where) -> Any:
        text: str = node.value
        if text[:1] not in _OF_NO_TEXT or node.style in _QUOTED:
            return text
        if text in _EMPTY:
            return None
        if text in _WORDS:
            return _WORDS[text]
        if _NOT_FINITE.match(text):
            self.refuse(node, where, f"'{text}' is not a number that can be measured", "write a finite number")
            return None
        if _FLOAT.match(text):
            return self.number(node, text, where)
        return text

    def number(self, node: yaml.Node, text: str, where: _Where) -> Any:
        value = float(text) if len(text) < 400 else float("inf")
        if abs(value) > 1e15:
            shown = text if len(text) < 24 else text[:20] + "…"
            self.refuse(node, where, f"'{shown}' is too large to be meant", "check the number")
            return None
        return int(text) if _INT.match(text) else value
