"""The command line's door: an operation as a subcommand, with its options, its help, its text and its JSON."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeVar

import tui
from models import storage
from tui import fields
from tui.commands.parsing import Parser, UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode
from tui.fields.field import Asked, FieldError
from tui.operations.operation import Bench
from tui.operations.registry import area_module, commands_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from types import ModuleType

    from sqlmodel import Session

    from models.storage.address import Server
    from tui.answers.answer import Answer
    from tui.fields.field import Option
    from tui.fields.units import Units
    from tui.operations.operation import Operation
    from tui.workshop import Workshop

    Commands = argparse._SubParsersAction[Parser]
    Words = Mapping[str, str | None]

Found = TypeVar("Found")
UNDO: Final = "kitwright undo"
"""How an answer ends that says the way back."""


def add_area(commands: Commands, name: str) -> None:
    """Add an area's command: with its subcommands, with the operation that is the command itself, or with both.

    Where an operation's name is of two words, the first is a group of subcommands, as `job template show`.
    """
    area = area_module(name)
    below = commands.add_parser(name, help=area.HELP, description=area.DESCRIPTION, epilog=area.EPILOG)
    own = commands_of(name)
    itself = next((one for one in own if one.name == name), None)
    subcommands = [one for one in own if one is not itself]
    if itself is not None:
        _fill(below, itself)
    else:
        below.set_defaults(run=_no_name, parser=below)
        below.number_means = getattr(area, "NUMBER_MEANS", None)
        below.alone_means = getattr(area, "ALONE_MEANS", None)
        below.bare_means, below.subcommands = (
            getattr(area, "BARE_MEANS", None),
            tuple(one.name for one in subcommands),
        )
    if subcommands:
        _add_subcommands(below, area, subcommands, more=itself is not None)


def _add_subcommands(below: Parser, area: ModuleType, subcommands: Sequence[Operation], *, more: bool) -> None:
    """Add an area's subcommands; `more`: the area's command means something without one of them too."""
    firsts = ", ".join(dict.fromkeys(one.name.partition(" ")[0] for one in subcommands))
    todo = below.add_subparsers(
        title="more" if more else "what to do", metavar=firsts if more else "WHAT", dest="what", required=not more,
        parser_class=Parser,
    )  # fmt: skip
    groups: dict[str, Commands] = {}
    for operation in subcommands:
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
    headings: dict[str, argparse._ArgumentGroup] = {}
    for one in operation.fields:
        if one.under and one.under not in headings:
            headings[one.under] = below.add_argument_group(one.under)
        for option in one.options():
            _add_option(headings.get(one.under, below), option)
    below.set_defaults(run=run, parser=below, operation=operation)
    if any(one.LENGTHS for one in operation.fields):
        add_unit_option(below)
    add_json_option(below)
    if operation.workshop:
        add_workshop_options(below)


def _add_option(below: argparse._ActionsContainer, option: Option) -> None:
    if option.takes == "none":
        below.add_argument(option.flag, dest=option.dest, action="store_true", help=option.help)
    elif option.positional:
        many = "*" if option.takes in ("words", "many") else None if option.required else "?"
        many = "+" if many == "*" and option.required else many
        below.add_argument(option.dest, metavar=option.metavar, nargs=many, help=option.help)
    elif option.takes == "many":
        below.add_argument(option.flag, dest=option.dest, metavar=option.metavar, action="append", help=option.help)
    elif option.takes in ("several", "lists"):
        # What is given twice adds up; of lists each stays one.
        below.add_argument(
            option.flag, dest=option.dest, metavar=option.metavar, required=option.required, help=option.help,
            nargs="+", action="append" if option.takes == "lists" else "extend",
        )  # fmt: skip
    else:
        below.add_argument(
            option.flag, dest=option.dest, metavar=option.metavar, required=option.required, help=option.help
        )


def description(operation: Operation) -> str:
    """What `--help` says before the options: what it does, then its examples."""
    examples = (*operation.before, *operation.examples)
    word = "examples" if len(examples) > 1 else "example"
    demo = " --demo" if operation.answers is None else ""
    lines = "\n".join(f"  kitwright {example}{demo}" for example in examples)
    return f"{operation.about or operation.help}\n\n{word}:\n{lines}\n"


def run(arguments: argparse.Namespace) -> ExitCode:
    """Read the words, do it, and print the answer."""
    operation: Operation = arguments.operation
    words = {
        option.dest: _word(option, getattr(arguments, option.dest))
        for one in operation.fields
        for option in one.options()
    }
    units = fields.units.Units(length=arguments.unit) if operation.lengths_only else fields.units.kept(arguments.unit)
    done = _answer if operation.answers is not None else _done
    answer = done(arguments, operation, words, units)
    if answer.refused:
        return ExitCode.USAGE
    return ExitCode.FOUND if answer.found else ExitCode.NOTHING


def _done(arguments: argparse.Namespace, operation: Operation, words: Words, units: Units) -> Answer:
    """Do it, or ask it, in the workshop."""
    with tui.commands.workshop.opened(arguments) as workshop:
        try:
            values = operation.read(words, Asked(units, look=workshop.read))
            answer = operation.perform(workshop, values, lambda one: _print(one, as_json=arguments.json), units)
        except FieldError as problem:
            raise _usage(problem) from problem
        # Before the workshop is closed, for that may take its time over the day's backup.
        _tell(answer, arguments)
    return answer


def _answer(arguments: argparse.Namespace, operation: Operation, words: Words, units: Units) -> Answer:
    """Ask the catalog; a workshop is opened where the question or one of its fields looks into it."""
    assert operation.answers is not None
    if operation.elsewhere and (arguments.demo or arguments.data is not None):
        raise UsageError(operation.elsewhere)
    with ExitStack() as stack:
        workshops: list[Workshop] = []

        def look(into: Callable[[Session], Found]) -> Found:
            if not workshops:
                workshops.append(stack.enter_context(tui.commands.workshop.opened(arguments)))
            return workshops[0].read(into)

        def place() -> Path | Server:
            """Where the workshop lies; the demo is made where nobody opened it yet, so that its shelf can be seen."""
            found = storage.locations.place(arguments.data, arguments.demo)
            if arguments.demo and not (isinstance(found, Path) and found.exists()):
                look(lambda _: None)
            return found

        try:
            values = operation.read(words, Asked(units, look=look))
            bench = Bench(units, look, lambda one: _print(one, as_json=arguments.json), place=place)
            answer = operation.answers(values, bench)
        except FieldError as problem:
            raise _usage(problem) from problem
        _tell(answer, arguments)
    return answer


def _usage(problem: FieldError) -> UsageError:
    """What was typed can't be used; the option is named, where it is one's."""
    return UsageError(str(problem) if problem.option in ("", "-") else f"{problem.option}: {problem}")


def _tell(answer: Answer, arguments: argparse.Namespace) -> None:
    """The answer, and beside it how to go on."""
    for line in answer.trouble():
        tui.commands.output.talk(line)
    _print(answer, as_json=arguments.json, at=tui.commands.workshop.same_place(arguments))
    if arguments.json:
        return
    if ways := answer.go_on():
        for why, line in ways:
            tui.commands.output.say(f"{why}: kitwright {line}{tui.commands.workshop.same_place(arguments)}")
    for line in answer.aside():
        tui.commands.output.talk(line)


def _print(answer: Answer, *, as_json: bool, at: str = "") -> None:
    """`at`: what a command has to add to be about the same workshop."""
    if as_json:
        text = answer.json_text()
        tui.commands.output.say_json(None if text else answer.as_json(), text)
        return
    if made := answer.raw():
        tui.commands.output.say_bytes(made)
        return
    for line in answer.words():
        tui.commands.output.say(line + at if line.endswith(UNDO) else line)


def _word(option: Option, value: str | bool | list[Any] | None) -> str | None:
    """What argparse found, as a field reads it: of several values each on a line of its own."""
    if isinstance(value, bool):
        return "yes" if value else None
    if isinstance(value, list):
        if option.takes == "lists":
            return "\n".join("\t".join(" ".join(one.split()) for one in values) for values in value)
        return (" " if option.takes == "words" else "\n").join(value)
    return value
