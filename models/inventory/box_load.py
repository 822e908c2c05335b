"""A box of many sizes booked in from text: what each row is among the shop's items, and all of it in one action."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

from models import shelf
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory import bins, items
from models.inventory.box_rows import BoxRow
from models.inventory.made_with import made_with
from models.rows import in_use
from models.tables import Item
from models.words import Kind


class BoxItem(NamedTuple):
    """A row and the item it is: one the shop has, or (`item_id` None) one that is made with it, of that name."""

    row: BoxRow
    item_id: int | None
    item_name: str


def look(session: Session, rows: Sequence[BoxRow]) -> tuple[BoxItem, ...]:
    """What each row is. A ring is the shop's own of that size and rubber, whatever that is called.

    Raises `InvalidInputError` where two rows are one item, or a row may be several.
    """
    keys = {one.item.size_key for one in rows if one.item.kind is Kind.RING}
    names = {one.item.name for one in rows}
    known = session.exec(
        select(Item)
        .where(in_use(Item), col(Item.size_key).in_(keys) | col(Item.name).in_(names))
        .order_by(col(Item.id))
    ).all()
    found: list[BoxItem] = []
    seen: dict[int | str, int] = {}
    for row in rows:
        new = row.item
        same = [one for one in known if one.name == new.name]
        if not same and new.kind is Kind.RING:
            alike = [one for one in known if (one.size_key, one.rubber) == (new.size_key, new.rubber)]
            same = [one for one in alike if new.hardness_shore_a in (None, one.hardness_shore_a)]
        if len(same) > 1:
            named = ", ".join(one.name for one in same[:3])
            raise InvalidInputError(f"Line {row.line} may be {named}.", "Write the whole name, with its hardness.")
        one = BoxItem(row, same[0].id, same[0].name) if same else BoxItem(row, None, new.name)
        before = seen.setdefault(one.item_id or one.item_name, row.line)
        if before != row.line:
            raise InvalidInputError(
                f"Lines {before} and {row.line} are both {one.item_name}.", "Add the two up on one line."
            )
        found.append(one)
    return tuple(found)


def load(session: Session, act: Act, bin_code: str, rows: Sequence[BoxRow]) -> tuple[BoxItem, ...]:
    """Put what the rows say into the bin, beside what lies there; new items and a new bin are made with it.

    One action: undo takes back all of it. Raises as `look` and `shelf.receive_many` do.
    """
    place = bins.named_or_new(session, act, bin_code)
    found = look(session, rows)
    new = [one.row.item for one in found if one.item_id is None]
    # Under a key that follows from this one's: undo finds what was made with it.
    own = Act(act.who, made_with(act.key, "item", f"box {bin_code}"), act.at)
    made = {row.name: row.item_id for row in (items.add_many(session, own, new) if new else ())}
    deliveries = [
        shelf.Delivery(one.item_id if one.item_id is not None else made[one.item_name], place, one.row.quantity)
        for one in found
    ]
    shelf.receive_many(session, act, deliveries, reason="box loaded")
    return found
