"""Money in answers: a decimal text in whole units of the currency that stands beside it, and how a price is worded."""

from __future__ import annotations

from typing import TYPE_CHECKING

import models
from models import purchasing

if TYPE_CHECKING:
    from fractions import Fraction


def amount(minor: Fraction | int | None, currency: str) -> str | None:
    """Minor units (cents) as text in whole units, such as `2.50`; None where there is none."""
    return (
        None
        if minor is None or not currency
        else purchasing.money.written(minor, currency).removesuffix(f" {currency}")
    )


def price_words(price: str | None, per: int, currency: str | None) -> str:
    """A price: `0.45 EUR`, or `3.45 EUR a 100` where that many packs cost it; "" where none is given."""
    return "" if price is None else f"{price} {currency}" + ("" if per == 1 else f" a {per}")


def packs_words(count: int, pack_quantity: int, counted_in: str) -> str:
    """`3`, or `2 × 18.93 L` where a pack holds more than one piece."""
    if counted_in == "each" and pack_quantity == 1:
        return str(count)
    return f"{count} × {quantity_words(pack_quantity, counted_in)}"


def quantity_words(quantity: int, counted_in: str) -> str:
    """Pieces or litres."""
    return models.volume.in_words(quantity, models.words.Unit(counted_in))
