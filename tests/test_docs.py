"""The words about the program agree with the program."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tui.cli import build_parser, parse

ROOT = Path(__file__).parents[1]


def command_lines(text: str) -> list[str]:
    """The lines of a text that run `kitwright`, without the words that explain them after two spaces or more."""
    found = re.findall(r"^\s*(?:\$ )?(?:\S*/)?(kitwright(?: .*)?)$", text, re.MULTILINE)
    return [re.split(r"\s{2,}|\s+[#|>]", line)[0] for line in found]


def parsers(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """A parser and all below it."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield from parsers(below)


PARSERS = {parser.prog: parser for parser in parsers(build_parser())}


def examples(parser: argparse.ArgumentParser) -> list[str]:
    return [line for line in command_lines(parser.description or "") if line.startswith("kitwright")]


def accepts(line: str) -> bool:
    try:
        parse(shlex.split(line)[1:])
    except SystemExit as end:
        return not end.code
    return True


def test_the_check_can_fail() -> None:
    assert not accepts("kitwright ring --nothing 3")


def test_every_command_line_in_a_fence_of_the_readme_parses() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    fences = "\n".join(re.findall(r"^```\w*\n(.*?)^```", text, re.MULTILINE | re.DOTALL))
    assert [line for line in command_lines(fences) if not accepts(line)] == []


@pytest.mark.parametrize("prog", PARSERS)
def test_every_command_shows_an_example_that_parses(prog: str) -> None:
    lines = examples(PARSERS[prog])
    assert lines, f"{prog} --help shows no example"
    assert [line for line in lines if not accepts(line)] == []


@pytest.mark.parametrize("prog", PARSERS)
def test_every_option_has_a_help_text(prog: str) -> None:
    bare = [
        action.dest for action in PARSERS[prog]._actions if not action.help and action.dest not in ("command", "what")
    ]
    assert bare == []


@pytest.mark.parametrize("prog", PARSERS)
def test_help_fits_eighty_columns(prog: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    lines = PARSERS[prog].format_help().splitlines()
    # An example stays whole, so that it can be copied.
    assert [line for line in lines if len(line) > 80 and not line.startswith("  kitwright ")] == []


def shown_examples() -> dict[str, list[str]]:
    """Each command of the README that is followed by what it prints, and those lines."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    pairs = re.findall(r"^```\n(kitwright [^\n]*)\n```\n\n```\n(.*?)\n```$", text, re.MULTILINE | re.DOTALL)
    return {command: [line for line in shown.splitlines() if line] for command, shown in pairs}


def test_the_readme_shows_answers() -> None:
    assert len(shown_examples()) >= 2


@pytest.mark.parametrize("command", shown_examples())
def test_what_the_readme_shows_is_printed_line_by_line(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    printed = iter(CommandLine(capsys, monkeypatch)(*shlex.split(command)[1:]).out.splitlines())
    # An answer may be shortened there, and a line at its end; the order stays.
    assert [line for line in shown_examples()[command] if not any(one.startswith(line) for one in printed)] == []


def test_no_document_names_a_machine_path() -> None:
    for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md"):
        if (ROOT / name).exists():
            assert not re.search(r"(?<![\w./~])/(?:work|home|root|tmp)/", (ROOT / name).read_text(encoding="utf-8")), (
                name
            )


def test_the_readmes_test_command_is_the_one_that_ci_runs() -> None:
    command = ".venv/bin/pip install -c tests/constraints.txt -e '.[test]' && .venv/bin/pytest"
    assert command in (ROOT / "README.md").read_text(encoding="utf-8")
    install, test = command.split(" && ")
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert re.search(rf"^.*{re.escape(install)}$", script, re.MULTILINE)
    assert re.search(rf"^.*{re.escape(test)}$", script, re.MULTILINE)


def test_constraints_are_plain_pins() -> None:
    lines = (ROOT / "tests" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert lines
    assert [line for line in lines if not re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.+!]+", line)] == []
