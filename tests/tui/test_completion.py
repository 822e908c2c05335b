"""What shells offer: the same words as the command line takes, tried in the shells that this machine has."""

from __future__ import annotations

import argparse
import shutil
import subprocess
from collections.abc import Iterator

import pytest

from tui.cli import build_parser
from tui.commands.completion import SHELLS, places
from tui.commands.parsing import Parser

# kitwright, then the word that Tab is pressed in, which may be empty.
LINES = {
    ("s",): ["serve", "shaft-seal", "sheet", "shelf", "sizes", "supplier"],
    ("shelf", "scr"): ["scrap"],
    ("--demo", "shelf", "scr"): ["scrap"],
    ("shelf", "scrap", "--rea"): ["--reason"],
    ("job", "template", "sh"): ["show"],
    ("ring", "--id", "24.9mm", "--wi"): ["--width"],
    ("ring", "--unit", ""): ["in", "mm"],
    ("ring", "--joint", "p"): ["plug", "port"],
    ("completion", "z"): ["zsh"],
    ("shelf", "nothing-begins-so"): [],
}


def parsers(parser: Parser, path: str = "") -> Iterator[tuple[str, Parser]]:
    """Every command with its parser, by its words."""
    yield path, parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, below in action.choices.items():
                yield from parsers(below, f"{path} {name}".strip())


def offered(parser: Parser) -> set[str]:
    """The long options and subcommands of a parser."""
    words = {word for action in parser._actions for word in action.option_strings if word.startswith("--")}
    subcommands = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    return words | {name for action in subcommands for name in action.choices}


def test_what_is_offered_is_what_the_command_line_takes() -> None:
    taken = {path: offered(parser) for path, parser in parsers(build_parser())}
    assert {place.path: set(place.offers) for place in places()} == taken


def asked(shell: str, words: tuple[str, ...]) -> list[str]:
    """What the shell itself offers for a line."""
    line = ("kitwright", *words)
    if shell == "bash":
        quoted = " ".join(f"'{word}'" for word in line)
        tail = f'\nCOMP_WORDS=({quoted}); COMP_CWORD={len(words)}; _kitwright; printf "%s\\n" "${{COMPREPLY[@]}}"'
        start = ["bash", "--norc"]
    else:
        tail = f"\ncomplete -C '{' '.join(line)}' | string replace -r '\\t.*' ''; true"
        start = ["fish", "--no-config"]
    ended = subprocess.run(start, input=SHELLS[shell]() + tail, capture_output=True, text=True, timeout=60, check=True)
    assert not ended.stderr
    return sorted(word for word in ended.stdout.split("\n") if word)


@pytest.mark.parametrize("shell", [one for one in ("bash", "fish") if shutil.which(one)])
def test_a_shell_offers_what_may_follow(shell: str) -> None:
    assert {words: asked(shell, words) for words in LINES} == LINES


def test_zsh_is_told_to_read_the_way_of_bash() -> None:
    assert SHELLS["zsh"]().endswith(SHELLS["bash"]())
    if shutil.which("zsh"):
        tried = SHELLS["zsh"]() + "\nprint -r -- $_comps[kitwright]"
        ended = subprocess.run(["zsh", "-f"], input=tried, capture_output=True, text=True, timeout=60, check=True)
        assert "_kitwright" in ended.stdout


def test_a_file_is_offered_where_one_is_taken() -> None:
    files = {(place.path, flag) for place in places() for flag in place.files}
    assert {("", "--data"), ("ring", "--batch"), ("list load", "")} <= files


def test_no_help_ends_the_quotes_it_stands_in() -> None:
    assert all(line.count("'") % 2 == 0 for line in SHELLS["fish"]().splitlines())
