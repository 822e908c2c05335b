"""Which pictures go with a need and with a job: of the place first, else of what goes in there."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import select as ask
from sqlmodel import Session, col, select

from models.kitting.kit_view import KitView
from models.notes import What
from models.pictures.keeping import Of, all_of
from models.tables import Bin, Item, Job, KitLine, Machine, Need, Position, Stock
from models.words import LineState


class AtWork(NamedTuple):
    """A picture for a job's sheet, and what it shows."""

    what: What
    name: str
    jpeg: bytes


def of_need(session: Session, need_id: int, item_name: str = "", bin_code: str = "") -> tuple[Of, ...]:
    """What a need and the line on it are about: the position, the item, the bin, the machine, where there are any."""
    found: list[Of] = []
    asked = (
        ask(col(Position.id), col(Position.name), col(Machine.id), col(Machine.name))
        .select_from(Need)
        .outerjoin(Position, col(Position.id) == col(Need.position_id))
        .join(Job, col(Job.id) == col(Need.job_id))
        .outerjoin(Machine, col(Machine.id) == col(Job.machine_id))
        .where(col(Need.id) == need_id)
    )
    row = session.connection().execute(asked).first()
    if row is not None and row[0] is not None:
        found.append(Of(What.POSITION, row[0], row[1]))
    item = session.exec(select(Item.id).where(Item.name == item_name, col(Item.withdrawn_at).is_(None))).first()
    if item_name and item is not None:
        found.append(Of(What.ITEM, item, item_name))
    place = session.exec(select(Bin.id).where(Bin.code == bin_code, col(Bin.withdrawn_at).is_(None))).first()
    if bin_code and place is not None:
        found.append(Of(What.BIN, place, bin_code))
    if row is not None and row[2] is not None:
        found.append(Of(What.MACHINE, row[2], row[3]))
    return tuple(found)


def of_kit(session: Session, kit: KitView) -> tuple[AtWork, ...]:
    """A job's pictures in the order of its needs, each once: of the position, or else of what was taken for it."""
    needs = [need.need_id for need in kit.needs]
    places = session.exec(
        select(Need.id, Position.id, Position.name)
        .join(Position, col(Position.id) == col(Need.position_id))
        .where(col(Need.id).in_(needs))
    ).all()
    items = session.exec(
        select(KitLine.need_id, Item.id, Item.name)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(col(KitLine.need_id).in_(needs), col(KitLine.state).in_((LineState.HAVE, LineState.PICKED)))
        .order_by(col(KitLine.id))
    ).all()
    of_place = all_of(session, What.POSITION, [place or 0 for _, place, _ in places])
    of_item = all_of(session, What.ITEM, [item or 0 for _, item, _ in items])
    found: dict[tuple[What, int], AtWork] = {}
    for need_id in needs:
        for number, place, name in places:
            if number == need_id and place in of_place:
                found.setdefault((What.POSITION, place), AtWork(What.POSITION, name, of_place[place]))
        if not any(number == need_id and place in of_place for number, place, _ in places):
            for number, item, name in items:
                if number == need_id and item in of_item:
                    found.setdefault((What.ITEM, item), AtWork(What.ITEM, name, of_item[item]))
    return tuple(found.values())
