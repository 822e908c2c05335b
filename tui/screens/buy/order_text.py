"""One order's text to read, and to write for its supplier as PDF, CSV or mail text."""

from __future__ import annotations

from functools import partial
from itertools import cycle
from typing import TYPE_CHECKING

from textual.content import Content

from tui.keys import plain
from tui.screens.ask import Ask, Key, Words
from tui.screens.paper import PAPER, closes, writes
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from tui.buying import Buying

FORMS = ("pdf", "csv", "txt")
"""The kinds of file: the order as a PDF, as CSV, the mail's text."""


def order_to_read(buying: Buying, order: OrderView, text: str) -> Ask[None]:
    """The mail's text; Enter writes it, as the kind of file that was chosen: PDF, CSV or text."""
    question = "Write the order to which file?"
    forms = cycle(FORMS)
    form = next(forms)

    def other(ask: Ask[None]) -> str:
        nonlocal form
        form = next(forms)
        return ""

    def write(ask: Ask[None]) -> str:
        return writes(question, f"order-{order.order_id}.{form}", partial(buying.written, order, form))(ask)

    return Ask(
        "",
        Words(Content("\n".join(map(clean, text.splitlines())))),
        keys=(
            Key("leave paper", "Close", "Back to the orders", closes),
            Key("take", "Write", "Write the order to a file", write),
            Key("change", "Kind of file", "PDF, CSV or mail text", other),
        ),
        line=lambda: f" Enter writes a file · {plain('change')} as: {form.upper()} · arrows, PgDn scroll · Esc closes",
        name="order",
        looks=PAPER,
    )
