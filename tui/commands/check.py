"""`kitwright check`: is everything in the workshop's database as it must be?"""

from __future__ import annotations

import argparse

from tui.commands.output import say, say_json
from tui.commands.parsing import add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

NAME = "check"
HELP = "is the workshop's database as it must be?"
DESCRIPTION = """\
Go through the whole database: do the sums of the ledger agree with the shelf,
are promises held by open kits, did orders bring what the shelf took in, is the
file whole? Nothing is changed.

examples:
  kitwright check --demo
  kitwright check --json --demo
"""
EPILOG = "exit codes: 0 all is well, 1 something is not, 2 the database cannot be opened.\n"
SCHEMA = "kitwright.check/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Check, and say what was found."""
    from models.storage import leftovers
    from models.storage.check import check
    from tui.commands.judging import plain
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        report = check(session)
        file = workshop.open().file
    left = [str(path) for path in leftovers.beside(file.parent)] if file is not None else []
    if arguments.json:
        findings = [{"where": finding.where, "what": finding.what} for finding in report.findings]
        counted = {"movements": report.movements, "stock_rows": report.stock_rows, "orders": report.orders}
        say_json({"schema": SCHEMA, "ok": report.ok, **counted, "findings": findings, "leftovers": left})
    else:
        orders = f", {report.orders} order{'s' * (report.orders != 1)}" if report.orders else ""
        looked = f"{report.movements} movements, {report.stock_rows} stock rows{orders}"
        say(f"All is well: {looked} agree." if report.ok else f"Not all is well; {looked} were looked at.")
        for finding in report.findings:
            say(f"  {finding.where}: {finding.what}")
        for path in left:
            say(f"  {plain(path)}: a backup or import is writing it, or was killed; a day later it is cleared away")
    return ExitCode.FOUND if report.ok else ExitCode.NOTHING
