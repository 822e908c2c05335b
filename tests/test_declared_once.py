"""What is said once: a typed number is read by the fields alone, an option and a key come from a declaration alone."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import tui
from tui.answers.schema import answers, file_of
from tui.operations.registry import AREAS, operations

TUI = Path(tui.__file__).parent
# Where texts become numbers: the fields, and what they stand on.
READERS = ("fields/",)
# `--json`, `--data`, `--demo`, `--unit` and `--version` belong to no operation: their one place, and where options of
# declarations become argparse's.
OPTIONS = ("commands/parsing.py", "operations/command.py", "cli.py")


def _files() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(TUI.rglob("*.py")):
        yield path.relative_to(TUI).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def _calls(tree: ast.Module, name: str) -> list[int]:
    """The lines that call a function or method of this name."""
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and (
            (isinstance(node.func, ast.Name) and node.func.id == name)
            or (isinstance(node.func, ast.Attribute) and node.func.attr == name)
        )
    ]


def _reads_quantities(tree: ast.Module) -> list[int]:
    """The lines that import the catalog's reader of typed quantities, or reach it through a door."""
    return [
        node.lineno
        for node in ast.walk(tree)
        if (
            isinstance(node, ast.ImportFrom)
            and node.module == "catalog.quantity"
            and any(one.name == "parse" for one in node.names)
        )
        or (isinstance(node, ast.Attribute) and ast.unparse(node).endswith("quantity.parse"))
    ]


def test_a_typed_quantity_is_read_by_the_fields_alone() -> None:
    found = {
        name: lines for name, tree in _files() if not name.startswith(READERS) and (lines := _reads_quantities(tree))
    }
    assert found == {}


def test_an_option_stands_in_a_declaration_alone() -> None:
    found = {name: lines for name, tree in _files() if name not in OPTIONS and (lines := _calls(tree, "add_argument"))}
    assert found == {}


def test_every_schema_is_made_from_an_answer() -> None:
    made = {file_of(answer).name for answer in answers()}
    assert {path.name for path in (TUI / "schemas").glob("*.json")} == made


def test_every_command_is_of_a_declared_area() -> None:
    from tui.cli import COMMANDS

    assert set(COMMANDS) == set(AREAS)
    assert all(operations(area) for area in AREAS)


@pytest.mark.parametrize(
    "text",
    ["from catalog.quantity import parse", "import catalog\ncatalog.quantity.parse('3')", "parser.add_argument('--x')"],
)
def test_the_checks_can_fail(text: str) -> None:
    tree = ast.parse(text)
    assert _reads_quantities(tree) or _calls(tree, "add_argument")
