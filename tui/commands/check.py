"""`kitwright check`: is everything in the workshop's database as it must be?"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json
from tui.commands.parsing import add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from datetime import datetime

NAME = "check"
HELP = "is the workshop's database as it must be?"
DESCRIPTION = """\
Go through the whole database: do the sums of the ledger agree with the shelf,
are promises held by open kits, did orders bring what the shelf took in, may each
value stand where it stands, is the file whole? And when was the last backup, who
else may read the file? Nothing is changed.

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


def _age(at: datetime | None, kept: str | None, now: datetime) -> str:
    """When the last backup was made, and how long ago that is."""
    if at is None:
        return "No backup is known of. Make one with: kitwright backup FILE"
    hours = max(0, int((now - at).total_seconds() // 3600))
    ago = f"{hours // 24} days ago" if hours >= 48 else f"{hours} hours ago" if hours >= 2 else "just now"
    return f"Last backup: {at.astimezone():%Y-%m-%d %H:%M}, {ago}{f', {kept}' if kept else ''}"


def run(arguments: argparse.Namespace) -> ExitCode:
    """Check, and say what was found."""
    from models.storage import daily, leftovers, permissions
    from models.storage.check import check
    from tui.commands.judging import plain
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        report = check(session)
        file, now = workshop.open().file, workshop.open().clock()
        if file is None:
            at, kept = daily.newest_of_server(session), None
        else:
            newest = daily.newest(file)
            at, kept = (None, None) if newest is None else (newest.at, str(newest.file))
        may = "" if file is None else permissions.told(file)
    left = [str(path) for path in leftovers.beside(file.parent)] if file is not None else []
    if arguments.json:
        findings = [{"where": finding.where, "what": finding.what} for finding in report.findings]
        counted = {"movements": report.movements, "stock_rows": report.stock_rows, "orders": report.orders}
        backup = None if at is None else {"at": at.isoformat(timespec="seconds"), "file": kept}
        told = {"findings": findings, "leftovers": left, "backup": backup, "others_may": may or None}
        say_json({"schema": SCHEMA, "ok": report.ok, **counted, **told})
    else:
        orders = f", {report.orders} order{'s' * (report.orders != 1)}" if report.orders else ""
        looked = f"{report.movements} movements, {report.stock_rows} stock rows{orders}"
        say(f"All is well: {looked} agree." if report.ok else f"Not all is well; {looked} were looked at.")
        for finding in report.findings:
            say(f"  {finding.where}: {finding.what}")
        say(
            _age(at, kept, now)
            if not arguments.demo
            else "The demo is not backed up: it is made anew where it is lost."
        )
        if may:
            say(f"Note: {may}. Where that is not meant, take it back with: chmod go= FILE")
        for path in left:
            say(f"  {plain(path)}: a backup or import is writing it, or was killed; a day later it is cleared away")
    return ExitCode.FOUND if report.ok else ExitCode.NOTHING
