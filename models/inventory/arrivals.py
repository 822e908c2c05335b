"""What came in, by the names on the bag: an item and a bin that are there, or that are made with the delivery."""

from __future__ import annotations

import re
from datetime import date
from difflib import get_close_matches
from typing import NamedTuple

from sqlmodel import Session

from catalog.orings.names import find
from catalog.orings.sizes import label_of
from models import shelf
from models.acts import Act
from models.inventory import bins, items
from models.stock_rows import StockRow
from models.text import fold
from models.words import Kind, Unit

# Names that a misspelled one is held against.
NEAR_ROWS = 500


class Called(NamedTuple):
    """What a typed name is: how it is counted, whether it is there, and a sentence on what would be made new."""

    name: str
    counted_in: Unit = Unit.EACH
    known: bool = True
    news: str = ""


def item_called(session: Session, text: str) -> Called:
    """The item of this name, looked for in all of the workshop, or the one that a delivery of it would make."""
    name = " ".join(text.split())
    known = items.named(session, name)
    if known is not None:
        return Called(known.name, known.counted_in)
    kind, key = new_kind(name)
    what = f"a ring {label_of(key)}" if key else f"a {kind} counted in pieces"
    return Called(name, Unit.EACH, False, f"Makes a new item: {name}, {what}.{_did_you_mean(_near(session, name))}")


def bin_called(session: Session, text: str) -> Called:
    """The bin with this code, or the one that a delivery into it would make."""
    code = text.strip()
    known = bins.named(session, code)
    if known is not None:
        return Called(known.code)
    near = get_close_matches(code.casefold(), [row.code for row in bins.page(session, limit=NEAR_ROWS)], 1, 0.75)
    return Called(code, Unit.EACH, False, f"Makes a new bin: {code}.{_did_you_mean(near[0] if near else '')}")


def new_kind(name: str) -> tuple[Kind, str | None]:
    """What a new item of this name is: a ring and its size's key where it names a standard size, else a consumable."""
    size = find(name)
    return (Kind.RING, size.key) if size is not None else (Kind.CONSUMABLE, None)


def receive(
    session: Session,
    act: Act,
    *,
    item_name: str,
    bin_code: str,
    quantity: int,
    lot_code: str = "",
    expires_on: date | None = None,
    cured_on: date | None = None,
) -> StockRow:
    """Book a delivery in; a new item or bin is made with it. Raises as `shelf.receive` does.

    The days are those on the bag: the last one to use it, or the one rubber was cured. Each thing made is an action of
    its own: undo takes back the receiving and leaves item and bin.
    """
    known = items.named(session, item_name)
    if known is None:
        kind, size_key = new_kind(item_name)
        # Under a key that follows from this one's: a second try finds it.
        own = Act(act.who, f"{act.key[:150]}/item", act.at)
        known = items.add(session, own, kind=kind, name=item_name, size_key=size_key)
    return shelf.receive(
        session,
        act,
        item_id=known.item_id,
        bin_id=bins.named_or_new(session, act, bin_code),
        quantity=quantity,
        lot_code=lot_code,
        expires_on=expires_on,
        cured_on=cured_on,
    )


def _did_you_mean(name: str) -> str:
    return f" Did you mean {name}?" if name else ""


def _near(session: Session, name: str) -> str:
    """The item that may have been meant: one that holds all the words, else the nearest spelling, else ""."""
    holds = items.page(session, name, limit=1).rows
    if holds:
        return holds[0].name
    words = [word for word in re.findall(r"\w+", fold(name)) if len(word) > 2]
    rows = [row for word in words[:3] for row in items.page(session, word[:3], limit=NEAR_ROWS).rows]
    names = {fold(row.name): row.name for row in rows}
    near = get_close_matches(fold(name), names, 1, 0.7)
    return names[near[0]] if near else ""
