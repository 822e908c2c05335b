"""`kitwright restore FILE --to PATH`: put a backup back where no workshop is yet."""

from __future__ import annotations

import argparse

from tui.commands.judging import plain
from tui.commands.output import talk
from tui.commands.parsing import UsageError, add_json_option
from tui.exit_codes import ExitCode

NAME = "restore"
HELP = "put a backup back into an empty place"
DESCRIPTION = """\
Put a backup back: into a file that is not there yet, or an empty database on a
server. Every row is compared with the backup. What is there already is never
overwritten; the backup itself is not changed.

examples:
  kitwright backup friday.sqlite3 --demo
  kitwright restore friday.sqlite3 --to again.sqlite3
"""
EPILOG = """\
exit codes: 0 put back, and all is well in it, 1 put back, but something in it is not,
2 the place is not empty, the backup can't be read, or wrong options.
"""
SCHEMA = "kitwright.restore/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("file", metavar="FILE", help="the backup")
    parser.add_argument("--to", required=True, metavar="PATH|URL", help="the new file, or a postgresql:// address")
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Restore."""
    from models.errors import WorkshopError
    from models.storage import restore
    from models.storage.address import is_address
    from tui.commands.backup import file_of, tell

    if arguments.data is not None or arguments.demo:
        raise UsageError("restore never touches a workshop that is there; leave out --data and --demo, and use --to")
    target = arguments.to if is_address(arguments.to) else file_of("--to", arguments.to)
    try:
        done = restore.restore(file_of("FILE", arguments.file), target)
    except WorkshopError as problem:
        raise UsageError(str(problem)) from problem
    code = tell(arguments.json, SCHEMA, done, f"Put back into {plain(done.where)}")
    if not arguments.json:
        talk("Work in it with --data, as in: kitwright shelf list --data FILE")
    return code
