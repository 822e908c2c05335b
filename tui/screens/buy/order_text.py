"""One order's text to read, and to write for its supplier as PDF, CSV or mail text."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content

from tui.screens.ask import Ask, Key, Words
from tui.screens.paper import PAPER, closes, writes
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from tui.buying import Buying

FORMS = (("p", "pdf", "PDF", "the order as a PDF"), ("c", "csv", "CSV", "the order as CSV"),
         ("m", "txt", "text", "the mail's text"))  # fmt: skip
"""Key, kind of file, its name, what is written."""


def order_to_read(buying: Buying, order: OrderView, text: str) -> Ask[None]:
    """The mail's text; P, C and M write it as PDF, CSV and text."""
    question = "Write the order to which file?"
    return Ask(
        "",
        Words(Content("\n".join(map(clean, text.splitlines())))),
        keys=(
            Key("escape,q,t", "Close", "Back to the orders", closes),
            *(
                Key(
                    key,
                    f"Write {named}",
                    f"Write {what}",
                    writes(question, f"order-{order.order_id}.{form}", partial(buying.written, order, form)),
                )
                for key, form, named, what in FORMS
            ),
        ),
        line=" P PDF · C CSV · M mail text: to a file · arrows, PgDn scroll · Esc closes",
        name="order",
        looks=PAPER,
    )
