"""A box of many sizes put on record at once: pasted in the app, a CSV file on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from models import inventory
from tui import answers
from tui.fields.box import BoxRows
from tui.fields.plain import Flag, Text
from tui.fields.rows import BinToCome
from tui.operations.operation import Operation, Values

if TYPE_CHECKING:
    from tui.answers.box_load import BoxLoaded
    from tui.workshop import Workshop


def _load(workshop: Workshop, values: Values) -> BoxLoaded:
    """Look what each row is; book what can be booked, where all can or the good ones alone are asked for."""
    code, read = values["bin"].name, values["rows"]
    looked = workshop.read(lambda session: inventory.box_load.look(session, read))
    only_look = bool(values["dry_run"])
    if only_look or (looked.bad and not values["good"]):
        return answers.box_load.loaded_of(code, looked, booked=False, only_look=only_look)
    good = bool(values["good"])
    done = workshop.change(lambda session, act: inventory.box_load.load(session, act, code, read, good_alone=good))
    return answers.box_load.loaded_of(code, done, booked=True)


LOAD = Operation(
    area="shelf",
    name="load",
    label="Fill a box",
    help="put a box of many sizes on record: pasted, or from a file",
    about="""\
Put what lies in a box on record at once, beside what is there: rows of a name and a
count, as "AS568-214 NBR 70; 12", separated by a semicolon, a tab or a comma with a space.
A ring is the shop's item of that size and rubber; what is new is made with it. A count
of 0 says that none lies there, and books nothing. Rows that can't be read are told by
their lines, and then nothing is booked; --good books the others. Undo takes back all.""",
    fields=(
        BinToCome("bin", "Bin", "the box, by its bin's code", placed=True),
        Text("rubber", "Rubber of rows that name none (optional)",
             "the rubber of rows that name none, as \"NBR 70\"", must=False, what="as NBR 70"),
        BoxRows("rows", "Rows", "the rows from this file; - reads them from a pipe"),
        Flag("good", "Leave the bad rows out (y)", "book the rows that can be read, and list the others"),
        Flag("dry_run", "Only look", "show what would be booked, and book nothing"),
    ),
    does=_load,
    examples=('shelf load "Box 6" box.csv --dry-run', 'shelf load "Box 6" box.csv --rubber "NBR 70"'),
    key="list",
)  # fmt: skip
