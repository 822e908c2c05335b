"""What a delivery is of and where it goes: found by name, or made new. No SQL: only calls into models."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.stores.items import ItemRow

# Names that a misspelled one is held against.
NEAR_ROWS = 500


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
    from models.stores import items
    from models.words import Kind

    known = items.named(session, name)
    if known is not None:
        return known
    kind, size_key = new_kind(name)
    return items.add(session, act, kind=Kind(kind), name=name, size_key=size_key)


def bin_of(session: Session, act: Act, code: str) -> int:
    """The number of the bin with this code, added where there is none."""
    from models.stores import bins

    known = bins.named(session, code)
    return known.bin_id if known is not None else bins.add(session, act, code=code).bin_id


class Meant(NamedTuple):
    """What a typed item and bin are: what the item is counted in, and a sentence on each that would be made new."""

    counted_in: str
    item_news: str = ""
    bin_news: str = ""


def meant(session: Session, item_name: str, bin_code: str) -> Meant:
    """Look both up by name in all of the workshop; an empty one is not looked at."""
    from models.stores import bins, items

    name, code = " ".join(item_name.split()), bin_code.strip()
    known = items.named(session, name) if name else None
    item_news = bin_news = ""
    if name and known is None:
        kind, key = new_kind(name)
        what = f"a ring {_label(key)}" if key else f"a {kind} counted in pieces"
        item_news = f"Makes a new item: {name}, {what}.{_did_you_mean(_near(session, name))}"
    if code and bins.named(session, code) is None:
        near = get_close_matches(code.casefold(), [row.code for row in bins.page(session, limit=NEAR_ROWS)], 1, 0.75)
        bin_news = f"Makes a new bin: {code}.{_did_you_mean(near[0] if near else '')}"
    return Meant("each" if known is None else str(known.counted_in), item_news, bin_news)


def _label(size_key: str) -> str:
    from catalog.orings.sizes import label_of

    return label_of(size_key)


def _did_you_mean(name: str) -> str:
    return f" Did you mean {name}?" if name else ""


def _near(session: Session, name: str) -> str:
    """The item that may have been meant: one that holds all the words, else the nearest spelling, else ""."""
    from models.stores import items
    from models.text import fold

    holds = items.page(session, name, limit=1).rows
    if holds:
        return holds[0].name
    words = [word for word in re.findall(r"\w+", fold(name)) if len(word) > 2]
    rows = [row for word in words[:3] for row in items.page(session, word[:3], limit=NEAR_ROWS).rows]
    names = {fold(row.name): row.name for row in rows}
    near = get_close_matches(fold(name), names, 1, 0.7)
    return names[near[0]] if near else ""
