"""`kitwright fluid rules`: the shop's own stand-in rules and classes: list, add, withdraw, take in and write out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, say_text, table
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options, shown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.fluid_rules import OwnClass, OwnRule

SCHEMA = "kitwright.fluid/1"
KINDS = ("upgrade", "allowed", "caution", "partial", "downgrade", "lacks", "never")
DESCRIPTION = """\
What this shop says itself of fluids: its own stand-in rules and its own classes. Every answer
that rests on one says that it is this shop's own. A rule of the tables that says never stands
whatever the shop says.

examples:
  kitwright fluid rules list
  kitwright fluid rules add --need UTTO --have ORCHARD-1 --kind allowed --if "sprayers only"
  kitwright fluid rules class ORCHARD-1 --says "the co-op's own mix"
  kitwright fluid rules remove 3
  kitwright fluid rules import rules.csv
  kitwright fluid rules export rules.csv
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what can be done with the shop's own rules."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    listing = todo.add_parser(
        "list", help="the rules and classes that stand",
        description="List the shop's own rules and classes, with who said each and when.\n\n"
        "example:\n  kitwright fluid rules list --json\n",
    )  # fmt: skip
    adding = todo.add_parser(
        "add", help="say a rule",
        description="Say a rule: may what the label claims be used where that is asked?\n"
        "A cell may list classes parted by ; or name a group such as @engine.\n\n"
        'example:\n  kitwright fluid rules add --need "VG 46" --have "VG 68" --kind caution --if "summer only"\n',
        epilog="kinds: upgrade or allowed (yes), caution (with care, under --if), partial (for part of\n"
        "the duty), downgrade (no), lacks or never (never).\n",
    )  # fmt: skip
    naming = todo.add_parser(
        "class", help="name a class of the shop's own",
        description="Name a class of the shop's own, such as a mix it makes.\n\n"
        'example:\n  kitwright fluid rules class ORCHARD-1 --says "the co-op\'s own mix"\n',
    )  # fmt: skip
    removing = todo.add_parser(
        "remove", help="withdraw a rule or a class",
        description="Withdraw a rule by its number in the list, or a class by its code. It stays on\n"
        "record.\n\nexample:\n  kitwright fluid rules remove 3\n",
    )  # fmt: skip
    taking = todo.add_parser(
        "import", help="take in a CSV file",
        description="Take in rules and classes from CSV: required,offered,kind,condition and, if\n"
        "wanted, source. All of it, or nothing.\n\nexample:\n  kitwright fluid rules import rules.csv\n",
    )  # fmt: skip
    writing = todo.add_parser(
        "export", help="write a CSV file",
        description="Write the shop's own rules and classes as CSV, for another shop to take in.\n\n"
        "example:\n  kitwright fluid rules export rules.csv\n",
    )  # fmt: skip
    for below, run in (
        (listing, _list), (adding, _add), (naming, _class), (removing, _remove), (taking, _import), (writing, _export),
    ):  # fmt: skip
        below.set_defaults(run=run, parser=below)
        add_workshop_options(below)
        add_json_option(below)
    adding.add_argument("--need", required=True, metavar="CLASS", help="what is asked for")
    adding.add_argument("--have", required=True, metavar="CLASS", help="what the label claims")
    adding.add_argument("--kind", required=True, metavar="KIND", help=f"one of {', '.join(KINDS)}")
    adding.add_argument("--if", dest="condition", default="", metavar="TEXT", help="the condition, or why not")
    adding.add_argument("--source", default="", metavar="TEXT", help="where the shop has it from")
    naming.add_argument("code", metavar="CODE", help="the class's code")
    naming.add_argument("--says", required=True, metavar="TEXT", help="what it is")
    removing.add_argument("which", metavar="NUMBER|CODE", help="a rule's number, or a class's code")
    taking.add_argument("file", metavar="FILE", help="a CSV file; - for standard input")
    writing.add_argument("file", metavar="FILE", help="the file to write; - for standard output")


def _list(arguments: argparse.Namespace) -> ExitCode:
    from models import fluid_rules
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        rules, classes = fluid_rules.listed(session), fluid_rules.classes(session)
    if arguments.json:
        rows = [_rule(one) for one in rules]
        say_json({"schema": SCHEMA, "asked": "own_rules", "rules": rows, "classes": [_own(one) for one in classes]})
    elif not rules and not classes:
        say("This shop has said nothing of its own. Say a rule: kitwright fluid rules add --help")
    else:
        _say_rules(rules)
        _say_classes(classes)
    return ExitCode.FOUND if rules or classes else ExitCode.NOTHING


