"""Every judging command has examples in its help, and each of them runs; what each imports."""

from __future__ import annotations

import re
import shlex
from itertools import pairwise
from pathlib import Path

import pytest

from tests.test_import_hygiene import command, costly, imported_by
from tests.tui.command_line import CommandLine
from tests.tui.example_files import write_files
from tui.commands.parsing import Help
from tui.operations.registry import area_module

COMMANDS = ("groove", "port", "rubber", "thread", "washer", "shaft-seal", "torque", "fluid", "fill", "filter")
ELEMENTS = "kind,name,od,length,first,first-id,second\ncartridge,paper,60,120,open,30,closed\n"
STRAINER = '{"element": {"kind": "cartridge", "od": 60, "length": 120}, "housing": {"depth": 118, "bore": 70}}'


def examples(name: str) -> list[str]:
    return re.findall(r"^  kitwright (.+)$", area_module(name).DESCRIPTION, flags=re.MULTILINE)


@pytest.fixture
def kitwright(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, own_folders: Path
) -> CommandLine:
    (tmp_path / "elements.csv").write_text(ELEMENTS, encoding="utf-8")
    (tmp_path / "strainer.json").write_text(STRAINER, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    write_files(tmp_path)
    return CommandLine(capsys, monkeypatch)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_examples_of_itself(name: str) -> None:
    assert len(examples(name)) >= 4
    assert all(example.startswith(f"{name} ") for example in examples(name))
    assert "exit codes:" in area_module(name).EPILOG


@pytest.mark.parametrize("example", [example for name in COMMANDS for example in examples(name)])
def test_every_example_runs(kitwright: CommandLine, example: str) -> None:
    ended = kitwright(*shlex.split(example))
    assert ended.code in (0, 1), ended.err
    assert ended.out
    assert ended.err == ""


@pytest.mark.parametrize("name", COMMANDS)
def test_help_keeps_within_its_columns(kitwright: CommandLine, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    ended = kitwright(name, "--help")
    assert ended.code == 0
    assert max(map(len, ended.out.splitlines())) <= 82


@pytest.mark.parametrize(
    "words",
    [
        ("groove", "--root", "25", "--bore", "30", "--width", "4.2", "--ring", "G25", "--json"),
        ("groove", "--root", "1in", "--bore", "1.2in", "--width", "0.17in"),
        ("port", "--diameter", "11", "--tpi", "20", "--json"),
        ("rubber", "--fluid", "UTTO", "--from", "-20C", "--to", "100C", "--json"),
        ("rubber", "--age", "FKM", "--cured", "2025-01", "--today", "2026-01-31"),
        ("thread", "--diameter", "7.85", "--pitch", "1.25"),
        ("port", "--tube", "3/8"),
        ("washer", "--inside", "14.2", "--outside", "17.9"),
        ("shaft-seal", "--shaft", "35", "--bore", "52", "--json"),
        ("torque", "--thread", "M16x2", "--class", "8.8"),
        ("fluid", "--have", "UTTO", "--need", "ISO-L-HM"),
        ("fluid", "--points", "46@40", "6.8@100", "--at", "50C", "--json"),
        ("filter", "--mesh", "60"),
        ("filter", "--describe", "cartridge, 60 x 120", "--housing", "depth=300"),
    ],
)
def test_what_needs_no_other_unit_imports_nothing_costly(words: tuple[str, ...]) -> None:
    # A judgement may end with 1; only what was imported counts here.
    code = command(*words).replace("assert not end.code, end.code", "pass")
    assert costly(imported_by(code)) == set()


@pytest.mark.parametrize(
    "words",
    [
        ("rubber", "--fluid", "UTTO", "--to", "212F", "--pressure", "2000psi", "--json"),
        ("torque", "--thread", "M16x2", "--class", "8.8", "--torque", "100 lbf·ft"),
        ("fill", "--low", "11 qt", "--full", "12 qt", "--poured", "6 qt", "5 qt"),
    ],
)
def test_another_unit_costs_pint_and_nothing_else(words: tuple[str, ...]) -> None:
    found = costly(imported_by(command(*words).replace("assert not end.code, end.code", "pass")))
    assert found - {"numpy"} == {"pint"}  # pint takes numpy along where it is installed


@pytest.mark.parametrize("columns", [50, 60, 80])
def test_a_paragraph_of_help_is_set_to_the_terminals_width(columns: int) -> None:
    """Seen at 80 columns: a line one word too long left that word alone in the next."""
    shown = Help("kitwright")
    shown._columns = columns
    text = "Tell what was measured on an old ring; get the ring to fit in its place and how likely\nit seals.\n"
    lines = shown._fill_text(
        f"{text}\n  kitwright ring --id 24.9 --width 3.5 --condition used --joint plug\n", columns, ""
    ).splitlines()
    set_anew = lines[: lines.index("")]
    assert " ".join(set_anew) == " ".join(text.split())
    assert max(map(len, set_anew)) <= columns
    assert all(len(line) + len(after.split()[0]) >= columns for line, after in pairwise(set_anew))
    assert lines[-1].strip() == "kitwright ring --id 24.9 --width 3.5 --condition used --joint plug"
