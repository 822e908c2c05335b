"""Quantities in words, for messages: pieces as they are, microlitres as litres."""

from __future__ import annotations

from models.words import Unit

MICROLITRES_PER_LITRE = 1_000_000


def in_words(quantity: int, unit: Unit) -> str:
    """`3` pieces as "3"; 4,731,765 µl as "4.73 L"; under 10 ml as millilitres."""
    if unit is Unit.EACH:
        return str(quantity)
    if quantity == 0:
        return "0 L"
    if abs(quantity) < 10_000:
        return f"{quantity / 1000:g} ml"
    return f"{quantity / MICROLITRES_PER_LITRE:.2f} L"
