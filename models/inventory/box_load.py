"""A box of many sizes booked in from text: what each row is among the shop's items, and all of it in one action."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models import shelf
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory import bins, items
from models.inventory.box_rows import BadRow, BoxRead, BoxRow
from models.inventory.made_with import made_with
from models.rows import in_use
from models.tables import Item
from models.text import fold
from models.words import Kind

USUAL_HARDNESS: Final = 70
"""Shore A of a ring that names none: common practice, no source."""


class BoxItem(NamedTuple):
    """A row and the item it is: one the shop has, or (`item_id` None) one that is made with it, of that name."""

    row: BoxRow
    item_id: int | None
    item_name: str


class BoxLook(NamedTuple):
    """What the rows of a text are, and those that can't be booked, by line."""

    found: tuple[BoxItem, ...]
    bad: tuple[BadRow, ...]


def look(session: Session, read: BoxRead) -> BoxLook:
    """What each row is. A ring is the shop's own of that size and rubber, whatever that is called.

    One that names no hardness is never taken for an item of an unusual one: the row is bad until it says which.
    """
    rows = read.rows
    keys = {one.item.size_key for one in rows if one.item.kind is Kind.RING}
    kinds = {one.item.kind for one in rows} - {Kind.RING}
    names = {one.item.name for one in rows}
    near = col(Item.size_key).in_(keys) | col(Item.name).in_(names) | col(Item.kind).in_(kinds)
    known = session.exec(select(Item).where(in_use(Item), near).order_by(col(Item.id))).all()
    found: list[BoxItem] = []
    bad = list(read.bad)
    seen: dict[int | str, int] = {}
    for row in rows:
        same = _same(row, known)
        if why := _doubt(row, same):
            bad.append(BadRow(row.line, row.text, why))
            continue
        one = BoxItem(row, same[0].id, same[0].name) if same else BoxItem(row, None, row.item.name)
        before = seen.setdefault(one.item_id or fold(one.item_name), row.line)
        if before != row.line:
            bad.append(BadRow(row.line, row.text, f"line {before} is {one.item_name} too; add the two up on one line"))
        else:
            found.append(one)
    return BoxLook(tuple(found), tuple(sorted(bad)))


def _same(row: BoxRow, known: Sequence[Item]) -> list[Item]:
    """The items that the row may be: the one of its name, else those that differ in case or accents alone, or, of a
    ring, those of its size, rubber and hardness.
    """
    new = row.item
    same = [one for one in known if one.name == new.name]
    if same:
        return same
    if new.kind is not Kind.RING:
        return [one for one in known if one.kind is new.kind and fold(one.name) == fold(new.name)]
    alike = [one for one in known if (one.size_key, one.rubber) == (new.size_key, new.rubber)]
    return [one for one in alike if new.hardness_shore_a in (None, one.hardness_shore_a)]


def _doubt(row: BoxRow, same: Sequence[Item]) -> str:
    """Why nobody can tell which item the row is; "" where it is plain."""
    if len(same) > 1:
        named = ", ".join(one.name for one in same[:3])
        return f"it may be {named}; write the whole name, with its hardness"
    hardness = same[0].hardness_shore_a if same and row.item.kind is Kind.RING else None
    if row.item.hardness_shore_a is None and hardness not in (None, USUAL_HARDNESS):
        return f"it names no hardness, and {same[0].name} has {hardness} Shore A; write the hardness"
    return ""


def load(session: Session, act: Act, bin_code: str, read: BoxRead, *, good_alone: bool = False) -> BoxLook:
    """Put what the rows say into the bin, beside what lies there; new items and a new bin are made with it.

    `good_alone`: what can't be booked is left out; else nothing is booked where there is any, also where it turned bad
    since it was looked at. A count of 0 books nothing. One action: undo takes back all of it. Raises as
    `shelf.receive_many` does, and where no row is left.
    """
    looked = look(session, read)
    if looked.bad and not good_alone:
        first = looked.bad[0]
        raise InvalidInputError(
            f"Line {first.line} can't be booked: {first.why}.",
            "Nothing is booked. Look again, or book the good rows alone.",
        )
    place = bins.named_or_new(session, act, bin_code)
    found = [one for one in looked.found if one.row.quantity]
    if not found:
        raise InvalidInputError("There is nothing to book.", "Write at least one row with a count above 0.")
    new = [one.row.item for one in found if one.item_id is None]
    # Under a key that follows from this one's: undo finds what was made with it.
    own = Act(act.who, made_with(act.key, "item", f"box {bin_code}"), act.at)
    made = {row.name: row.item_id for row in (items.add_many(session, own, new) if new else ())}
    deliveries = [
        shelf.Delivery(one.item_id if one.item_id is not None else made[one.item_name], place, one.row.quantity)
        for one in found
    ]
    shelf.receive_many(session, act, deliveries, reason="box loaded")
    return looked
