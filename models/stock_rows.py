"""A row of the shelf as it is given out. No database needed to import it: a quick look gives the same rows."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from models.words import Kind, Unit


class StockRow(NamedTuple):
    """What lies in one bin of one item and lot. `free` is on hand less promised. Quantities in `counted_in`.

    `container`: what one full container holds, where that is known; a rest in an opened one is stock like any other.
    `annotated`: whether there is a picture of the item or of the bin, or a note on the item; not for a note on the bin,
    which nearly every one has.
    """

    stock_id: int
    item_id: int
    item_name: str
    kind: Kind
    size_key: str | None
    rubber: str
    counted_in: Unit
    bin_id: int
    bin_code: str
    lot_code: str
    expires_on: date | None
    on_hand: int
    promised: int
    free: int
    container: int | None = None
    annotated: bool = False

    @property
    def full(self) -> int:
        """How many full containers there are; 0 where nobody said what one holds."""
        return self.on_hand // self.container if self.container else 0

    @property
    def opened(self) -> int:
        """What is left in an opened container."""
        return self.on_hand % self.container if self.container else 0


class StockPage(NamedTuple):
    """A window of the shelf, and how many rows there are in all."""

    rows: tuple[StockRow, ...]
    total: int
