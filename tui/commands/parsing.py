"""An argument parser that answers a typo with the near match, and options that stand before or after the command."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

from tui.commands.output import OutputError, harmless
from tui.exit_codes import ExitCode
from tui.fields.words import did_you_mean, shown, unknown

UNITS = ("mm", "in")


class UsageError(Exception):
    """What was typed cannot be used; the text is one sentence for the person who typed it."""


class Help(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal. The stock formatter imports `shutil` (5 ms) for that, once any option is added."""

    def __init__(self, prog: str) -> None:
        try:
            columns = int(os.environ.get("COLUMNS", "")) or os.get_terminal_size().columns
        except (ValueError, OSError):
            columns = 80
        self._columns = max(40, min(columns, 100))
        super().__init__(prog, width=self._columns - 2)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        """Keep the lines as written where they fit. A paragraph with one that does not is set anew, so that no word is
        left alone in a line; each indented line is a thing by itself, and an example stays whole, to be copied."""
        told: list[str] = []
        paragraph: list[str] = []
        for line in (*text.splitlines(), ""):
            if line and not line[0].isspace() and not line.startswith("kitwright "):
                paragraph.append(indent + line)
                continue
            if any(len(each) > self._columns for each in paragraph):
                paragraph = [self._broken(" ".join(paragraph))]
            told += [*paragraph, self._broken(indent + line)]
            paragraph = []
        return "\n".join(told[:-1]) + "\n"

    def _broken(self, line: str) -> str:
        text = line.lstrip()
        if len(line) <= self._columns or text.startswith("kitwright "):
            return line
        import textwrap

        return textwrap.fill(line, self._columns, subsequent_indent=line[: len(line) - len(text)])


class Parser(argparse.ArgumentParser):
    """`argparse` without abbreviations (they break when an option is added) and with suggestions.

    `number_means`: the subcommand that a number in its place stands for, as `kit 3` for `kit show 3`. `bare_means`: the
    one that is meant where `subcommands` does not hold the first word, as `fits --export F` for `fits show --export F`.
    `alone_means`: the one that is meant where nothing but options follow, as `machine` for `machine list`.
    """

    number_means: str | None = None
    bare_means: str | None = None
    alone_means: str | None = None
    subcommands: Sequence[str] = ()

    def __init__(self, **settings: Any) -> None:
        super().__init__(**{"allow_abbrev": False, "formatter_class": Help, **settings})

    def parse_known_args(  # type: ignore[override]  # the stock one is overloaded on the namespace's type
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        """Parse; where a number stands for a subcommand, that is put before it."""
        if self.number_means is not None and args is not None:
            first = first_word(args)
            if first is not None and first.strip().isdecimal():
                args = [self.number_means, *args]
        if self.bare_means is not None and args is not None and not {*args[:1]} & {*self.subcommands, "-h", "--help"}:
            args = [self.bare_means, *args]
        if self.alone_means is not None and args is not None and not {*args} & {"-h", "--help"}:
            args = args if args and not args[0].startswith("-") else [self.alone_means, *args]
        return super().parse_known_args(args, namespace)

    def _print_message(self, message: str, file: Any = None) -> None:
        """What argparse prints, with nothing in it that steers a terminal."""
        try:
            super()._print_message(harmless(message), file)
        except (OSError, ValueError) as fault:
            if file is sys.stdout:
                raise OutputError(str(fault)) from fault

    def error(self, message: str) -> NoReturn:
        """Say what was wrong and where help is; exit 2."""
        self.exit(ExitCode.USAGE, f"{self.prog}: {message}\nFor help type: {self.prog} --help\n")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is not None and value not in action.choices:
            raise argparse.ArgumentError(action, unknown(str(value), [str(choice) for choice in action.choices]))

    def unknown_argument(self, argument: str) -> NoReturn:
        """Refuse an option or a word that no one asked for."""
        name = argument.partition("=")[0]
        if not name.startswith("-"):
            self.error(f"{shown(argument)} is one word too many; put a value with spaces in quotes")
        self.error(f"{shown(name)} is not an option{did_you_mean(name, self._option_string_actions)}")


def first_word(words: Iterable[str]) -> str | None:
    """The first that is neither an option nor the value of one that stands before a command."""
    rest = iter(words)
    for word in rest:
        if word in ("--data", "--data-from", "--unit", "--caliper"):
            next(rest, None)
        elif not word.startswith("-"):
            return word
    return None


def join_negative_values(arguments: Sequence[str]) -> list[str]:
    """Make `--id -3mm` read as `--id=-3mm`, so that the reading is refused for being negative, not for looking odd."""
    joined: list[str] = []
    for argument in arguments:
        if joined and re.match(r"-[\d.,]", argument) and re.fullmatch(r"--[a-z][a-z-]*", joined[-1]):
            joined[-1] += f"={argument}"
        else:
            joined.append(argument)
    return joined


def add_workshop_options(parser: argparse.ArgumentParser, *, top: bool = False) -> None:
    """Add `--data` and `--demo`. Below the top they have no default, so that a value given before the command stays."""
    group = parser.add_argument_group("which workshop")
    group.add_argument(
        "--data",
        metavar="PATH|URL",
        default=None if top else argparse.SUPPRESS,
        help="the database: a file or a postgresql:// address (else workshop.sqlite3 in your data folder, or in the "
        "folder that KITWRIGHT_DATA names)",
    )
    group.add_argument(
        "--data-from",
        metavar="FILE",
        default=None if top else argparse.SUPPRESS,
        help="read what --data would say from the first line of a file, so that no list of programs shows a password",
    )
    group.add_argument(
        "--demo",
        action="store_true",
        default=False if top else argparse.SUPPRESS,
        help="use the invented demo workshop, kept in a database of its own",
    )


def add_unit_option(parser: argparse._ActionsContainer, *, top: bool = False) -> None:
    """Add `--unit`, the unit of a number typed without one."""
    parser.add_argument(
        "--unit",
        choices=UNITS,
        default="mm" if top else argparse.SUPPRESS,
        help="the unit of a number typed without one (mm unless you say in)",
    )


def add_json_option(parser: argparse._ActionsContainer) -> None:
    """Add `--json`."""
    parser.add_argument("--json", action="store_true", help="print JSON for scripts instead of text")
