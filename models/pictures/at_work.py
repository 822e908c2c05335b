"""The pictures that go with a job's sheet: of each need's position, or else of what was taken for it."""

from __future__ import annotations

from contextlib import suppress
from typing import Final, NamedTuple

from sqlalchemy import select as ask
from sqlmodel import Session, col

from models.stored_picture import size_of
from models.tables import Item, KitLine, Need, Picture, Position, Stock
from models.words import LineState

MOST: Final = 12
"""Pictures on one sheet."""


class Shown(NamedTuple):
    """A picture and what it shows."""

    name: str
    jpeg: bytes
    width: int
    height: int


def of_job(session: Session, job_id: int) -> tuple[Shown, ...]:
    """In the order of the needs, each picture once. What is kept broken is left out: `check` tells of it."""
    stands = col(Picture.withdrawn_by_id).is_(None)
    of_need = (col(Need.job_id) == job_id, col(Need.withdrawn_at).is_(None))
    taken = col(KitLine.state).in_((LineState.HAVE, LineState.PICKED))
    connection = session.connection()
    places = connection.execute(
        ask(col(Need.id), col(Picture.id), col(Position.name))
        .join(Position, col(Position.id) == col(Need.position_id))
        .join(Picture, col(Picture.position_id) == col(Position.id))
        .where(stands, *of_need)
    ).all()
    items = connection.execute(
        ask(col(Need.id), col(Picture.id), col(Item.name))
        .join(KitLine, col(KitLine.need_id) == col(Need.id))
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Picture, col(Picture.item_id) == col(Item.id))
        .where(stands, *of_need, taken, col(Need.id).not_in([need for need, _, _ in places]))
    ).all()
    names: dict[int, str] = {}
    for _, number, name in sorted((*places, *items)):
        names.setdefault(number or 0, name)
    wanted = list(names)[:MOST]
    kept = ask(col(Picture.id), col(Picture.jpeg)).where(col(Picture.id).in_(wanted))
    files = dict(connection.execute(kept).all()) if wanted else {}
    found = []
    for number in wanted:
        with suppress(ValueError):
            found.append(Shown(names[number], files[number], *size_of(files[number])))
    return tuple(found)
