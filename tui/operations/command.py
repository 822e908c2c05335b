"""The command line's door: an operation as a subcommand, with its options, its help, its text and its JSON."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from tui.operations.operation import Operation


def add(todo: argparse._SubParsersAction[Parser], operation: Operation) -> None:
    """Add an operation to its area's subcommands."""
    below = todo.add_parser(operation.name, help=operation.help, description=description(operation))
    for option in (option for one in operation.fields for option in one.options()):
        if option.takes == "none":
            below.add_argument(option.flag, dest=option.dest, action="store_true", help=option.help)
        elif option.positional:
            many = "*" if option.takes == "words" else None if option.required else "?"
            below.add_argument(option.dest, metavar=option.metavar, nargs=many, help=option.help)
        else:
            below.add_argument(
                option.flag, dest=option.dest, metavar=option.metavar, required=option.required, help=option.help
            )
    below.set_defaults(run=run, parser=below, operation=operation)
    add_json_option(below)
    add_workshop_options(below)


def description(operation: Operation) -> str:
    """What `--help` says before the options: what it does, then its examples."""
    word = "examples" if len(operation.examples) > 1 else "example"
    lines = "\n".join(f"  kitwright {example} --demo" for example in operation.examples)
    return f"{operation.about or operation.help}\n\n{word}:\n{lines}\n"


def run(arguments: argparse.Namespace) -> ExitCode:
    """Read the words, do it, and print the answer."""
    from tui.commands.output import say, say_json
    from tui.commands.workshop import opened
    from tui.fields.field import Asked, FieldError
    from tui.fields.units import kept

    operation: Operation = arguments.operation
    words = {
        option.dest: _word(getattr(arguments, option.dest)) for one in operation.fields for option in one.options()
    }
    with opened(arguments) as workshop:
        try:
            values = operation.read(words, Asked(kept(arguments.unit), look=workshop.read))
        except FieldError as problem:
            lead = "" if problem.option == "-" else f"{problem.option}: "
            raise UsageError(f"{lead}{problem}") from problem
        answer = operation.perform(workshop, values)
    if arguments.json:
        say_json(answer.as_json())
    else:
        for line in answer.words():
            say(line)
    return ExitCode.FOUND if answer.found else ExitCode.NOTHING


def _word(value: str | bool | list[str] | None) -> str | None:
    """What argparse found, as a field reads it."""
    if isinstance(value, bool):
        return "yes" if value else None
    return " ".join(value) if isinstance(value, list) else value