def _say_rules(rules: tuple[OwnRule, ...]) -> None:
    if not rules:
        return
    rows = [
        (
            str(one.rule_id), one.said.offered, one.said.required, one.said.kind.value, one.said.condition,
            f"{one.who}, {one.at:%Y-%m-%d}" + (f", {one.said.source}" if one.said.source else ""),
        )
        for one in rules
    ]  # fmt: skip
    for line in table(("no", "you have", "asked for", "this shop says", "if", "who says so"), rows):
        say(line)


def _say_classes(classes: tuple[OwnClass, ...]) -> None:
    for one in classes:
        say(f"{one.said.code}: {one.said.description} [this shop's own class, {one.who}, {one.at:%Y-%m-%d}]")


def _rule(one: OwnRule) -> dict[str, Any]:
    return {
        "number": one.rule_id,
        "need": one.said.required,
        "have": one.said.offered,
        "kind": one.said.kind.value,
        "condition": one.said.condition,
        "source": one.said.source or None,
        "who": one.who,
        "at": one.at.isoformat(),
        "standing": "shop",
    }


def _own(one: OwnClass) -> dict[str, Any]:
    return {
        "code": one.said.code,
        "description": one.said.description,
        "who": one.who,
        "at": one.at.isoformat(),
        "standing": "shop",
    }


def _add(arguments: argparse.Namespace) -> ExitCode:
    from models import fluid_rules
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        one = workshop.change(
            lambda session, act: fluid_rules.add(
                session, act, required=arguments.need, offered=arguments.have, kind=arguments.kind,
                condition=arguments.condition, source=arguments.source,
            )
        )  # fmt: skip
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": "own_rule", "rule": _rule(one)})
    else:
        how = f", if {one.said.condition}" if one.said.condition else ""
        words = f"{one.said.offered} where {one.said.required} is asked: {one.said.kind}{how}"
        say(f"Rule {one.rule_id}, this shop's own: {words}.")
    return ExitCode.FOUND


def _class(arguments: argparse.Namespace) -> ExitCode:
    from models import fluid_rules
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        one = workshop.change(lambda session, act: fluid_rules.add_class(session, act, arguments.code, arguments.says))
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": "own_class", "class": _own(one)})
    else:
        say(f"{one.said.code}, this shop's own class: {one.said.description}")
    return ExitCode.FOUND


def _remove(arguments: argparse.Namespace) -> ExitCode:
    from catalog.fluids.classes import key
    from models import fluid_rules
    from tui.commands.workshop import opened

    which = arguments.which.strip()
    with opened(arguments) as workshop:
        if which.isascii() and which.isdigit() and len(which) < 10:
            gone = workshop.change(lambda session, act: fluid_rules.remove(session, act, int(which)))
            called = f"{gone.offered} where {gone.required} is asked: {gone.kind}"
        else:
            known = workshop.read(fluid_rules.classes)
            found = next((one for one in known if key(one.said.code) == key(which)), None)
            if found is None:
                raise UsageError(f"this shop has no class {shown(which)}; see kitwright fluid rules list")
            class_id = found.class_id
            workshop.change(lambda session, act: fluid_rules.remove_class(session, act, class_id))
            called = f"the class {found.said.code}"
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": "own_withdrawn", "withdrawn": called})
    else:
        say(f"Withdrawn: {called}.")
    return ExitCode.FOUND


def _import(arguments: argparse.Namespace) -> ExitCode:
    from models import fluid_rules
    from tui.commands.workshop import opened

    text = _text(arguments.file)
    with opened(arguments) as workshop:
        taken = workshop.change(lambda session, act: fluid_rules.take_in(session, act, text))
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": "own_taken_in", **taken._asdict()})
    else:
        say(f"Taken in as this shop's own: {taken.rules} rules, {taken.classes} classes; {taken.unchanged} were here.")
    return ExitCode.FOUND


def _text(name: str) -> str:
    from models.errors import WorkshopError
    from models.fluid_rules import MOST_CHARACTERS
    from models.outside import small_text

    try:
        return small_text(name, 4 * MOST_CHARACTERS)
    except WorkshopError as problem:
        raise UsageError(str(problem)) from problem


def _export(arguments: argparse.Namespace) -> ExitCode:
    from models import fluid_rules
    from tui.commands.workshop import opened
    from tui.saving import SaveError, save

    with opened(arguments) as workshop:
        book = workshop.read(fluid_rules.book)
    text = fluid_rules.to_csv(book)
    count = len(book.written) + len(book.classes)
    if arguments.file == "-":
        if arguments.json:
            raise UsageError("- and --json both write to standard output; choose one")
        say_text(text)
        return ExitCode.FOUND if count else ExitCode.NOTHING
    try:
        save(arguments.file, text.encode())
    except SaveError as fault:
        raise UsageError(str(fault)) from fault
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": "own_written", "rows": count, "file": arguments.file})
    else:
        say(f"{count} rows written to {arguments.file}.")
    return ExitCode.FOUND if count else ExitCode.NOTHING
