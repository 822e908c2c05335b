"""Pick several lines of a kit at once: all that may go, and for each that stays, what it is and why."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.expiry import expired
from models.inventory.ledger import Entries
from models.kitting.allocate import refuse_closed
from models.kitting.kit_view import KitView, view
from models.kitting.locks import hold_lines
from models.kitting.promises import LineMovedError, pick_some
from models.rows import hold
from models.tables import Bin, Item, Job, KitLine, Lot, Movement, Need, Stock
from models.words import LineState, Moved


class Left(NamedTuple):
    """A line that was not picked with the others, and why."""

    item_name: str
    bin_code: str
    why: str


class Picked(NamedTuple):
    """How many lines were picked, what was left on the shelf, and the kit as it is then."""

    lines: int
    left: tuple[Left, ...]
    kit: KitView


class _Promised(NamedTuple):
    line_id: int
    stock_id: int
    item_name: str
    bin_code: str
    pinned: bool
    lot_code: str
    expires_on: date | None

    def held_back(self, old: Mapping[int, str]) -> Left | None:
        """Why it does not go with the others: it is too old (`old`, by stock), and nobody chose it by hand."""
        if self.pinned or self.stock_id not in old:
            return None
        passed = f"lot {self.lot_code}, last day {self.expires_on}, has passed"
        return Left(self.item_name, self.bin_code, passed if self.expires_on else old[self.stock_id])


def pick_all(session: Session, act: Act, job_id: int, line_ids: Collection[int] | None = None) -> Picked:
    """Take all that is promised to a job off the shelf, or those of the lines; one action, taken back as one.

    What is too old stays, a lot or a ring without one, unless it was pinned by hand, and is told. Raises
    `NotFoundError`, `InvalidInputError` where nothing can be picked, `LineMovedError`.
    """
    made = claim(session, act, "kits.pick", "all")
    on = act.at.date()
    left: tuple[Left, ...] = ()
    if made.first:
        job = hold(session, Job, job_id, "job")
        refuse_closed(job)
        promised = [one for one in _promised(session, job_id) if line_ids is None or one.line_id in line_ids]
        if line_ids is not None and (gone := set(line_ids) - {one.line_id for one in promised}):
            raise _moved(session, min(gone))
        old = expired(session, on, {one.stock_id for one in promised})
        left = tuple(found for one in promised if (found := one.held_back(old)) is not None)
        go = [one.line_id for one in promised if one.held_back(old) is None]
        if not go:
            raise _nothing(job.title, left)
        lines = sorted(hold_lines(session, go), key=lambda one: (one.stock_id, one.id or 0))
        pick_some(session, Entries(session, made.action_id), made.action_id, lines, {})
    taken = select(func.count()).where(Movement.action_id == made.action_id, Movement.kind == Moved.USED)
    return Picked(session.exec(taken).one(), left, view(session, job_id, on=on))


def _promised(session: Session, job_id: int) -> list[_Promised]:
    rows = session.exec(
        select(KitLine, Item.name, Bin.code, Lot)
        .join(Need, col(Need.id) == col(KitLine.need_id))
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None), KitLine.state == LineState.HAVE)
        .order_by(col(KitLine.id))
    ).all()
    return [
        _Promised(
            line.id or 0, line.stock_id, name, code, line.pinned_by_id is not None, lot.code if lot else "",
            lot.expires_on if lot else None,
        )
        for line, name, code, lot in rows
    ]  # fmt: skip


def _moved(session: Session, line_id: int) -> LineMovedError:
    item_name, bin_code = session.exec(
        select(Item.name, Bin.code)
        .join(Stock, col(Stock.item_id) == col(Item.id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .join(KitLine, col(KitLine.stock_id) == col(Stock.id))
        .where(KitLine.id == line_id)
    ).one()
    return LineMovedError(f"{item_name} in bin {bin_code} was picked or released meanwhile.", "Refresh the kit.")


def _nothing(title: str, left: tuple[Left, ...]) -> InvalidInputError:
    if left:
        named = "; ".join(f"{one.item_name} in bin {one.bin_code}: {one.why}" for one in left)
        return InvalidInputError(
            f"Nothing was picked. {named}.", "Refill all from the shelf, or scrap what is too old."
        )
    return InvalidInputError(f"Nothing is promised to “{title}” that waits to be picked.", "Look on the shelf first.")
