"""Put a backup back where no workshop is yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import models
from models import storage
from tui.answers.workshop import PutBack, put_back
from tui.fields.field import FieldError
from tui.fields.places import DataFile, DataPlace
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

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


def _restore(values: Values, _: Bench) -> PutBack:
    try:
        return put_back(storage.restore.restore(values["file"], values["to"]))
    except models.errors.WorkshopError as problem:
        raise FieldError(str(problem), "-") from problem


RESTORE = Operation(
    area="restore",
    name="restore",
    label="Restore",
    help=HELP,
    fields=(
        DataFile("file", "Backup", "the backup", placed=True),
        DataPlace("to", "To", "the new file, or a postgresql:// address"),
    ),
    answers=_restore,
    elsewhere="restore never touches a workshop that is there; leave out --data and --demo, and use --to",
    lengths_only=True,
    before=("backup friday.sqlite3",),
    examples=("restore friday.sqlite3 --to again.sqlite3",),
)

OPERATIONS = (RESTORE,)
