"""What can be done with bins: list them, add one."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from models import inventory
from tui.answers.bins import Bin, BinList
from tui.fields.plain import Text, Words
from tui.fields.rows import MOST_BINS
from tui.operations.noting import note_on
from tui.operations.operation import Operation, Then
from tui.operations.upkeep import upkeep

if TYPE_CHECKING:
    from collections.abc import Callable

    from models.inventory.bins import BinRow

HELP = "the bins, in walking order; add, rename, retire, merge"
DESCRIPTION = """\
List the bins in walking order (by code), add one, rename, retire or merge them.
What lies in them is shown by: kitwright shelf list

examples:
  kitwright bin list --demo
  kitwright bin add "Box 5" --note "metric rings, FKM" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no bin by that, 2 wrong options or input.\n"


def _list() -> Callable[..., Any]:
    return partial(inventory.bins.page, limit=MOST_BINS)


def _bin(row: BinRow) -> Bin:
    return Bin(row.code, row.note or None)


def _listed(then: Then) -> BinList:
    return BinList(tuple(map(_bin, then.result)))


def _added(then: Then) -> BinList:
    return BinList((_bin(then.result),), f"Added bin {then.result.code}.")


LIST = Operation(
    area="bin",
    name="list",
    label="List",
    help="the bins, in walking order",
    about="List the bins, all or those whose code or note holds every word.",
    fields=(Words("text", "Search", "words of the code or the note"),),
    question=_list,
    answer=_listed,
    examples=("bin list rings",),
)
ADD = Operation(
    area="bin",
    name="add",
    label="Add a bin",
    help="add a bin",
    about="Add a bin.",
    fields=(
        Text("code", "Code", "the code as written on it", what="the code as written on it", placed=True),
        Text("note", "Note", "what it is for", must=False),
    ),
    change=lambda: inventory.bins.add,
    answer=_added,
    examples=('bin add "Box 5" --note "metric rings, FKM"',),
)

NOTE = note_on("bin", "Box 2", "inch rings, HNBR; top drawer")

OPERATIONS = (LIST, ADD, NOTE, *upkeep("bin", "Old tray", "Tray B", before=('bin add "Old tray"',)))
