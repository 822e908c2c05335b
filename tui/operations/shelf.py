"""What can be done at the shelf: receive, count, use, scrap, move stock, look at it, put a lot's day right.

What the stores are kept by (count rounds, reorder points, boxes) is in `keeping.py`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import models
from models import inventory
from tui.answers.stock import Booked, History, StockList, movement_of, stock_of
from tui.fields.amounts import AllFree, Amount
from tui.fields.plain import Day, Flag, Text, Words
from tui.fields.rows import Bin, Item
from tui.fields.rows import Stock as StockField
from tui.operations.box_load import LOAD
from tui.operations.item import CODE
from tui.operations.keeping import BOX, POINT, REORDER, ROUND
from tui.operations.operation import Operation, Then, Values
from tui.operations.receive import RECEIVE
from tui.operations.stock_booked import booked, stock_rows
from tui.operations.undo import UNDO

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.stock_rows import StockPage, StockRow

HELP = "what lies where; receive, count, move, reorder points, boxes"
DESCRIPTION = """\
Look at the shelf, book in what came, set right what a bin holds, throw away what
is bad. Walk the bins for a count round. See what runs low and what is missing
from a box. What has expired is said wherever it stands.

examples:
  kitwright shelf list 214 --demo
  kitwright shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20 --demo
  kitwright shelf count "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 17 --demo
  kitwright shelf reorder --demo
  kitwright shelf box "Box 1" --demo
  kitwright shelf undo --demo
