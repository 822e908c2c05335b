"""Whether the workshop's database is as it must be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import models
import tui
from models import storage
from tui.answers.workshop import Checked, Finding, LastBackup
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Values
    from tui.workshop import Workshop

HELP = "is the workshop's database as it must be?"
DESCRIPTION = """\
Go through the whole database: do the sums of the ledger agree with the shelf,
are promises held by open kits, did orders bring what the shelf took in, may each
value stand where it stands, is the file whole? And when was the last backup, who
else may read the file, and what do disk, clock, terminal and libraries lack here?
Nothing is changed.

examples:
  kitwright check --demo
  kitwright check --json --demo
"""
EPILOG = "exit codes: 0 all is well, 1 something is not, 2 the database cannot be opened.\n"


def _check(workshop: Workshop, _: Values) -> Checked:
    database = workshop.open()
    file = database.file
    with database.read() as session:
        report, last = storage.check.check(session), models.actions.newest_at(session)
        backup = None
        if file is None:
            at = storage.daily.newest_of_server(session)
            backup = None if at is None else LastBackup(at, None)
        elif newest := storage.daily.newest(file):
            backup = LastBackup(newest.at, str(newest.file))
        may = "" if file is None else storage.permissions.told(file)
    left = () if file is None else tuple(str(path) for path in storage.leftovers.beside(file.parent))
    return Checked(
        ok=report.ok,
        movements=report.movements,
        stock_rows=report.stock_rows,
        orders=report.orders,
        findings=tuple(Finding(one.where, one.what) for one in report.findings),
        leftovers=left,
        backup=backup,
        others_may=may or None,
        advice=tui.surroundings.advice(tui.surroundings.look(file, database.clock(), last)),
        demo=workshop.is_demo,
        age_hours=0 if backup is None else max(0, int((database.clock() - backup.at).total_seconds() // 3600)),
    )


CHECK = Operation(
    area="check",
    name="check",
    label="Check",
    help=HELP,
    fields=(),
    does=_check,
    examples=("check",),
)

OPERATIONS = (CHECK,)
