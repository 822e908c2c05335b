"""Merge an item into another, or a bin: what lies there is booked over in the same places, and history goes with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from sqlmodel import Session, col, select

from models.errors import InvalidInputError
from models.inventory.ledger import Change, Entries, Move, Place, stock_at
from models.rows import hold_all
from models.tables import AssortmentModel, Bin, Item, ItemGtin, Lot, RowItem, Stock
from models.volume import in_words
from models.words import Kind, Moved

_OF_AN_ITEM: Final = ("reorder_at", "reorder_up_to", "reorder_lead_days", "container", "element")
"""What the other item takes over where it has none of its own."""


def merge_items(session: Session, action_id: int, item: Item, into: Item) -> dict[str, Any]:
    """Book over what lies there, lot by lot, with bar codes and rows of lists. Gives what undo has to put back."""
    refuse_other(item, into)
    stock = _stock(session, col(Stock.item_id) == item.id, item.name)
    lots = _same_lots(session, action_id, stock, into)
    places: list[Place] = [(into.id or 0, one.bin_id, lots.get(one.lot_id)) for one in stock]
    _book_over(session, action_id, stock, places, f"merged from {item.name}", f"merged into {into.name}")
    tied: dict[str, Any] = {"gtins": [], "rows": [], "columns": {}}
    for code in session.exec(select(ItemGtin).where(ItemGtin.item_id == item.id)).all():
        code.item_id = into.id or 0
        session.add(code)
        tied["gtins"].append(code.gtin)
    for row in session.exec(select(RowItem).where(RowItem.item_id == item.id)).all():
        row.item_id = into.id or 0
        session.add(row)
        tied["rows"].append(row.row_id)
    if (into.reorder_at is None and item.reorder_at is not None) or into.container is None or into.element is None:
        taken = _taken_over(item, into)
        tied["columns"] = {name: getattr(into, name) for name in taken}
        for name in taken:
            setattr(into, name, getattr(item, name))
        session.add(into)
    session.flush()
    return tied


def _taken_over(item: Item, into: Item) -> list[str]:
    """The columns that the other item takes over; a reorder point goes whole."""
    whole = [one for one in _OF_AN_ITEM if one.startswith("reorder")] if into.reorder_at is None else []
    rest = [one for one in ("container", "element") if getattr(into, one) is None]
    return [one for one in (*whole, *rest) if getattr(item, one) is not None]


def part_items(session: Session, item: Item, into: Item, tied: dict[str, Any]) -> None:
    """Give back to the item what its merging took to the other."""
    for code in session.exec(select(ItemGtin).where(col(ItemGtin.gtin).in_(tied["gtins"]))).all():
        code.item_id = item.id or 0
        session.add(code)
    for row in session.exec(select(RowItem).where(col(RowItem.row_id).in_(tied["rows"]))).all():
        row.item_id = item.id or 0
        session.add(row)
    for name, before in tied["columns"].items():
        setattr(into, name, before)
    session.add(into)
    session.flush()


def merge_bins(session: Session, action_id: int, place: Bin, into: Bin) -> dict[str, Any]:
    """Book over what lies in the bin. Gives what undo has to put back: the sizes a box has places for."""
    model = select(AssortmentModel.item_id).where(AssortmentModel.bin_id == into.id)
    has = set(session.exec(model).all())
    stock = _stock(session, col(Stock.bin_id) == place.id, f"bin {place.code}")
    places: list[Place] = [(one.item_id, into.id or 0, one.lot_id) for one in stock]
    _book_over(session, action_id, stock, places, f"merged from bin {place.code}", f"merged into bin {into.code}")
    moved = []
    for one in session.exec(select(AssortmentModel).where(AssortmentModel.bin_id == place.id)).all():
        if one.item_id not in has:
            one.bin_id = into.id or 0
            session.add(one)
            moved.append(one.item_id)
    session.flush()
    return {"sizes": moved}


def part_bins(session: Session, place: Bin, into: Bin, tied: dict[str, Any]) -> None:
    """Give back to the bin the places for sizes that its merging took to the other."""
    mine = (AssortmentModel.bin_id == into.id, col(AssortmentModel.item_id).in_(tied["sizes"]))
    for one in session.exec(select(AssortmentModel).where(*mine)).all():
        one.bin_id = place.id or 0
        session.add(one)
    session.flush()


def refuse_other(item: Item, into: Item) -> None:
    """Raise `InvalidInputError` where the two can't be the same thing."""
    if (item.kind, item.counted_in) != (into.kind, into.counted_in):
        raise InvalidInputError(
            f"“{item.name}” is a {item.kind} and “{into.name}” a {into.kind}, or they are counted otherwise.",
            "Merge only what is the same thing.",
        )
    if item.kind is Kind.RING and (
        item.size_key != into.size_key
        or (item.rubber and into.rubber and item.rubber != into.rubber)
        or (item.hardness_shore_a and into.hardness_shore_a and item.hardness_shore_a != into.hardness_shore_a)
    ):
        raise InvalidInputError(
            f"“{item.name}” and “{into.name}” are rings of another size, rubber or hardness.",
            "Merge only what is the same ring.",
        )


def _stock(session: Session, mine: Any, called: str) -> list[Stock]:
    """The rows with something in them, held. Raises `InvalidInputError` where some is promised."""
    ids = [one or 0 for one in session.exec(select(Stock.id).where(mine)).all()]
    rows = [row for _, row in sorted(hold_all(session, Stock, ids, "stock").items())]
    for row in rows:
        if row.promised:
            item = session.get_one(Item, row.item_id)
            code = session.get_one(Bin, row.bin_id).code
            raise InvalidInputError(
                f"{in_words(row.promised, item.counted_in)} of {item.name} in bin {code} are promised to a kit, "
                f"so {called} stays.",
                "Pick or release them first.",
            )
    return [row for row in rows if row.on_hand]


def _same_lots(session: Session, action_id: int, stock: Sequence[Stock], into: Item) -> dict[int | None, int | None]:
    """The other item's lots of the same code and days, made where it has none; by the lots of the rows.

    Raises `InvalidInputError` where it has one of that code with other days.
    """
    found: dict[int | None, int | None] = {None: None}
    for lot_id in sorted({one.lot_id for one in stock if one.lot_id is not None}):
        lot = session.get_one(Lot, lot_id)
        same = session.exec(
            select(Lot).where(Lot.item_id == into.id, Lot.code == lot.code).with_for_update(key_share=True)
        ).first()
        if same is None:
            same = Lot(action_id=action_id, item_id=into.id or 0, code=lot.code)
            same.expires_on, same.cured_on = lot.expires_on, lot.cured_on
            session.add(same)
            session.flush()
        elif (same.expires_on, same.cured_on) != (lot.expires_on, lot.cured_on):
            raise InvalidInputError(
                f"Lot {lot.code} expires on {lot.expires_on or 'no stated day'} of one and on "
                f"{same.expires_on or 'no stated day'} of the other.",
                "Put one of the days right first, with: kitwright shelf lot",
            )
        found[lot_id] = same.id
    return found


def _book_over(
    session: Session, action_id: int, stock: Sequence[Stock], places: Sequence[Place], came: str, went: str
) -> None:
    """Book each row's whole content out of it and into its new place: counts that cancel out, as a move is booked."""
    if not stock:
        return
    targets = stock_at(session, places)
    moves = []
    for row, place in zip(stock, places, strict=True):
        moves.append(Move(row.id or 0, Moved.COUNTED, Change(-row.on_hand), went))
        moves.append(Move(targets[place], Moved.COUNTED, Change(row.on_hand), came))
    Entries(session, action_id).write_many(moves)
