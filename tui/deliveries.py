"""What a delivery is of and where it goes: found by name, or made new. No SQL: only calls into models."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.items import ItemRow


class Delivery(NamedTuple):
    """What came in: an item by its name, into a bin by its code; either is made if it is new.

    The days are those on the bag: the last one to use it, or the one rubber was cured.
    """

    item_name: str
    bin_code: str
    quantity: int
    lot_code: str = ""
    expires_on: date | None = None
    cured_on: date | None = None


def new_kind(name: str) -> tuple[str, str | None]:
    """What a new item of this name is: ("ring", size key) where it names a standard size, else a consumable."""
    from catalog.orings.sizes import find

    size = find(name)
    return ("ring", size.key) if size is not None else ("consumable", None)


def item_of(session: Session, act: Act, name: str) -> ItemRow:
    """The item of this name, added where there is none."""
    from models import items
    from models.words import Kind

    wanted = " ".join(name.split()).casefold()
    for row in items.page(session, name).rows:
        if " ".join(row.name.split()).casefold() == wanted:
            return row
    kind, size_key = new_kind(name)
    return items.add(session, act, kind=Kind(kind), name=name, size_key=size_key)
