"""What a search gives."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class How(StrEnum):
    """Why a row was found, best first."""

    EXACT = "exact"
    SIZE = "size"
    PREFIX = "prefix"
    WORDS = "words"
    PART = "part"
    LISTED = "listed"


class Where(StrEnum):
    """What was found: an item of the shop's own, or a row of a supplier's list."""

    ITEM = "item"
    LIST = "list"


class Hit(NamedTuple):
    """One row found. An item has no number, supplier or price. `price_minor` is for `price_per` packs, exactly."""

    where: Where
    row_id: int
    how: How
    number: str
    name: str
    supplier: str
    price_minor: int | None
    price_per: int
    currency: str
    pack_quantity: int
    counted_in: str
    size_key: str | None
    rubber: str
    hardness_shore_a: int | None
    reading_ppm: int | None
    reading_state: str


class Page(NamedTuple):
    """A window of what was found. `total`: how many are known of; `more`: there are others beyond them.

    With `more` the app says "more than `total`"; without it `total` is all there is.
    """

    rows: tuple[Hit, ...]
    total: int
    more: bool
