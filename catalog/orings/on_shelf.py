"""A ring that lies on the shelf, as the catalog's functions take it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple


class ShelfRing(NamedTuple):
    """Rings of one item and lot in one bin. The same item in two bins, or of two lots, is two of these.

    `standard` and `designation` are the two parts of its size key (`as568`, `214`); `inner_mm` and `section_mm` its
    nominal ID and cross-section in mm, None where the size is the shop's own and its dimensions are not kept.
    `elastomer` is "" and `hardness` (Shore A) None where nobody said. `free`: pieces, promised ones left off; may be 0.
    `item`: the item's number. `expires_on`: the last day of its lot; None where the lot has no day and for loose rings.
    """

    standard: str
    designation: str
    inner_mm: float | None
    section_mm: float | None
    elastomer: str
    hardness: int | None
    bin: str
    free: int
    item: int
    expires_on: date | None = None

    @property
    def key(self) -> str:
        """The size's key, such as `as568:214`."""
        return f"{self.standard}:{self.designation}"

    def has_expired(self, on: date) -> bool:
        """Whether its last day lies before that day; the last day itself still counts."""
        return self.expires_on is not None and self.expires_on < on
