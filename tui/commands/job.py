"""`kitwright job`: open a job, by hand or from a template; say what it needs; close it; keep the templates."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.job_needs import add_detail_arguments, add_need_arguments
from tui.commands.later import later
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    Todo = argparse._SubParsersAction[Parser]

NAME = "job"
HELP = "open a job, say what it needs, close it; job templates"
DESCRIPTION = """\
Open a job, say what it needs, close it. Keep what comes again as a template. For
the list of jobs type: kitwright jobs

examples:
  kitwright job open --title "Reseal the lift valve" --machine "Row sprayer" --demo
  kitwright job open --template "Tractor, 250 h" --machine "Orchard tractor 3" --demo
  kitwright job need 4 --ring AS568-214 --rubber NBR --count 2 --spares 1 --demo
  kitwright job need 4 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt" --demo
  kitwright job keep 3 --as "Rebuild a pump" --demo
  kitwright job templates --demo
  kitwright job template show "Tractor, 250 h" --demo
  kitwright job close 4 --demo
"""
EPILOG = "exit codes: 0 done, 1 something is short or nothing is listed, 2 wrong options or input.\n"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with a job."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    opening = _add(todo, "open", "job_work", "open_", "open a job", _OPEN)
    opening.add_argument("--title", metavar="TEXT", help="what is to be done; a template's own name without it")
    opening.add_argument("--machine", metavar="NAME", help="the machine; without it the job is on the bench")
    opening.add_argument("--template", metavar="NAME", help="take over what this job template needs")
    opening.add_argument("--due", metavar="DAY", help="the day it is due, as 2026-12-04")
    need = _add(todo, "need", "job_work", "need", "say what a job needs", _NEED)
    # argparse never breaks a group of choices, and this one is wider than a terminal.
    need.usage = "kitwright job need N (--ring SIZE | --fluid CLASS | ...) [options]"
    add_need_arguments(need)
    closing = _add(todo, "close", "job_work", "close", "close a job", _CLOSE)
    templates = _add(todo, "templates", "job_template", "listing", "list the job templates", _TEMPLATES)
    templates.add_argument("--retired", action="store_true", help="those taken off the list instead")
    keep = _add(todo, "keep", "job_template", "keep", "keep what a job needs as a template", _KEEP)
    keep.add_argument("--as", required=True, metavar="NAME", dest="kept_as", help="the template's name")
    for below in (need, closing, keep):
        below.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    template = todo.add_parser("template", help="show, copy or edit a job template", description=_TEMPLATE)
    _template(template.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True,
                                      parser_class=Parser))  # fmt: skip


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `job` asks for what to do."""
    raise UsageError(f"say what to do: open, need, close, keep, templates or template (got {arguments.what})")


def _template(todo: Todo) -> None:
    show = _add(todo, "show", "job_template", "show", "what a template needs, and its versions", _SHOW)
    show.add_argument("--version", metavar="N", dest="number", help="an earlier version of it")
    copy = _add(todo, "copy", "job_template", "copy", "a template of its own from another", _COPY)
    copy.add_argument("--as", required=True, metavar="NAME", dest="kept_as", help="the new template's name")
    add = _add(todo, "add", "job_template", "add", "add a need, as a new version", _ADD)
    add.usage = "kitwright job template add TEMPLATE (--ring SIZE | ...) [options]"
    add_need_arguments(add)
    change = _add(todo, "change", "job_template", "change", "change a need, as a new version", _CHANGE)
    change.add_argument("--ring", metavar="SIZE", help="another ring size")
    change.add_argument("--class", metavar="CLASS", dest="spec_class", help="another class")
    add_detail_arguments(change)
    drop = _add(todo, "drop", "job_template", "drop", "leave a need out, as a new version", _DROP)
    for below in (change, drop):
        below.add_argument("--need", required=True, metavar="N", help="the need: its number or title, as shown")
    for below in (add, change, drop):
        below.add_argument("--note", metavar="TEXT", default="", help="why this version")
    retire = _add(todo, "retire", "job_template", "retire", "take a template off the list", _RETIRE)
    retire.add_argument("--back", action="store_true", help="put it on the list again")
    for below in (show, copy, add, change, drop, retire):
        below.add_argument("template", metavar="TEMPLATE", help="the template's name or number")


def _add(todo: Todo, name: str, module: str, call: str, text: str, description: str) -> Parser:
    below = todo.add_parser(name, help=text, description=description)
    below.set_defaults(run=later(module, call), parser=below)
    add_json_option(below)
    add_workshop_options(below)
    return below


_OPEN = """\
Open a job, empty or with what a template needs.

examples:
  kitwright job open --title "Reseal the lift valve" --machine "Row sprayer" --due 2026-12-04 --demo
  kitwright job open --template "Sprayer, 50 h" --machine "Row sprayer" --demo
"""
_NEED = """\
Add a need to a job and look for it on the shelf.

examples:
  kitwright job need 4 --ring AS568-214 --rubber NBR --count 2 --spares 1 --demo
  kitwright job need 4 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt" --demo
  kitwright job need 2 --fitted --at "pump inlet flange ring" --spares 1 --demo
  kitwright job need 4 --sealant "oil-proof flange sealant" --asks oil --cure "24 h" --demo
"""
_CLOSE = """\
Close a job. What is promised to it and not picked is free again.

example:
  kitwright job close 4 --demo
"""
_TEMPLATES = """\
List the shop's job templates with what each needs.

examples:
  kitwright job templates --demo
  kitwright job templates --retired --demo
"""
_KEEP = """\
Make a job template of what a job needs, for jobs that come again.

example:
  kitwright job keep 3 --as "Rebuild a pump" --demo
"""
_TEMPLATE = """\
Show, copy or edit a job template. Each edit is a new version; a job keeps the
version it was made from.

examples:
  kitwright job template show "Tractor, 250 h" --demo
  kitwright job template change "Tractor, 250 h" --need "rags" --count 6 --demo
"""
_SHOW = """\
Show what a template needs, its needs numbered, and its versions.

examples:
  kitwright job template show "Sprayer, 50 h" --demo
  kitwright job template show "Sprayer, 50 h" --version 1 --demo
"""
_COPY = """\
Make a template of its own with another's newest needs.

example:
  kitwright job template copy "Sprayer, 50 h" --as "Sprayer, 100 h" --demo
"""
_ADD = """\
Add a need to a template. This writes a new version; jobs made from earlier ones are
not touched. --at is the position's name on whichever machine the job is for.

examples:
  kitwright job template add "Sprayer, 50 h" --consumable "gloves" --count 2 --demo
  kitwright job template add "Sprayer, 50 h" --fitted --at "pump outlet flange ring" --demo
"""
_CHANGE = """\
Change one need of a template; what is not said stays. This writes a new version; jobs
made from earlier ones are not touched. --rubber any allows every rubber.

examples:
  kitwright job template change "Tractor, 250 h" --need "rags" --count 6 --demo
  kitwright job template change "Tractor, 250 h" --need 1 --low "7.5 L" --full "8 L" --note "new sump" --demo
"""
_DROP = """\
Leave one need of a template out. This writes a new version.

example:
  kitwright job template drop "Tractor, 250 h" --need "rags" --demo
"""
_RETIRE = """\
Take a template off the list, or put it on again. Nothing is removed.

examples:
  kitwright job template retire "Sprayer, 50 h" --demo
  kitwright job template retire "Sprayer, 50 h" --back --demo
"""
