"""How the packages lean on each other, how long a file may be, and what a short command loads."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "advisor"
MODULES = sorted(PACKAGE.rglob("*.py"))
EACH = [pytest.param(path, id=str(path.relative_to(ROOT))) for path in MODULES]

LEVELS = ("errors shipped", "reading", "chain", "physics facts", "judging", "catalogue", "telling", "cli __main__")
"""From what all may import to what none may; each may import what stands before it, and itself."""

HEAVY = ("numpy", "networkx", "pydantic", "matplotlib", "scipy")


def place_of(path: Path) -> str:
    """The part of the package a module belongs to: `facts`, `cli`; nothing for the package itself."""
    first = path.relative_to(PACKAGE).parts[0]
    return "" if first == "__init__.py" else first.removesuffix(".py")


def level_of(place: str) -> int:
    return next(number for number, places in enumerate(LEVELS) if place in places.split())


def imports(path: Path, *, inside_functions: bool = True) -> Iterator[tuple[int, str]]:
    """Yield line and full name of everything a module imports; `from a import b` is `a.b`."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
    }
    for node in ast.walk(tree):
        if not inside_functions and id(node) in inside:
            continue
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: imports by full name only"
            yield from ((node.lineno, f"{node.module}.{alias.name}") for alias in node.names)


def test_every_part_of_the_package_has_its_place_in_the_order():
    known = {place for places in LEVELS for place in places.split()}
    assert {place_of(path) for path in MODULES} - known - {""} == set()


@pytest.mark.parametrize("path", EACH)
def test_imports_run_one_way(path):
    if not (place := place_of(path)):  # the package itself
        assert [name for _, name in imports(path) if name.startswith("advisor")] == []
        return
    for line, name in imports(path):
        if name.split(".")[0] != "advisor" or name in ("advisor", "advisor.__version__"):
            continue
        other = name.split(".")[1]
        assert level_of(other) <= level_of(place), f"line {line}: {place} imports {name}"
        if place == "physics":
            assert other == "physics", f"line {line}: physics imports {name}"
        if place in LEVELS[0].split():
            assert other in LEVELS[0].split()


@pytest.mark.parametrize("path", EACH)
def test_a_module_is_short_and_says_what_it_is_for(path):
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 400
    assert ast.get_docstring(ast.parse(text))


def test_most_modules_are_far_shorter():
    lengths = sorted(len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES)
    assert lengths[len(lengths) // 2] <= 160


def users_of(library: str) -> set[str]:
    return {
        str(path.relative_to(ROOT)) for path in MODULES for _, name in imports(path) if name.split(".")[0] == library
    }


def test_pydantic_works_at_the_border_alone():
    allowed = str(Path("advisor", "reading"))
    for library in ("pydantic", "pydantic_core"):
        assert [user for user in users_of(library) if not user.startswith(allowed)] == []
        at_the_top = [
            str(path) for path in MODULES for _, name in imports(path, inside_functions=False)
            if name.split(".")[0] == library
        ]  # fmt: skip
        assert at_the_top == []


def test_matplotlib_draws_pictures_and_nothing_else():
    pictures = str(Path("advisor", "telling", "pictures"))
    assert [user for user in users_of("matplotlib") if not user.startswith(pictures)] == []


def test_scipy_is_reached_whole_and_by_physics_alone():
    found = [(path, name) for path in MODULES for _, name in imports(path) if name.split(".")[0] == "scipy"]
    assert {name for _, name in found} <= {"scipy"}
    assert {place_of(path) for path, _ in found} <= {"physics"}
    used = {
        node.attr
        for path, _ in found
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "scipy"
    }
    assert used <= {"special", "optimize", "constants"}
    assert "signal" not in used


def test_numpy_works_in_physics_and_pictures():
    pictures = str(Path("advisor", "telling", "pictures"))
    assert [
        user for user in users_of("numpy") if not user.startswith((str(Path("advisor", "physics")), pictures))
    ] == []


def test_physics_touches_no_files():
    for path in MODULES:
        if place_of(path) == "physics":
            names = {name.split(".")[0] for _, name in imports(path)}
            assert not names & {"pathlib", "os", "io", "yaml", "json", "click", "logging"}, path


@pytest.mark.parametrize("path", EACH)
def test_nothing_prints_but_the_command_line(path):
    calls = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    assert not [call.lineno for call in calls if isinstance(call.func, ast.Name) and call.func.id in ("print", "input")]


def loaded_by(code: str) -> set[str]:
    """Run a few lines in a fresh interpreter and return which heavy libraries were loaded at their end."""
    tail = f"import sys\nsys.stderr.write('LOADED ' + ' '.join(m for m in {HEAVY!r} if m in sys.modules))"
    body = f"try:\n    {code}\nexcept SystemExit as stop:\n    assert not stop.code, stop.code\n{tail}"
    run = subprocess.run(
        [sys.executable, "-c", body], capture_output=True, text=True, cwd=ROOT, timeout=60, check=False
    )
    assert run.returncode == 0, run.stderr
    return set(run.stderr.rpartition("LOADED ")[2].split())


LIGHT = [
    "import advisor",
    "import advisor.errors, advisor.shipped, advisor.physics",
    "import advisor.chain.kinds, advisor.facts.registry; advisor.facts.registry.register()",
    "from advisor.judging.rulebook import load_rulebook; assert load_rulebook()",
    "from advisor.reading.source import read_source; from pathlib import Path; read_source(Path('rules/fit.yaml'))",
]


@pytest.mark.parametrize("code", LIGHT)
def test_what_a_short_command_needs_is_light(code):
    assert loaded_by(code) == set()


def command(*words: str) -> str:
    return f"import sys, runpy; sys.argv = {['advisor', *words]!r}; runpy.run_module('advisor', run_name='__main__')"


@pytest.mark.skipif(not (PACKAGE / "__main__.py").exists(), reason="there is no command line yet")
@pytest.mark.parametrize(
    "words",
    [
        ("--version",),
        ("--help",),
        ("review", "--help"),
        ("rule", "way-reaches-its-low-edge"),
    ],
    ids=" ".join,
)
def test_a_short_command_loads_nothing_heavy(words):
    assert loaded_by(command(*words)) == set()


def test_a_review_without_pictures_loads_no_matplotlib():
    job = "from pathlib import Path; from advisor.judging.review import review_job"
    loaded = loaded_by(f"{job}; review_job(Path('rules/bases/base.yaml'))")
    assert "matplotlib" not in loaded
    assert "pydantic" in loaded
