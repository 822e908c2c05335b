"""The rings that lie on the shelf."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from catalog.orings.on_shelf import ShelfRing
from models.glance.asking import Look, ask, day
from models.glance.sizes import sized
from models.storage.address import Server

_RINGS: Final = """
SELECT items.size_key, items.rubber, items.hardness_shore_a, bins.code,
       stock.on_hand - stock.promised, items.id, lots.expires_on
FROM stock
JOIN items ON items.id = stock.item_id
JOIN bins ON bins.id = stock.bin_id
LEFT JOIN lots ON lots.id = stock.lot_id
WHERE items.kind = 'ring' AND stock.on_hand > 0
ORDER BY bins.folded, items.folded, stock.id
"""


def rings_on_shelf(place: Path | Server) -> tuple[ShelfRing, ...] | None:
    """Every ring item and lot with something on hand, by bin then item; those all promised, and expired, as well.

    None where a glance can't tell: the shelf was not looked at.
    """
    return ask(place, _rings)


def _rings(look: Look) -> tuple[ShelfRing, ...]:
    return tuple(
        ShelfRing(*sized(key), rubber, hardness, code, free, item, day(expires_on))
        for key, rubber, hardness, code, free, item, expires_on in look(_RINGS)
    )
