"""What others booked meanwhile, as a page shows it: the sign before a row, and the sentence on the one in hand."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

import models
from models import watching

if TYPE_CHECKING:
    from models.stock_rows import StockRow
    from models.watching.heard import Booked
    from models.watching.moved import Move, StockNews
    from tui.workshop import Workshop

DID: Final = {
    "shelf.count": "counted it",
    "shelf.move": "moved {amount}",
    "used": "took {amount}",
    "scrapped": "threw {amount} away",
    "received": "booked {amount} in",
    "promised": "promised {amount} to a kit",
    "released": "released {amount} from a kit",
}
"""What was done, by the action's name or by the movement's kind."""


def mark(*, plain: bool) -> str:
    """The sign before a row that others have changed."""
    return "*" if plain else "•"


def stock_news(workshop: Workshop, booked: Sequence[Booked]) -> StockNews:
    """What others' actions did to the shelf. Runs in a thread."""
    return workshop.read(lambda session: watching.moved.stock_news(session, booked))


def told(move: Move, row: StockRow) -> str:
    """What others did to a row, and how it stands now: "Bench 2 took 1 meanwhile: 3 free"."""

    def words(quantity: int) -> str:
        return models.volume.in_words(quantity, row.counted_in)

    kind = "" if move.kind is None else move.kind.value
    did = DID.get(move.what) or DID.get(kind, "changed it")
    done = did.format(amount=words(abs(move.on_hand or move.promised)))
    left = f"{words(row.free)} free"
    if move.what == "shelf.count" or row.promised:
        left = f"{words(row.on_hand)} on hand, {left}"
    return f"{move.who or 'Others'} {done} meanwhile: {left}"


def changed(before: Mapping[Any, object], after: Mapping[Any, object]) -> set[Hashable]:
    """The keys of rows that say something else than before, or were not there."""
    return {key for key, says in after.items() if before.get(key) != says}


def place_of(key: Hashable | None, keys: Iterable[Hashable], otherwise: int) -> int:
    """Where a row stands now; `otherwise`, the place it had, where it is gone."""
    return next((at for at, one in enumerate(keys) if one == key), otherwise)
