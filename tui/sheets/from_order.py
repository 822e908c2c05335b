"""A stored order as the order sheet's record."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

import models
from catalog.languages.tongue import ENGLISH, Tongue
from models import purchasing
from tui.sheets.records import OrderLine, OrderList

if TYPE_CHECKING:
    from models.orders.listing import OrderLineView, OrderView

SHOWN_FOR = 3


def order_list(order: OrderView, *, who: str, written_on: date, shop: str = "", say: Tongue = ENGLISH) -> OrderList:
    """One order to print or send. Where a price is for many packs the line says so; the sums are the order's own."""
    days = [line.expected_on for line in order.lines if line.expected_on is not None]
    return OrderList(
        order.supplier,
        who,
        written_on,
        order.currency,
        tuple(_line(line, order.currency, say) for line in order.lines),
        shop=shop,
        reference=say("order {number}", number=order.order_id),
        needed_by=max(days) if days else None,
        freight=order.freight_minor,
    )


def _line(line: OrderLineView, currency: str, say: Tongue) -> OrderLine:
    counted = line.counted_in is models.words.Unit.EACH
    pack = "" if counted and line.pack_quantity == 1 else models.volume.in_words(line.pack_quantity, line.counted_in)
    jobs = list(dict.fromkeys(share.job_title or say("the shelf") for share in line.shares))
    named = ", ".join(jobs[:SHOWN_FOR])
    over = len(jobs) - SHOWN_FOR
    exact = Fraction(line.price_minor, line.price_per)
    note = (
        ""
        if exact.denominator == 1
        else say(
            "{price} for {packs} packs",
            price=purchasing.money.written(line.price_minor, currency),
            packs=line.price_per,
        )
    )
    return OrderLine(
        line.number,
        line.name,
        pack,
        line.packs,
        purchasing.money.rounded(exact),
        say("{jobs} and {count} more", jobs=named, count=over) if over > 0 else named,
        note,
    )
