"""The command line's door: an operation as a subcommand, with its options, its help, its text and its JSON."""

from __future__ import annotations

import argparse
from importlib import import_module
from typing import TYPE_CHECKING

from tui.commands.parsing import Parser, UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode
from tui.operations.registry import operations

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.fields.field import Option
    from tui.operations.operation import Operation

    Commands = argparse._SubParsersAction[Parser]


def add_area(commands: Commands, name: str) -> None:
    """Add an area's command with its subcommands, or with the one operation that is the command itself.

    Where an operation's name is of two words, the first is a group of subcommands, as `job template show`.
    """
    area = import_module(f"tui.operations.{name}")
    below = commands.add_parser(name, help=area.HELP, description=area.DESCRIPTION, epilog=area.EPILOG)
    own = [one for one in operations(name) if one.command]
    if [one.name for one in own] == [name]:
        _fill(below, own[0])
        return
    below.set_defaults(run=_no_name, parser=below)
    below.number_means = getattr(area, "NUMBER_MEANS", None)
    todo = below.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    groups: dict[str, Commands] = {}
    for operation in own:
        group, _, rest = operation.name.rpartition(" ")
        if group and group not in groups:
            said, about = area.GROUPS[group]
            groups[group] = todo.add_parser(group, help=said, description=about).add_subparsers(
                title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser
            )
        _fill(
            groups.get(group, todo).add_parser(rest, help=operation.help, description=description(operation)), operation
        )


def _no_name(arguments: argparse.Namespace) -> ExitCode:
    """Never reached: an area's command asks for one of its subcommands."""
    raise UsageError(f"say what to do (got {arguments.what})")


def add(todo: Commands, operation: Operation) -> None:
    """Add an operation to its area's subcommands."""
    _fill(todo.add_parser(operation.name, help=operation.help, description=description(operation)), operation)


def _fill(below: Parser, operation: Operation) -> None:
    for option in (option for one in operation.fields for option in one.options()):
        _add_option(below, option)
    below.set_defaults(run=run, parser=below, operation=operation)
    if any(one.LENGTHS for one in operation.fields):
        add_unit_option(below)
    add_json_option(below)
    add_workshop_options(below)


def _add_option(below: Parser, option: Option) -> None:
    if option.takes == "none":
        below.add_argument(option.flag, dest=option.dest, action="store_true", help=option.help)
    elif option.positional:
        many = "*" if option.takes in ("words", "many") else None if option.required else "?"
        many = "+" if many == "*" and option.required else many
        below.add_argument(option.dest, metavar=option.metavar, nargs=many, help=option.help)
    elif option.takes == "many":
        below.add_argument(option.flag, dest=option.dest, metavar=option.metavar, action="append", help=option.help)
    else:
        below.add_argument(
            option.flag, dest=option.dest, metavar=option.metavar, required=option.required, help=option.help,
            nargs="+" if option.takes == "several" else None,
        )  # fmt: skip


def description(operation: Operation) -> str:
    """What `--help` says before the options: what it does, then its examples."""
    examples = (*operation.before, *operation.examples)
    word = "examples" if len(examples) > 1 else "example"
    lines = "\n".join(f"  kitwright {example} --demo" for example in examples)
    return f"{operation.about or operation.help}\n\n{word}:\n{lines}\n"


def run(arguments: argparse.Namespace) -> ExitCode:
    """Read the words, do it, and print the answer."""
    from tui.commands.output import say, talk
    from tui.commands.workshop import opened, same_place
    from tui.fields.field import Asked, FieldError
    from tui.fields.units import kept

    operation: Operation = arguments.operation
    words = {
        option.dest: _word(option, getattr(arguments, option.dest))
        for one in operation.fields
        for option in one.options()
    }
    with opened(arguments) as workshop:
        try:
            values = operation.read(words, Asked(kept(arguments.unit), look=workshop.read))
            answer = operation.perform(workshop, values, lambda one: _print(one, as_json=arguments.json))
        except FieldError as problem:
            lead = "" if problem.option == "-" else f"{problem.option}: "
            raise UsageError(f"{lead}{problem}") from problem
        # Before the workshop is closed, for that may take its time over the day's backup.
        _print(answer, as_json=arguments.json)
        if not arguments.json:
            for why, line in answer.go_on():
                say(f"{why}: kitwright {line}{same_place(arguments)}")
            for line in answer.aside():
                talk(line)
    if answer.refused:
        return ExitCode.USAGE
    return ExitCode.FOUND if answer.found else ExitCode.NOTHING


def _print(answer: Answer, *, as_json: bool) -> None:
    from tui.commands.output import say, say_json

    if as_json:
        say_json(answer.as_json())
        return
    for line in answer.words():
        say(line)


def _word(option: Option, value: str | bool | list[str] | None) -> str | None:
    """What argparse found, as a field reads it: of several values each on a line of its own."""
    if isinstance(value, bool):
        return "yes" if value else None
    if isinstance(value, list):
        return (" " if option.takes == "words" else "\n").join(value)
    return value
