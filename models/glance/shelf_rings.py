"""The rings that lie on the shelf."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path
from typing import Any, Final

from catalog.orings.on_shelf import ShelfRing
from catalog.orings.size_book import built_in
from models.glance.asking import Look, ask, day
from models.glance.sizes import Sized, book_for, sized
from models.storage.address import Server

_RINGS: Final = """
SELECT items.size_key, items.rubber, items.hardness_shore_a, bins.code,
       stock.on_hand - stock.promised, items.id, lots.expires_on
FROM {stock} AS stock
JOIN items ON items.id = stock.item_id
JOIN bins ON bins.id = stock.bin_id
LEFT JOIN lots ON lots.id = stock.lot_id
WHERE items.kind = 'ring' AND stock.on_hand > 0
ORDER BY bins.folded, items.folded, stock.id
"""
# In two halves, as the indexes are: one over loose stock, one over lots. Without them all stock would be walked.
_OF_SIZES: Final = """(
SELECT * FROM stock WHERE lot_id IS NULL AND item_id IN (SELECT id FROM items WHERE size_key IN ({sizes}))
UNION ALL
SELECT * FROM stock WHERE lot_id IS NOT NULL AND item_id IN (SELECT id FROM items WHERE size_key IN ({sizes}))
)"""
FEW: Final = 500
"""So many sizes are worth naming one by one."""


def rings_on_shelf(place: Path | Server, sizes: Collection[str] | None = None) -> tuple[ShelfRing, ...] | None:
    """Every ring item and lot with something on hand, by bin then item; those all promised, and expired, as well.

    `sizes`: only rings of these size keys, a few hundredths of a second quicker in a shop with thousands of rings. None
    where a glance can't tell: the shelf was not looked at.
    """
    wanted = None if sizes is None else frozenset(sizes)

    def rings(look: Look) -> tuple[ShelfRing, ...]:
        if wanted is None:
            return _as_rings(look.each(_RINGS.format(stock="stock")), look)
        if not 0 < len(wanted) <= FEW:
            return _as_rings((row for row in look.each(_RINGS.format(stock="stock")) if row[0] in wanted), look)
        some = _OF_SIZES.format(sizes=", ".join("?" * len(wanted)))
        return _as_rings(look.each(_RINGS.format(stock=some), *wanted, *wanted), look)

    return ask(place, rings)


def _as_rings(rows: Iterable[tuple[Any, ...]], look: Look) -> tuple[ShelfRing, ...]:
    # Each word once: a driver makes every one anew, and a bin holds many rings.
    once: dict[str, str] = {}
    book, parts = built_in(), dict[str, Sized]()

    def ring(key: str, rubber: str, hardness: int | None, code: str, *rest: Any) -> ShelfRing:
        nonlocal book
        if key not in parts:
            if book is built_in():
                book = book_for((key,), look)
            parts[key] = sized(key, book)
        free, item, expires_on = rest
        where = once.setdefault(code, code)
        return ShelfRing(*parts[key], once.setdefault(rubber, rubber), hardness, where, free, item, day(expires_on))

    return tuple(ring(*row) for row in rows)
