"""Where a job's rings sat whose needs name no place: asked as it closes, so that the next service finds them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.errors import InvalidInputError
from models.kitting.promises import given_back
from models.rows import find, hold_all, live_row
from models.tables import Item, Job, KitLine, Need, Position, Stock
from models.words import Kind, LineState

KEPT: Final = "sat"
"""What closing a job keeps of it for undo: the needs of which it said where their rings sat."""


class Unplaced(NamedTuple):
    """A ring that is out for a need which names no place; `out`: the picked lines, each with the item's name."""

    need_id: int
    title: str
    out: tuple[tuple[int, str], ...]

    @property
    def item_name(self) -> str:
        """What it is."""
        return self.out[0][1]

    def left(self, unused: Collection[int]) -> bool:
        """Whether something went in, where nothing of the `unused` lines did."""
        return any(line_id not in unused for line_id, _ in self.out)


def unplaced(session: Session, job_id: int) -> tuple[Unplaced, ...]:
    """The ring needs without a place of which something is out, in their order; none on the bench: it has no places."""
    if find(session, Job, job_id, "job").machine_id is None:
        return ()
    rows = session.exec(
        select(Need, KitLine, Item.name)
        .join(KitLine, col(KitLine.need_id) == col(Need.id))
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(
            Need.job_id == job_id,
            Need.kind == Kind.RING,
            col(Need.withdrawn_at).is_(None),
            col(Need.position_id).is_(None),
            KitLine.state == LineState.PICKED,
        )
        .order_by(col(Need.id), col(KitLine.id))
    ).all()
    back = given_back(session, [line.id or 0 for _, line, _ in rows]) if rows else {}
    found: dict[int, Unplaced] = {}
    for need, line, name in rows:
        line_id = line.id or 0
        if line.quantity > back.get(line_id, 0):
            before = found.get(need.id or 0, Unplaced(need.id or 0, need.title, ()))
            found[before.need_id] = before._replace(out=(*before.out, (line_id, name)))
    return tuple(found.values())


def say(session: Session, job: Job, places: Mapping[int, int]) -> None:
    """Say at which position the ring of each need sat; the job is held.

    Raises `NotFoundError`, or `InvalidInputError` for a need that asks for no place, or a place that takes no ring or
    is on another machine.
    """
    if not places:
        return
    asked = {one.need_id for one in unplaced(session, job.id or 0)}
    if missing := sorted(set(places) - asked):
        raise InvalidInputError(f"Need {missing[0]} has no ring, or its place is known already.", "Look at the kit.")
    hold_all(session, Position, set(places.values()), "position")
    hold_all(session, Need, set(places), "need")
    for need_id, position_id in sorted(places.items()):
        place = live_row(session, Position, position_id, "position")
        if place.takes is not Kind.RING or place.machine_id != job.machine_id:
            raise InvalidInputError(f"“{place.name}” is not a place for a ring of this job's machine.", "Name another.")
        need = session.get_one(Need, need_id)
        need.position_id = position_id
        session.add(need)
    session.flush()


def forget(session: Session, need_ids: Collection[int]) -> None:
    """What `say` said of these needs is not known any more."""
    hold_all(session, Need, set(need_ids), "need")
    for need in session.exec(select(Need).where(col(Need.id).in_(need_ids))).all():
        need.position_id = None
        session.add(need)
    session.flush()
