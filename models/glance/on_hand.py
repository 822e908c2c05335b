"""Everything that lies on the shelf with what it claims to be, in one statement."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from typing import Any, Final, NamedTuple, TypeVar

from models.glance.asking import Look, ask, day
from models.storage.address import Server
from models.words import Kind, Unit

Answer = TypeVar("Answer")

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
    return gathered(place, tuple)


def gathered(place: Path | Server, gather: Callable[[Iterable[OnHand]], Answer]) -> Answer | None:
    """What `gather` makes of all that lies there, handed to it one after another; None where a glance can't tell."""
    return ask(place, lambda look: gather(_on_hand(look)))


def _on_hand(look: Look) -> Iterator[OnHand]:
    # Each word once: an item lies in many bins, and many items in one, and a driver makes every word anew.
    said: dict[Any, Any] = {}
    for _, rows in groupby(look.each(_ON_HAND), key=itemgetter(0)):
        first, *others = rows
        more = tuple(row[-1] for row in (first, *others) if row[-1])
        yield _as_on_hand(first[1:-1], more, said)


def _as_on_hand(row: tuple[Any, ...], more: tuple[str, ...], said: dict[Any, Any]) -> OnHand:
    item_id, kind, name, size_key, spec_class, spec_grade, counted_in, bin_code, free, expires_on = row
    claims = (*filter(None, (spec_class, spec_grade)), *more)
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
