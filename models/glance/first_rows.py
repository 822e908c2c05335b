"""The first rows of the Shelf, the same that `models.shelf.stock_rows` gives for no words."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from models.glance.asking import Look, ask, day
from models.stock_rows import StockPage, StockRow
from models.storage.address import Server
from models.words import Kind, Unit

_SHOWN: Final = """
(stock.on_hand > 0 OR items.withdrawn_at IS NULL AND items.retired_at IS NULL
 AND bins.withdrawn_at IS NULL AND bins.retired_at IS NULL)
"""
_TOTAL: Final = f"""
SELECT count(*) FROM stock JOIN items ON items.id = stock.item_id JOIN bins ON bins.id = stock.bin_id WHERE {_SHOWN}
"""
_ROWS: Final = f"""
SELECT stock.id, items.id, items.name, items.kind, items.size_key, items.rubber, items.counted_in,
       bins.id, bins.code, lots.code, lots.expires_on, stock.on_hand, stock.promised,
       CASE WHEN items.counted_in = 'ul' THEN items.container END,
       items.note <> '' OR EXISTS (
         SELECT 1 FROM pictures WHERE pictures.item_id = items.id AND pictures.withdrawn_by_id IS NULL
       ) OR EXISTS (
         SELECT 1 FROM pictures WHERE pictures.bin_id = bins.id AND pictures.withdrawn_by_id IS NULL
       )
FROM stock
JOIN items ON items.id = stock.item_id
JOIN bins ON bins.id = stock.bin_id
LEFT JOIN lots ON lots.id = stock.lot_id
WHERE {_SHOWN}
ORDER BY bins.folded, items.folded, stock.id
LIMIT ?
"""


def first_rows(place: Path | Server, limit: int) -> StockPage | None:
    """The first `limit` rows of the whole shelf, by bin then item, and how many there are.

    None where a glance can't tell: ask `models.shelf`.
    """

    def page(look: Look) -> StockPage:
        return StockPage(tuple(map(_row, look(_ROWS, limit))), look(_TOTAL)[0][0])

    return ask(place, page)


def _row(found: tuple[Any, ...]) -> StockRow:
    stock, item, name, kind, size, rubber, unit, place, code, lot, expires_on, on_hand, promised, holds, more = found
    return StockRow(
        *(stock, item, name, Kind(kind), size, rubber, Unit(unit), place, code, lot or "", day(expires_on)),
        *(on_hand, promised, on_hand - promised, holds, bool(more)),
    )
