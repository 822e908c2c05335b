"""A box of many sizes put on record at once: pasted in the app, a CSV file on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from models import inventory
from tui import answers
from tui.fields.box import BoxRows
from tui.fields.plain import Flag, Text
from tui.fields.rows import BinToCome
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.inventory.box_load import BoxItem
    from models.inventory.box_rows import BoxRow
    from tui.answers.box_load import BoxLoaded


def _load() -> Callable[..., Any]:
    def load(session: Session, act: Act, *, bin_code: str, rows: tuple[BoxRow, ...], **_: Any) -> tuple[BoxItem, ...]:
        """Book it in."""
        return inventory.box_load.load(session, act, bin_code, rows)

    return load


def _look() -> Callable[..., Any]:
    def look(session: Session, *, rows: tuple[BoxRow, ...], **_: Any) -> tuple[BoxItem, ...]:
        """What each row is."""
        return inventory.box_load.look(session, rows)

    return look


def _books(values: Values) -> bool:
    return not values["dry_run"]


def _told(then: Then) -> BoxLoaded:
    return answers.box_load.loaded_of(then.values["bin"].name, then.result, booked=_books(then.values))


LOAD = Operation(
    area="shelf",
    name="load",
    label="Fill a box",
    help="put a box of many sizes on record: pasted, or from a file",
    about="""\
Put what lies in a box on record at once, beside what is there: rows of a name and a
count, as "AS568-214 NBR 70; 12", parted by a semicolon, a tab or a comma with a space.
A ring is the shop's item of that size and rubber; what is new is made with it. A row
that can't be read is told by its line, and then nothing is booked. Undo takes back all.""",
    fields=(
        BinToCome("bin", "Bin", "the box, by its bin's code", placed=True),
        Text("rubber", "Rubber of rows that name none (may stay empty)",
             "the rubber of rows that name none, as \"NBR 70\"", must=False, what="as NBR 70"),
        BoxRows("rows", "Rows", "the rows from this file; - reads them from a pipe"),
        Flag("dry_run", "Only look", "show what would be booked, and book nothing"),
    ),
    change=_load,
    question=_look,
    changes=_books,
    answer=_told,
    examples=('shelf load "Box 6" box.csv --dry-run', 'shelf load "Box 6" box.csv --rubber "NBR 70"'),
    key="list",
)  # fmt: skip
