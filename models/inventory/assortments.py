"""Assortments: one box with many ring sizes in it, counted per size, against what a full one holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, delete, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, NotFoundError
from models.rows import find, hold, in_use
from models.tables import AssortmentModel, Bin, Item, Stock
from models.words import Unit

MOST_PIECES = 1_000_000


class BoxRow(NamedTuple):
    """One size of a box: how many a full box holds, how many are there and free, and how many are missing."""

    item_id: int
    item_name: str
    size_key: str | None
    full: int
    on_hand: int
    free: int
    missing: int


class Box(NamedTuple):
    """An assortment box: its bin and its sizes, by item name. What lies in it beyond the model has `full` 0."""

    bin_id: int
    code: str
    note: str
    rows: tuple[BoxRow, ...]

    @property
    def missing(self) -> tuple[BoxRow, ...]:
        """What is missing from this box."""
        return tuple(row for row in self.rows if row.missing)


def set_model(session: Session, act: Act, bin_id: int, full: Mapping[int, int]) -> Box:
    """Say what a full box holds: pieces by item id, in place of what was said before; empty, it is no box any more.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    made = claim(session, act, "assortments.set_model", subject_id=bin_id)
    if made.first:
        hold(session, Bin, bin_id, "bin")
        items = {item.id: item for item in session.exec(select(Item).where(col(Item.id).in_(full))).all()}
        for item_id, pieces in full.items():
            item = items.get(item_id)
            if item is None:
                raise NotFoundError(f"There is no item {item_id}.", "Refresh the list.")
            if item.counted_in is not Unit.EACH:
                raise InvalidInputError(f"“{item.name}” is not counted in pieces.", "Leave it out of the box.")
            if not 1 <= pieces <= MOST_PIECES:
                raise InvalidInputError(f"{pieces} of “{item.name}”.", f"Type 1 to {MOST_PIECES}, or leave it out.")
        session.exec(delete(AssortmentModel).where(col(AssortmentModel.bin_id) == bin_id))
        session.add_all(
            [
                AssortmentModel(bin_id=bin_id, item_id=item_id, action_id=made.action_id, pieces=pieces)
                for item_id, pieces in full.items()
            ]
        )
        session.flush()
    return get(session, bin_id)


def get(session: Session, bin_id: int) -> Box:
    """One box. Raises `NotFoundError`."""
    place = find(session, Bin, bin_id, "bin")
    model = dict(
        session.exec(
            select(AssortmentModel.item_id, AssortmentModel.pieces).where(AssortmentModel.bin_id == bin_id)
        ).all()
    )
    there = {
        item_id: (int(on_hand), int(promised))
        for item_id, on_hand, promised in session.exec(
            select(Stock.item_id, func.sum(col(Stock.on_hand)), func.sum(col(Stock.promised)))
            .where(Stock.bin_id == bin_id)
            .group_by(col(Stock.item_id))
        ).all()
    }
    items = session.exec(
        select(Item).where(col(Item.id).in_({*model, *there})).order_by(col(Item.folded), col(Item.id))
    ).all()
    rows = []
    for item in items:
        assert item.id is not None
        on_hand, promised = there.get(item.id, (0, 0))
        full = model.get(item.id, 0)
        rows.append(
            BoxRow(item.id, item.name, item.size_key, full, on_hand, on_hand - promised, max(0, full - on_hand))
        )
    return Box(bin_id, place.code, place.note, tuple(rows))


def listed(session: Session) -> tuple[Box, ...]:
    """Every bin that has a model, in walking order."""
    rows = session.exec(
        select(Bin.id)
        .where(in_use(Bin), col(Bin.id).in_(select(AssortmentModel.bin_id)))
        .order_by(col(Bin.folded), col(Bin.id))
    ).all()
    return tuple(get(session, bin_id or 0) for bin_id in rows)
