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
    from tui.widgets.rows import Row
    from tui.workshop import Workshop

DID: Final = {
    "shelf.count": "counted it",
    "shelf.move": "moved {amount}",
    "used": "took {amount}",
    "scrapped": "scrapped {amount}",
    "received": "booked {amount} in",
    "promised": "promised {amount} to a kit",
    "released": "released {amount} from a kit",
}
"""What was done, by the action's name or by the movement's kind."""


def stock_news(workshop: Workshop, booked: Sequence[Booked]) -> StockNews:
    """What others' actions did to the shelf. Runs in a thread."""
    return workshop.read(lambda session: watching.moved.stock_news(session, booked))


def named(who: str, me: str) -> str:
    """Who did it: a name, "Others" where there are several; one's own name says that it was not here."""
    return f"{who}, in another program," if who and who == me else who or "Others"


def told(move: Move, row: StockRow, me: str) -> str:
    """What others did to a row, and how it stands now: "Bench 2 took 1 meanwhile: 3 free". `me`: who works here."""

    def words(quantity: int) -> str:
        return models.volume.in_words(quantity, row.counted_in)

    kind = "" if move.kind is None else move.kind.value
    did = DID.get(move.what) or DID.get(kind, "changed it")
    done = did.format(amount=words(abs(move.on_hand or move.promised)))
    left = f"{words(row.free)} free"
    if move.what == "shelf.count" or row.promised:
        left = f"{words(row.on_hand)} on hand, {left}"
    return f"{named(move.who, me)} {done} meanwhile: {left}"


def by(booked: Sequence[Booked], me: str) -> str:
    """Who booked it, as `named` says it."""
    names = {one.who for one in booked}
    return named(names.pop() if len(names) == 1 else "", me)


class Marks:
    """The rows of a list that others changed. One that the cursor has been on and left was seen, and has no mark."""

    def __init__(self) -> None:
        self._keys: set[Hashable] = set()
        self._at: Hashable = None

    def took(self, before: Mapping[Any, object], after: Mapping[Any, object]) -> set[Hashable]:
        """Mark the rows that say something else than before, or were not there; gives their keys."""
        fresh = {key for key, says in after.items() if before.get(key) != says}
        self._keys |= fresh
        return fresh

    def at(self, key: Hashable) -> None:
        """The cursor stands on this row."""
        if key != self._at:
            self._keys.discard(self._at)
        self._at = key

    def clear(self) -> None:
        """All were seen."""
        self._keys.clear()

    def on(self, row: Row, key: Hashable, *, plain: bool) -> Row:
        """The row with its mark, if it has one."""
        return row._replace(mark="*" if plain else "•") if key in self._keys else row


def place_of(key: Hashable | None, keys: Iterable[Hashable], otherwise: int) -> int:
    """Where a row stands now; `otherwise`, the place it had, where it is gone."""
    return next((at for at, one in enumerate(keys) if one == key), otherwise)
