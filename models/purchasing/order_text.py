"""An order as text: CSV for a supplier's form, plain lines for a mail. No cell can run as a formula."""

from __future__ import annotations

import csv
import io
import unicodedata
from datetime import date
from typing import Final

from catalog.languages.tongue import ENGLISH, Tongue
from models.purchasing.money import decimals, written
from models.purchasing.orders import Purchase, SupplierOrder

HEADERS: Final = ("sku", "name", "packs", "pack_quantity", "price", "cost", "currency", "expected")

# A spreadsheet may run a cell that starts so (OWASP, "CSV Injection"); an apostrophe before it makes it text. The wide
# forms of the same signs are read as the plain ones by some programs.
_STARTS_A_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "|", "%")


def neutral(cell: str) -> str:
    """The cell as text that no spreadsheet runs: an apostrophe before whatever could start a formula."""
    return (
        f"'{cell}"
        if cell.lstrip(" \u00a0\u200b\ufeff").startswith(_STARTS_A_FORMULA) or cell[:1] in _STARTS_A_FORMULA
        else cell
    )


def order_csv(order: SupplierOrder) -> str:
    """The order as CSV (RFC 4180: commas, CRLF), one row an offer; money with a decimal point, the supplier's."""
    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(HEADERS)
    currency = order.supplier.currency
    for purchase in order.purchases:
        rows.writerow(
            (
                neutral(purchase.offer.sku),
                neutral(purchase.offer.name),
                purchase.packs,
                purchase.offer.pack_quantity,
                _amount(purchase.price, currency),
                _amount(purchase.cost, currency),
                neutral(currency),
                "" if purchase.arrives is None else purchase.arrives.isoformat(),
            )
        )
    return text.getvalue()


def order_mail(
    order: SupplierOrder, *, shop: str, ordered: date, freight_known: bool = True, say: Tongue = ENGLISH
) -> str:
    """The order as plain text for a mail: lines under 79 columns where the names allow it, the sum with freight."""
    currency = order.supplier.currency
    to = _line(order.supplier.name)
    lines = [say("Order from {shop} to {supplier}, {day}", shop=_line(shop), supplier=to, day=ordered.isoformat()), ""]
    for purchase in order.purchases:
        lines.append(f"{purchase.packs} × {_line(_called(purchase))}")
        price, cost = written(purchase.price, currency), written(purchase.cost, currency)
        lines.append("    " + say("{price} each, {cost}", price=price, cost=cost))
    freight = say("free") if order.freight == 0 else written(order.freight, currency)
    if not freight_known:
        freight = say("not known")
    goods, total = written(order.goods, currency), written(order.total, currency)
    sums = ((say("Goods"), goods), (say("Freight"), freight), (say("Total"), total))
    lines += ["", *(f"{what} {amount}" for what, amount in sums), ""]
    return "\n".join(lines)


def _called(purchase: Purchase) -> str:
    return f"{purchase.offer.sku}, {purchase.offer.name}" if purchase.offer.name else purchase.offer.sku


def _amount(minor: int, currency: str) -> str:
    return written(minor, currency).removesuffix(f" {currency}") if decimals(currency) else str(minor)


def _line(text: str) -> str:
    """Foreign text on one line: control characters and line breaks become spaces."""
    clean = "".join(" " if unicodedata.category(sign) in ("Cc", "Zl", "Zp") else sign for sign in text)
    return " ".join(clean.split())
