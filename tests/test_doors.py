"""Each package's door: true to its folder, loads nothing before it is used, and no function imports in its place."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from threading import Event

import pytest

from catalog.door import door
from tests.doors import LOADS_ALL, ROOTS, door_of, files, modules_in, packages, reached, unwritten

IN_FUNCTIONS = {
    # What not everybody has installed, with a sentence where it is missing; and what takes long.
    "PIL": 3,
    "alembic": 2,
    "highspy": 1,
    "numpy": 1,
    "pint": 1,
    "platformdirs": 2,
    "psycopg": 2,
    "pydantic": 1,
    "reportlab": 5,
    "segno": 1,
    "serial": 1,
    "textual": 1,  # its Markdown
    # Python's own that take some milliseconds, needed only now and then.
    "concurrent": 1,
    "difflib": 3,
    "fractions": 1,
    "json": 1,
    "textwrap": 1,
}
"""How many imports within functions there are of what isn't ours, by its first name."""


def imported_in_functions(tree: ast.Module) -> list[str]:
    """What is imported within functions, as `a.b`."""
    found = {
        node
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Import | ast.ImportFrom)
    }
    return [
        name
        for node in found
        for name in ([node.module or "."] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names])
    ]


def test_every_package_has_a_door_true_to_its_folder() -> None:
    """Where this fails: `python -m tests.doors` writes them anew."""
    assert len(packages()) > 35
    assert unwritten() == []


def test_a_door_names_modules_and_packages_alone(tmp_path: Path) -> None:
    for name in ("__init__.py", "__main__.py", "one.py", "table.csv", "inner/__init__.py", "facts/rows.csv"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("")
    assert modules_in(tmp_path) == ["inner", "one"]
    assert "    from box import inner as inner\n    from box import one as one\n" in door_of("box", tmp_path)


def test_no_function_imports_what_is_ours() -> None:
    found: dict[str, list[str]] = defaultdict(list)
    for name, path in files():
        for imported in imported_in_functions(ast.parse(path.read_text(encoding="utf-8"))):
            found[imported.partition(".")[0]].append(name)
    assert {top: found[top] for top in ROOTS if top in found} == {}
    assert {top: len(names) for top, names in found.items()} == IN_FUNCTIONS


@pytest.mark.parametrize(
    "text",
    [
        "def a():\n    from models import shelf",
        "class A:\n    async def b(self):\n        if 1:\n            import models.shelf",
    ],
)
def test_an_import_within_a_function_is_found(text: str) -> None:
    (found,) = imported_in_functions(ast.parse(text))
    assert found.partition(".")[0] == "models"
    assert imported_in_functions(ast.parse("from models import shelf")) == []


def test_importing_every_package_loads_no_module() -> None:
    names = sorted(packages())
    code = f"import {', '.join(names)}\nimport sys\nprint(*sorted(sys.modules))"
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    loaded = {name for name in ended.stdout.split() if name.partition(".")[0] in ROOTS}
    assert loaded == {*names, "catalog.door"}


def test_a_package_without_a_door_says_which_it_is() -> None:
    assert {name for name, path in files() if path.name == "__init__.py" and name in LOADS_ALL} == LOADS_ALL


@pytest.fixture
def box(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder of a package with a door, importable as `boxed`."""
    folder = tmp_path / "boxed"
    folder.mkdir()
    (folder / "__init__.py").write_text("from catalog.door import door\n__getattr__ = door(__name__)\n")
    monkeypatch.syspath_prepend(tmp_path)
    yield folder
    for name in [one for one in sys.modules if one.partition(".")[0] == "boxed"]:
        del sys.modules[name]


def test_a_module_is_loaded_when_it_is_named(box: Path) -> None:
    (box / "rule.py").write_text("ANSWER = 42\n")
    boxed = import_module("boxed")
    assert "boxed.rule" not in sys.modules
    assert boxed.rule.ANSWER == 42
    assert vars(boxed)["rule"] is sys.modules["boxed.rule"]  # the next time Python finds it without the door


def test_what_is_not_there_is_an_attribute_error(box: Path) -> None:
    boxed = import_module("boxed")
    with pytest.raises(AttributeError, match="module 'boxed' has no attribute 'nothing'"):
        _ = boxed.nothing
    assert not hasattr(boxed, "__wrapped__")
    with pytest.raises(ImportError):
        exec("from boxed import nothing")


def test_what_a_module_lacks_is_not_hidden(box: Path) -> None:
    """A missing dependency must not look like a missing module of ours."""
    (box / "rule.py").write_text("import no_such_dependency\n")
    with pytest.raises(ModuleNotFoundError, match="no_such_dependency"):
        _ = import_module("boxed").rule


def test_threads_that_come_at_once_get_the_whole_module_made_once(box: Path) -> None:
    (box / "gate.py").write_text("from threading import Event\nwithin, go_on, made = Event(), Event(), []\n")
    (box / "rule.py").write_text(
        "from boxed.gate import go_on, made, within\n"
        "within.set()\nassert go_on.wait(30)\nmade.append(1)\nLAST = 'whole'\n"
    )
    gate = import_module("boxed.gate")
    within: Event = gate.within
    load = door("boxed")
    with ThreadPoolExecutor(8) as pool:
        first = pool.submit(lambda: load("rule").LAST)
        assert within.wait(30)  # the module is half made now
        rest = [pool.submit(lambda: load("rule").LAST) for _ in range(7)]
        gate.go_on.set()
        assert [one.result(30) for one in (first, *rest)] == ["whole"] * 8
    assert gate.made == [1]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("from catalog import orings\norings.match.rank(1)", {"catalog.orings.match"}),
        ("import models\ndef a() -> None:\n    models.shelf.count(1)", {"models.shelf"}),
        ("import models\nmodels.tables.Item", {"models.tables"}),
        ("from models import shelf\nshelf.count", {"models.shelf"}),
        ("from tui import screens\nscreens.kits.screen.KitsScreen", {"tui.screens.kits.screen"}),
        ("import textual\ntextual.app.App\nself.models.shelf", set()),
    ],
)
def test_what_a_file_reaches_through_doors(text: str, expected: set[str]) -> None:
    assert reached(ast.parse(text), frozenset({name for name, _ in files()})) == expected
