"""One table of keys: a key means the same on every screen, and nothing can be done by a kept key alone."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.dom import DOMNode

import tui
from tests.tui.counter import keys, make_app, settle, write
from tui.app import KitwrightApp
from tui.keys import AREAS, BY_KEY, KEYS, filled, kept, meaning, readme_table
from tui.screens.area import Area
from tui.screens.help import help_text, keys_of_page
from tui.widgets.rows import Rows

ROOT = Path(tui.__file__).parent
ALONE = {
    "help": "the menu has it",
    "tool": "the menu has it",
    "looks": "the menu has it, and Tab goes to its words",
    "sits": "the menu has it, and Tab goes to its words",
    **dict.fromkeys(
        ("element", "fluid", "rubber", "viscosity", "level", "thread", "port", "torque", "seal", "tables"),
        "the menu has it, and another key turns to it",
    ),
}
"""What has no plain key of its own, and how it is reached by one."""


def nodes() -> list[type[DOMNode]]:
    """Every screen and widget of ours that binds keys."""
    found: dict[type[DOMNode], None] = {}
    for module in pkgutil.walk_packages(tui.__path__, "tui."):
        if module.name == "tui.__main__":
            continue
        for one in vars(importlib.import_module(module.name)).values():
            ours = inspect.isclass(one) and issubclass(one, DOMNode) and one.__module__.startswith("tui.")
            if ours and "BINDINGS" in vars(one):
                found[one] = None
    return list(found)


NODES = nodes()
PAGES = [one for one in NODES if issubclass(one, Area) and one is not Area]


def bound(one: type[DOMNode]) -> Iterator[Binding]:
    for binding in vars(one)["BINDINGS"]:
        assert isinstance(binding, Binding)
        yield binding


def calls(tree: ast.AST, name: str) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
            yield node


def test_no_key_has_two_meanings() -> None:
    assert [(a.name, b.name) for a, b in combinations(KEYS, 2) if set(a.keys) & set(b.keys)] == []
    assert len({one.name for one in KEYS}) == len(KEYS)
    assert all(one.says and one.keys for one in KEYS)


@pytest.mark.parametrize("one", NODES, ids=lambda one: one.__name__)
def test_every_screen_binds_meanings(one: type[DOMNode]) -> None:
    """Each key it has is in the table, and where a key is there twice, the screen says which of them holds."""
    for binding in bound(one):
        names = {BY_KEY[key].name for key in binding.key.split(",") if not key.startswith("menu.")}
        assert len(names) <= 1, binding
        assert binding.tooltip, binding
    actions: dict[str, set[str]] = {}
    for binding in bound(one):
        for key in binding.key.split(","):
            actions.setdefault(key, set()).add(binding.action)
    twice = {key for key, deeds in actions.items() if len(deeds) > 1}
    chooses = any("check_action" in vars(base) for base in one.__mro__ if base.__module__.startswith("tui."))
    assert not twice or chooses or one.__name__ == "SizeFilter", twice


def test_keys_stand_in_the_table_alone() -> None:
    """A binding is made of a meaning, and an answer's key as well; only the table knows keys."""
    for path in ROOT.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if path.name != "bound.py":
            assert not list(calls(tree, "Binding")), path
        if path.parent.name != "commands":
            for call in calls(tree, "Key"):
                first = call.args[0] if call.args else None
                if isinstance(first, ast.Constant):
                    assert [meaning(name) for name in str(first.value).split()], path


def test_what_is_kept_by_terminals_is_never_the_only_way() -> None:
    """F1 to F12, Ctrl+B N P R T W and Alt with a letter often go to the terminal or the browser."""
    assert {one.name for one in KEYS if all(map(kept, one.keys))} == set(ALONE)
    assert not kept(meaning("menu").keys[0]), "the menu itself is opened by a plain key"
    assert kept("f7")
    assert kept("ctrl+t")
    assert kept("alt+e")
    assert not kept("f")
    assert not kept("ctrl+s")


def test_no_deed_takes_a_key_of_the_lists() -> None:
    lists = {key for binding in bound(Rows) for key in binding.key.split(",")} | {"space"}
    moves = {"up", "down", "page-up", "page-down", "first", "last", "mark"}
    for one in KEYS:
        assert one.name in moves or not set(one.keys) & lists, one


@pytest.mark.parametrize("page", PAGES, ids=lambda one: one.__name__)
def test_help_names_every_key_and_no_other(page: type[Area]) -> None:
    rows = keys_of_page(page)
    text = help_text(page.PAGE, rows)
    for binding in bound(page):
        says = binding.tooltip
        assert f" | {says} |" in text or any(binding.action in str(one) for one in rows), binding
    for one in ("menu", "undo", "quit", "unit"):
        assert meaning(one).all_shown in text
    # A name in braces that is no meaning would stand there as it is.
    assert not re.search(r"\{[a-z:-]+\}", text)
    source = page.PAGE.read_text(encoding="utf-8")
    assert not re.search(r"\bF\d+\b|\^[A-Z]\b|Ctrl\+|Alt\+", source), "a key is named by what it means"


def test_words_name_keys_by_what_they_mean() -> None:
    assert filled("press {clear} or {plain:clear}, not {what}") == "press F8 or C, not {what}"


def test_the_readmes_table_is_the_table() -> None:
    assert readme_table() in (ROOT.parent / "README.md").read_text(encoding="utf-8")


def test_no_key_is_written_by_the_name_that_only_a_program_knows() -> None:
    """The dollar key is "$", as it stands on the key cap."""
    assert [one.all_shown for one in KEYS if "_" in one.all_shown] == []


async def test_the_menu_reaches_every_deed_of_every_area_from_its_field_too(tmp_path: Path) -> None:
    """The walk over all areas: what is bound there stands in the menu, and a plain key opens it."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for area in AREAS:
            await keys(pilot, meaning(area).keys[0])
            page: Any = app.screen
            titles = {command.title for command in app.get_system_commands(page)}
            for binding in bound(type(page)):
                if binding.id and app._check_action_state(binding.action, page):
                    assert binding.description in titles, (area, binding)
            seen = {
                BY_KEY[key].name
                for node in (page, *page.query("*"))
                for key in node._bindings.key_to_bindings
                if key in BY_KEY and node.__class__.__module__.startswith("tui.")
            }
            assert {name for name in seen if all(map(kept, meaning(name).keys))} <= set(ALONE)
        await keys(pilot, "f2", "escape", "0")
        assert type(app.screen).__name__ == "Palette"


async def test_a_digit_is_the_fields_for_a_second_after_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.app.DIGIT_REST", 60.0)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.9")
        await keys(pilot, "escape", "5")
        assert app.current_mode == "measure", "the 5 of 24.95, typed after Esc"
        monkeypatch.setattr("tui.app.DIGIT_REST", 0.0)
        await keys(pilot, "5")
        assert app.current_mode == "judge"


async def test_a_digit_leaves_no_page_while_a_word_among_fields_has_the_keys(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.app.DIGIT_REST", 0.0)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "ctrl+g")
        for chip in ("#groove-motion", "#groove-tool", "#groove-kind", "#groove-view"):
            app.screen.query_one(chip).focus()
            await keys(pilot, "2", "5")
            assert type(app.screen).__name__ == "GrooveScreen", chip


async def test_the_letter_for_quit_ends_nothing_from_a_help_page(tmp_path: Path) -> None:
    app: KitwrightApp = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "f1", "q", "q")
        assert app.screen.name == "help"
        await keys(pilot, "escape")
        assert app.is_running
