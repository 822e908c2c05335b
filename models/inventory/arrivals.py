"""What came in, by the names on the bag: an item and a bin that are there, or that are made with the delivery."""

from __future__ import annotations

import re
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from models import shelf
from models.acts import Act
from models.alike import nearest, same_figures
from models.errors import InvalidInputError
from models.inventory import bins, items
from models.inventory.item_figures import of as figures_of
from models.inventory.item_names import NOTHING_TOLD, Told, read_item
from models.inventory.made_with import made_with
from models.inventory.waited_for import Waits, waited_for
from models.stock_rows import StockRow
from models.text import fold
from models.words import Kind, Unit

MOST_WAITS = 2
"""Needs that wait for such a thing that are told of while its name is typed."""
# Names that a misspelled one is held against.
NEAR_ROWS = 500


class Called(NamedTuple):
    """What a typed name is: how it is counted, whether it is there, and a sentence on what would be made new.

    `missing`: what has still to be said of a new item, see `models.inventory.item_names.MISSING`. `waits`: what open
    kits wait for of a new item's kind, where its class is not said. `container`: what a full one holds, where known.
    `kind`: a new one's.
    """

    name: str
    counted_in: Unit = Unit.EACH
    known: bool = True
    news: str = ""
    missing: tuple[str, ...] = ()
    waits: tuple[Waits, ...] = ()
    container: int | None = None
    kind: Kind | None = None

    @property
    def asks(self) -> tuple[str, ...]:
        """A sentence for each class that a kit waits for, of the first of them."""
        return tuple(map(_is_it, self.waits[:MOST_WAITS]))


def _is_it(waits: Waits) -> str:
    return f"A kit waits for {waits.words}: is it that class?"


def item_called(session: Session, text: str, told: Told = NOTHING_TOLD) -> Called:
    """The item of this name, looked for in all of the workshop, or the one that a delivery of it would make."""
    name = " ".join(text.split())
    known = items.named(session, name)
    new = None if known is not None else read_item(name, told)
    if new is not None and new.item.name != name:
        # A ring is kept under its usual name, whichever way it is typed.
        name = new.item.name
        known = items.named(session, name)
    if known is not None or new is None:
        assert known is not None
        figures = figures_of(session, [known.item_id]).get(known.item_id)
        return Called(known.name, known.counted_in, container=None if figures is None else figures.container)
    classless = new.item.kind not in (Kind.RING, Kind.FLUID) and not new.item.spec_class and "kind" not in new.missing
    waits = waited_for(session, new.item.kind) if classless else ()
    asks = " ".join(map(_is_it, waits[:MOST_WAITS]))
    news = " ".join(
        filter(None, (f"Makes a new item: {name}, {new.words}.{_did_you_mean(_near(session, name))}", asks))
    )
    missing = (*new.missing, "class") if waits and "class" not in new.missing else new.missing
    return Called(name, new.counted_in, False, news, missing, waits, new.item.figures.container, new.item.kind)


def bin_called(session: Session, text: str) -> Called:
    """The bin with this code, or the one that a delivery into it would make."""
    code = text.strip()
    known = bins.named(session, code)
    if known is not None:
        return Called(known.code)
    near = nearest(code, (row.code for row in bins.page(session, limit=NEAR_ROWS)), 0.75)
    return Called(code, Unit.EACH, False, f"Makes a new bin: {code}.{_did_you_mean(near)}")


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
    told: Told = NOTHING_TOLD,
) -> StockRow:
    """Book a delivery in; a new item or bin is made with it, and goes with it again. Raises as `shelf.receive` does.

    The days are those on the bag: the last one to use it, or the one rubber was cured. `told`: what is said of a new
    item beside its name.
    """
    return shelf.receive(
        session,
        act,
        item_id=item_named_or_new(session, act, item_name, told),
        bin_id=bins.named_or_new(session, act, bin_code),
        quantity=quantity,
        lot_code=lot_code,
        expires_on=expires_on,
        cured_on=cured_on,
    )


def item_named_or_new(session: Session, act: Act, name: str, told: Told = NOTHING_TOLD) -> int:
    """The number of the item of this name; added where there is none, by an action of its own.

    Raises `InvalidInputError` where something is told of an item that is there, or a new ring has no size.
    """
    label = " ".join(name.split())
    known = items.named(session, label)
    if known is None:
        label = read_item(label, told).item.name
        known = items.named(session, label)
    # Under a key that follows from this one's: a second try finds it.
    own = Act(act.who, made_with(act.key, "item", label), act.at)
    if known is not None:
        if told != NOTHING_TOLD and not items.is_made_by(session, known.item_id, own.key):
            raise InvalidInputError(
                f"There is an item “{known.name}” already; what it is can't be changed by a delivery.",
                "Leave that out, or type another name.",
            )
        return known.item_id
    return items.add_many(session, own, [_new(label, told)])[0].item_id


def _new(name: str, told: Told) -> items.NewItem:
    new = read_item(name, told)
    if new.item.kind is Kind.RING and told.spec_class:
        raise InvalidInputError(f"“{name}” is a ring, which has no class.", "Leave the class out.")
    if new.item.kind is not Kind.RING and (told.rubber or told.size_key):
        raise InvalidInputError(f"“{name}” is a {new.item.kind}, which has no ring size and no rubber.")
    if new.item.kind is Kind.RING and not new.item.size_key:
        raise InvalidInputError(
            f"“{name}” names no ring size.", "Say the size, as AS568-214, or write it in the name, as 25 x 3.5."
        )
    return new.item


def _did_you_mean(name: str) -> str:
    return f" Did you mean {name}?" if name else ""


def _near(session: Session, name: str) -> str:
    """The item that may have been meant: one that holds all the words, else the nearest spelling, else ""."""
    holds = [row.name for row in items.page(session, name, limit=NEAR_ROWS).rows if same_figures(name, row.name)]
    if holds:
        return holds[0]
    words = [word for word in re.findall(r"\w+", fold(name)) if len(word) > 2]
    rows = [row for word in words[:3] for row in items.page(session, word[:3], limit=NEAR_ROWS).rows]
    return nearest(name, (row.name for row in rows), 0.7)
