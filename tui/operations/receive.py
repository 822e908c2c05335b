"""Receiving: what came, by the name on the bag, into which bin; a new item is what its name says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from models import inventory
from tui.answers.stock import Booked
from tui.fields.amounts import Came
from tui.fields.plain import Choice, Day, Text
from tui.fields.rows import BinToCome, ItemToCome, told_of
from tui.fields.trade import KINDS, RingSize, RubberOnBag
from tui.operations.operation import Operation, Then, Values
from tui.operations.stock_booked import booked

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.inventory.arrivals import Called
    from models.stock_rows import StockRow

COUNTED: Final = ("pieces", "volume")
OF_A_NEW_ITEM: Final = (
    Choice("kind", "Kind", f"what a new item is: {', '.join(KINDS)}", choices=KINDS, must=False),
    RingSize("size", "Size", "a new ring's size, as AS568-214", must=False),
    RubberOnBag("rubber", "Rubber", "a new ring's rubber, as FKM 75", must=False),
    Text("class", "Class", "a new item's class, as UTTO", must=False, metavar="CLASS", parameter="spec",
         what="its class, as UTTO or API GL-5"),
    Choice("counted", "Counted", "how a new item is counted: pieces or volume", choices=COUNTED, must=False),
)  # fmt: skip
"""What may be said of a new item where its name leaves it open: the names are those of `item_names.MISSING`."""


def _receive() -> Callable[..., Any]:

    def receive(
        session: Session,
        act: Act,
        *,
        kind: str = "",
        size: str = "",
        rubber: str = "",
        spec: str = "",
        counted: str = "",
        **came: Any,
    ) -> StockRow:
        """Book it in; what is told of a new item goes before what its name says."""
        told = told_of({"kind": kind, "size": size, "rubber": rubber, "class": spec, "counted": counted})
        return inventory.arrivals.receive(session, act, told=told, **came)

    return receive


def _received(then: Then) -> Booked:
    item: Called = then.values["item"]
    place: Called = then.values["bin"]
    return replace(
        booked("Received")(then),
        new_item=None if item.known else then.result.item_name,
        new_bin=None if place.known else then.result.bin_code,
        asks=item.asks,
    )


def _old_when_cured(values: Values) -> str:
    cured, expires = values.get("cured"), values.get("expires")
    old = cured is not None and expires is not None and expires <= cured
    return "the last day is not after the day of cure; look at the bag again" if old else ""


RECEIVE = Operation(
    area="shelf",
    name="receive",
    label="Receive",
    help="book in what came",
    about="""\
Put what came into a bin. An item or a bin that is new is made with it, and undo takes
both back. What a new item is stands in its name, read as a supplier's list is: kind,
size, rubber, class, what a full one holds. What the name leaves open is said by the
options. Rings with a cure day keep as long as ISO 2230 says.""",
    fields=(
        *OF_A_NEW_ITEM,
        ItemToCome("item", "Item", "the item's name", placed=True),
        BinToCome("bin", "Bin", "the bin's code"),
        Came("quantity", "How much", "how much came"),
        Text("lot", "Lot", "the lot on the bag", what="optional", must=False, parameter="lot_code", metavar="CODE"),
        Day(
            "cured",
            "Cured on",
            "the cure day on a bag of rings, as 2026-06-30",
            must=False,
            parameter="cured_on",
            what="for rubber: the day on the bag,",
        ),
        Day(
            "expires",
            "Last day",
            "the last day on the bag, as 2029-06-30",
            must=False,
            parameter="expires_on",
            what="the last day on the pack,",
        ),
    ),
    change=_receive,
    answer=_received,
    refuse=_old_when_cured,
    examples=(
        'shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20',
        'shelf receive "O-ring AS568 116 FKM 75" --bin "Box 2" --packs 2 --pack 10 --lot B7 --cured 2026-02-15',
        'shelf receive "UTTO, drum" --bin "Drum 1" --packs 1 --pack "208 L"',
        'shelf receive "UTTO oil, pail 20 L" --bin "Rack" --quantity "20 L"',
        'shelf receive "O-ring 25 x 3.5" --rubber "FKM 75" --bin "Box 2" --quantity 10',
    ),
    key="record",
)
