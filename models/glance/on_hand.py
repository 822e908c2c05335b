"""Everything that lies on the shelf with what it claims to be, in one statement."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, Final, NamedTuple

from models.glance.asking import Look, ask, day
from models.storage.address import Server
from models.words import Kind, Unit

_ON_HAND: Final = """
SELECT stock.id, items.id, items.kind, items.name, items.size_key, items.spec_class, items.spec_grade,
       items.counted_in, bins.code, stock.on_hand - stock.promised, lots.expires_on, item_claims.claim
FROM stock
JOIN items ON items.id = stock.item_id
JOIN bins ON bins.id = stock.bin_id
LEFT JOIN lots ON lots.id = stock.lot_id
LEFT JOIN item_claims ON item_claims.item_id = items.id
WHERE stock.on_hand > 0
ORDER BY bins.folded, items.folded, stock.id, item_claims.position
"""


class OnHand(NamedTuple):
    """An item of one lot in one bin. `claims`: its class, its grade and what else it claims; none for a ring.

    `free`: pieces or microlitres as `counted_in` says, promised ones left off; may be 0.
    """

    item_id: int
    kind: Kind
    name: str
    size_key: str | None
    claims: tuple[str, ...]
    counted_in: Unit
    bin_code: str
    free: int
    expires_on: date | None = None

    def has_expired(self, on: date) -> bool:
        """Whether its last day lies before that day."""
        return self.expires_on is not None and self.expires_on < on


def on_hand(place: Path | Server) -> tuple[OnHand, ...] | None:
    """All that lies there, by bin then item. None where a glance can't tell: the shelf was not looked at."""
    return ask(place, _on_hand)


def _on_hand(look: Look) -> tuple[OnHand, ...]:
    found: dict[int, OnHand] = {}
    # Each word once: an item lies in many bins, and many items in one, and a driver makes every word anew.
    said: dict[Any, Any] = {}
    for row in look.each(_ON_HAND):
        stock_id, claim = row[0], row[-1]
        if stock_id not in found:
            found[stock_id] = _as_on_hand(row[1:-1], said)
        if claim:
            claims = (*found[stock_id].claims, claim)
            found[stock_id] = found[stock_id]._replace(claims=said.setdefault(claims, claims))
    return tuple(found.values())


def _as_on_hand(row: tuple[Any, ...], said: dict[Any, Any]) -> OnHand:
    item_id, kind, name, size_key, spec_class, spec_grade, counted_in, bin_code, free, expires_on = row
    claims = tuple(filter(None, (spec_class, spec_grade)))
    once = said.setdefault
    return OnHand(
        once(item_id, item_id),
        Kind(kind),
        once(name, name),
        once(size_key, size_key),
        once(claims, claims),
        Unit(counted_in),
        once(bin_code, bin_code),
        once(free, free),
        day(once(expires_on, expires_on)),
    )
