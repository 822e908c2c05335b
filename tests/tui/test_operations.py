"""What is declared once comes out at every door: command, help, keys, palette, form, undo, JSON."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

import tui
from models.undoing.undoable import FINAL, PART_OF, UNDOABLE
from tests.doors import packages
from tests.tui.command_line import CommandLine
from tests.tui.example_files import write_files
from tui.answers.schema import answers, file_of, text_of
from tui.cli import parse
from tui.keys import MENU, meaning
from tui.operations.operation import Operation
from tui.operations.registry import AREAS, area_module, operations
from tui.screens.operating import keys_of

EVERY = [one for area in AREAS for one in operations(area)]
IDS = [f"{one.area} {one.name}" for one in EVERY]
RULES = {"shelf", "kits", "tally", "jobs", "templates", "fluid_rules", "own_grooves", "own_ports", "own_sizes"}
"""The parts of `models` whose actions the areas' changes write."""
COMMANDS = [one for one in EVERY if one.command]
BEFORE = dict.fromkeys(("buy text", "buy receive", "buy call-off"), "buy order --looked-at")
"""What has to be done on the demo workshop before an operation's examples mean anything."""
ENDLESS = {"serve"}
"""What runs until it is told to end: tests/tui/serve/test_command.py."""


@pytest.mark.parametrize("one", EVERY, ids=IDS)
def test_an_operation_is_declared_whole(one: Operation) -> None:
    # Where there is both, the fields say which of them it is.
    both = one.changes is not Operation.__dataclass_fields__["changes"].default
    assert (one.change is not None) + (one.question is not None) + (one.does is not None) + (one.tells is not None) + (
        one.answers is not None
    ) == 1 + both
    assert one.command or one.key
    assert re.fullmatch(r"[a-z][a-z-]*( [a-z][a-z-]*)?", one.name)
    assert one.label
    assert one.help
    assert not one.help.endswith(".")
    assert len({field.name for field in one.fields}) == len(one.fields)
    options = [option.dest for field in one.fields for option in field.options()]
    assert len(set(options)) == len(options)
    assert all(option.help for field in one.fields for option in field.options() if option.takes != "words")


@pytest.mark.parametrize("one", COMMANDS, ids=lambda one: f"{one.area} {one.name}")
def test_every_example_of_its_help_is_a_command_line_of_it(one: Operation) -> None:
    assert one.examples
    for example in one.examples:
        arguments = parse([*(("--demo",) if one.workshop else ()), *shlex.split(example)])
        assert arguments.operation is one


@pytest.mark.parametrize(
    "one", [one for one in COMMANDS if one.area not in ENDLESS], ids=lambda one: f"{one.area} {one.name}"
)
def test_its_examples_run_on_the_demo_workshop(
    one: Operation, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    write_files(tmp_path)
    command = CommandLine(capsys, monkeypatch)
    for example in one.before:
        assert command(*shlex.split(example), "--demo").code in (0, 1)
    if before := BEFORE.get(f"{one.area} {one.name}"):
        assert command(*shlex.split(before), "--demo").code == 0
    for example in one.examples:
        ended = command(*(("--demo",) if one.workshop else ()), *shlex.split(example))
        assert ended.code in (0, 1), ended.err
        assert ended.out.strip() or ended.err.startswith("Wrote ")


def test_every_key_of_an_operation_is_a_meaning_of_the_key_table() -> None:
    for area in AREAS:
        keyed = [one for one in operations(area) if one.key]
        assert all(one.key == MENU or meaning(one.key) for one in keyed)
        assert [binding.id for binding in keys_of(area)] == [f"{area}.{one.name}" for one in keyed]  # type: ignore[union-attr]


def test_the_schemas_are_those_of_the_answers() -> None:
    stale = [answer.SCHEMA for answer in answers() if file_of(answer).read_text(encoding="utf-8") != text_of(answer)]
    assert stale == [], "run: python -m tui.answers.schema"


def test_no_schema_of_version_2_is_written_by_hand() -> None:
    made = {file_of(answer).name for answer in answers()}
    for path in (Path(tui.__file__).parent / "schemas").glob("*.json"):
        if '/2"' in path.read_text(encoding="utf-8"):
            assert path.name in made


def test_declarations_import_neither_models_nor_screens() -> None:
    code = "import json, sys\n" + "".join(f"import {area_module(area).__name__}\n" for area in AREAS)
    ended = subprocess.run(
        [sys.executable, "-c", f"{code}sys.stdout.write(json.dumps(sorted(sys.modules)))"],
        capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    loaded = {name for name in json.loads(ended.stdout) if name not in packages()}  # a door loads nothing
    modules = {name.partition(".")[0] for name in loaded}
    assert modules & {"models", "textual", "sqlalchemy", "sqlmodel", "pydantic", "pint"} == set()


def test_every_action_that_a_change_writes_has_an_undo_or_says_why_not() -> None:
    """What the rules of an area claim is known to undo; the names stand in the rules' source."""
    root = Path(tui.__file__).parents[1] / "models"
    claimed = {
        name
        for path in root.rglob("*.py")
        for name in re.findall(
            r'claim\(\s*session, act(?:\._replace\([^"]*\))?, "([a-z_.]+)"', path.read_text(encoding="utf-8")
        )
        if name.partition(".")[0] in RULES
    }
    assert {name.partition(".")[0] for name in claimed} == RULES
    assert claimed <= set(UNDOABLE) | set(FINAL) | set(PART_OF)
    assert set(PART_OF.values()) <= set(UNDOABLE)