"""
EPILOG = "exit codes: 0 done, 1 nothing there, or something to look at, 2 wrong options or input.\n"
LEDGER_ROWS: Final = 20
MOST_ROWS: Final = 500
EVERYTHING: Final = 100_000


def _counted(then: Then) -> Booked:
    before: StockRow = then.values["stock"]
    return Booked("Counted", stock_rows(then, (then.result,)), difference=then.result.on_hand - before.on_hand)


def _nothing_free(values: Values) -> str:
    row = values.get("stock")
    if row is None or row.free:
        return ""
    return f"nothing of {row.item_name} is free in bin {row.bin_code}; what is promised stays where its kit looks"


def _free(values: Values) -> str:
    row: StockRow = values["stock"]
    stock = stock_of(row)
    held = f" {stock.containers}." if stock.opened else ""
    return f"{stock.amount(row.free)} free in bin {row.bin_code}.{held}"


def _on_record(values: Values) -> str:
    row: StockRow = values["stock"]
    stock = stock_of(row)
    held = f" By the ledger: {stock.containers}." if stock.opened else ""
    return f"On record: {stock.amount(row.on_hand)}, {stock.amount(row.promised)} of them promised.{held}"


def _correct() -> Callable[..., Any]:

    def correct(session: Session, act: Act, *, item_id: int, code: str, **said: Any) -> tuple[StockRow, ...]:
        """Put the day right and tell where the lot lies."""
        inventory.lots.correct(session, act, item_id, code, **said)
        return tuple(row for row in models.shelf.rows_of(session, item_id=item_id) if row.lot_code == code.strip())

    return correct


def _corrected(then: Then) -> Booked:
    return Booked("Corrected", stock_rows(then, then.result), undo="To take it back, correct it again.")


def _no_day(values: Values) -> str:
    told = "reason" in values and values["expires"] is None and values["cured"] is None
    return "say the right day: --expires DAY, or --cured DAY for rings" if told else ""


def _history() -> Callable[..., Any]:
    return partial(inventory.history.movements, limit=LEDGER_ROWS)


def _list() -> Callable[..., Any]:

    def look(session: Session, *, text: str = "", expired: bool, opened: bool) -> StockPage:
        """Everything where it is narrowed afterwards, else one window."""
        return models.shelf.stock_rows(session, text, limit=EVERYTHING if expired or opened else MOST_ROWS)

    return look


def _listed(then: Then) -> StockList:
    page: StockPage = then.result
    expired, opened = then.values["expired"], then.values["opened"]
    rows = tuple(
        one for one in stock_rows(then, page.rows) if (not expired or one.expired) and (not opened or one.opened)
    )
    total = len(rows) if expired or opened else page.total
    return StockList(total, rows[:MOST_ROWS], _which(then.values))


def _which(values: Values) -> str:
    of_it = " that matches" if values["text"] else ""
    if values["expired"]:
        return f"Nothing on the shelf{of_it} is past its day."
    if values["opened"]:
        return f"No container on the shelf{of_it} is partly used."
    return "Nothing on the shelf matches."


def _told_history(then: Then) -> History:
    return History(stock_rows(then, (then.values["stock"],))[0], tuple(map(movement_of, then.result)))


LIST = Operation(
    area="shelf",
    name="list",
    label="List",
    help="what lies where",
    about="List the stock, all of it or what every word picks out: lots with their last day,\n"
    "full containers and the rest in an opened one.",
    fields=(
        Words("text", "Search", "words of an item's or a bin's name"),
        Flag("expired", "Expired only", "only what is past its day, with the reason"),
        Flag("opened", "Opened only", "only containers that are partly used"),
    ),
    question=_list,
    answer=_listed,
    examples=("shelf list 214", "shelf list --expired", "shelf list --opened"),
)
HISTORY = Operation(
    area="shelf",
    name="history",
    label="History",
    help="what was booked for one item in one bin",
    about="Show what was booked for one item in one bin, newest first: who, when, why.",
    fields=(StockField("stock", "Stock"),),
    question=_history,
    answer=_told_history,
    examples=('shelf history "Rags, lint-free"',),
)
COUNT = Operation(
    area="shelf",
    name="count",
    label="Count",
    help="set right what a bin holds",
    about="Write down what a bin really holds. The record keeps the difference and who counted.",
    fields=(
        StockField("stock", "Stock", bin_needed=True),
        Amount(
            "quantity", "What lies there", "what lies there: pieces, or a volume as 5 gal", parameter="counted", least=0
        ),
        Text("reason", "Why it differs, if you know", "why it differs, if you know", must=False),
    ),
    change=lambda: models.shelf.count,
    answer=_counted,
    told=_on_record,
    examples=('shelf count "Rags, lint-free" --bin Cupboard --quantity 31 --reason "recounted"',),
    key="take",
)
USE = Operation(
    area="shelf",
    name="use",
    label="Use",
    help="take free stock without a kit",
    about="Take free stock straight off the shelf, without a kit.",
    fields=(
        StockField("stock", "Stock"),
        Amount("quantity", "How much", "how much was taken: pieces, or a volume as 5 gal"),
        Text("reason", "For what (optional)", "what for", must=False),
    ),
    change=lambda: models.shelf.use,
    answer=booked("Used"),
    refuse=_nothing_free,
    told=_free,
    examples=('shelf use "Hydraulic oil, jug" --quantity "2 L" --reason "topped up the press"',),
    key="pick",
)
SCRAP = Operation(
    area="shelf",
    name="scrap",
    label="Scrap",
    help="throw free stock away, with a reason",
    about="Throw free stock away. What is promised to a kit has to be released first.",
    fields=(
        StockField("stock", "Stock"),
        Amount("quantity", "How much", "how much goes: pieces, or a volume as 5 gal"),
        Text("reason", "Why", "expired, damaged, lost: say what", what="a reason: it stays in the ledger"),
    ),
    change=lambda: models.shelf.scrap,
    answer=booked("Scrapped"),
    refuse=_nothing_free,
    told=_free,
    examples=('shelf scrap "O-ring JIS P22 NBR 70" --lot "P22 bag" --quantity 6 --reason expired',),
    key="scrap",
)
MOVE = Operation(
    area="shelf",
    name="move",
    label="Move",
    help="move free stock to another bin",
    about="Move free stock to another bin. Its lot and its age go with it. What is promised stays\n"
    "where its kit looks for it.",
    fields=(
        StockField("stock", "Stock"),
        Bin("to", "To bin", "the bin it goes to"),
        AllFree("quantity", "How much (all that is free)", "how much (all that is free, unless you say)"),
        Text("reason", "Why (optional)", "why", must=False),
    ),
    change=lambda: inventory.moving.move,
    answer=booked("Moved"),
    refuse=_nothing_free,
    told=_free,
    examples=('shelf move "Rags, lint-free" --to "Shelf S" --quantity 10',),
    key="move",
)
LOT = Operation(
    area="shelf",
    name="lot",
    label="Put a lot's day right",
    help="put a lot's day right",
    about="Put right the day of a lot that was typed wrong. Look at the bag first: what is past\n"
    "its day is offered to no kit.",
    fields=(
        Item("item", "Item"),
        Text("lot", "Lot", "which lot; every bin it lies in", parameter="code"),
        Day("expires", "Last day", "the last day on the bag, as 2029-06-30", must=False, parameter="expires_on"),
        Day("cured", "Cured", "the cure day on a bag of rings, as 2026-06-30", must=False, parameter="cured_on"),
        Text("reason", "Why", "why: the record keeps it with who and when"),
    ),
    change=_correct,
    answer=_corrected,
    refuse=_no_day,
    examples=('shelf lot "O-ring JIS P22 NBR 70" --lot "P22 bag" --expires 2031-06-30 --reason "misread"',),
)

OPERATIONS = (
    *(LIST, HISTORY, COUNT, RECEIVE, USE, SCRAP, MOVE, LOT, ROUND, REORDER, POINT, BOX, LOAD),
    replace(UNDO, area="shelf", examples=("shelf undo --dry-run", "shelf undo")),
    replace(CODE, area="shelf", key="new", command=False, examples=()),
)
