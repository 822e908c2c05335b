"""Write the workshop to a new file while it is in use."""

from __future__ import annotations

from typing import TYPE_CHECKING

import tui
from models import storage
from tui.answers.workshop import BackedUp, backed_up
from tui.fields.field import FieldError
from tui.fields.places import DataFile
from tui.fields.words import shown
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Values
    from tui.workshop import Workshop

HELP = "write the workshop to a new file, while it is in use"
DESCRIPTION = """\
Write the whole workshop to a new file, whole and of one moment, while others go on
working. What was written is looked through. A file that is there already is never
overwritten. Put it back with: kitwright restore

examples:
  kitwright backup friday.sqlite3 --demo
  kitwright backup saturday.sqlite3 --json --demo
"""
EPILOG = """\
exit codes: 0 written, and all is well in it, 1 written, but something in it is not,
2 it can't be written, or wrong options.
"""


def _back_up(workshop: Workshop, values: Values) -> BackedUp:
    source = workshop.file
    # Opening would make an empty workshop there, and an empty backup would look like one.
    if source is not None and not workshop.is_demo:
        try:
            there = source.exists()
        except OSError as fault:
            why = (fault.strerror or str(fault)).lower()
            raise FieldError(f"{shown(str(source))} can't be used ({why})", "--data") from fault
        if not there:
            raise FieldError(f"there is no workshop in {source} yet, so there is nothing to back up", "-")
    return backed_up(storage.restore.back_up(workshop.open(), values["file"], tui.workshop.user()))


BACKUP = Operation(
    area="backup",
    name="backup",
    label="Backup",
    help=HELP,
    fields=(DataFile("file", "File", "the new file", placed=True),),
    does=_back_up,
    examples=("backup friday.sqlite3",),
)

OPERATIONS = (BACKUP,)
