"""The doors of the packages: what each one's `__init__` must say, and which files reach which modules through them.

Run `python -m tests.doors` after a module or a package was added, renamed or removed: it writes the doors anew.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import grimp

ROOTS = ("catalog", "models", "tui")
HERE = Path(__file__).parents[1]
LOADS_ALL = {"catalog.quantity", "catalog.fluids.by_figures", "models.tables"}
"""Packages whose `__init__` gathers names of its modules, so it loads them: named where used as a module would be."""
NOT_OURS_TO_LOAD = {"models.migrations.versions"}
"""Alembic finds the steps by their files."""


def files() -> Iterator[tuple[str, Path]]:
    """Every module of the product with its file, by name; a package is its `__init__`."""
    for root in ROOTS:
        for path in sorted((HERE / root).rglob("*.py")):
            parts = path.relative_to(HERE).with_suffix("").parts
            yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def packages() -> dict[str, Path]:
    """The packages that have a door, each with its folder."""
    folders = {path.parent for _, path in files()}
    named = {".".join(folder.relative_to(HERE).parts): folder for folder in sorted(folders)}
    return {name: folder for name, folder in named.items() if name not in LOADS_ALL | NOT_OURS_TO_LOAD}


def modules_in(folder: Path) -> list[str]:
    """The names of the modules and packages that lie directly in a folder."""
    found = {path.stem for path in folder.glob("*.py")} | {path.parent.name for path in folder.glob("*/*.py")}
    return sorted(name for name in found if not name.startswith("__"))


def door_of(name: str, folder: Path) -> str:
    """What a package's `__init__` says below its docstring: its modules for mypy, the door for Python."""
    lines = [f"    from {name} import {module} as {module}\n" for module in modules_in(folder)]
    return (
        "from typing import TYPE_CHECKING\n\n"
        f"if TYPE_CHECKING:\n{''.join(lines)}"
        "else:\n    from catalog.door import door\n\n    __getattr__ = door(__name__)\n"
    )


def docstring_of(text: str) -> str:
    """The docstring as it is written, with the empty line below it; nothing where there is none."""
    if ast.get_docstring(ast.parse(text)) is None:
        return ""
    end = ast.parse(text).body[0].end_lineno
    return "".join(text.splitlines(keepends=True)[:end]) + "\n"


def _holds_more(text: str) -> bool:
    """Whether an `__init__` holds more than its docstring and a door, which would be lost."""
    return any(
        not (isinstance(node, ast.Expr) or (isinstance(node, ast.ImportFrom) and node.module == "typing"))
        and not (isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING")
        for node in ast.parse(text).body
    )


def unwritten() -> list[tuple[Path, str]]:
    """The `__init__` files that are not as they must be, each with what it must say; docstrings stay."""
    found = []
    for name, folder in packages().items():
        path = folder / "__init__.py"
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        wanted = docstring_of(text) + door_of(name, folder)
        if text != wanted:
            found.append((path, wanted))
    return found


def _dotted(node: ast.expr) -> list[str]:
    """`a.b.c` as its parts; empty where it is something else."""
    if isinstance(node, ast.Attribute):
        before = _dotted(node.value)
        return [*before, node.attr] if before else []
    return [node.id] if isinstance(node, ast.Name) else []


def reached(tree: ast.Module, modules: frozenset[str]) -> set[str]:
    """The modules that a file names through a package it imports: `orings.match.rank` is `catalog.orings.match`."""
    bound: dict[str, str] = {}
    for node in tree.body:
        if isinstance(node, ast.Import):
            bound |= {alias.name: alias.name for alias in node.names if alias.name in ROOTS}
        elif isinstance(node, ast.ImportFrom) and node.module in ROOTS:
            bound |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    found = set()
    within = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    for used in ast.walk(tree):
        names = _dotted(used) if isinstance(used, ast.Attribute) and id(used) not in within else []
        if names and names[0] in bound:
            whole = [*bound[names[0]].split("."), *names[1:]]
            ends = [".".join(whole[:length]) for length in range(len(whole), 0, -1)]
            found.add(next(name for name in ends if name in modules))
    return found


def with_doors(graph: grimp.ImportGraph) -> grimp.ImportGraph:
    """The graph, to which is added what each file reaches through a door: it has imports alone."""
    modules = frozenset(graph.modules)
    for name, path in files():
        for imported in reached(ast.parse(path.read_text(encoding="utf-8")), modules) - {name}:
            graph.add_import(importer=name, imported=imported)
    return graph


def graph() -> grimp.ImportGraph:
    """Which file imports which, also through doors; imports for types alone don't count."""
    return with_doors(grimp.build_graph(*ROOTS, exclude_type_checking_imports=True, cache_dir=None))


if __name__ == "__main__":
    for file, door in unwritten():
        if file.exists() and _holds_more(file.read_text(encoding="utf-8")):
            raise SystemExit(
                f"{file.relative_to(HERE)} holds more than a door: name it in LOADS_ALL, or move that out."
            )
        file.write_text(door, encoding="utf-8")
