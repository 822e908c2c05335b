"""From the ids of what was found to the rows that are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from sqlmodel import Session, col, select

from models.search.found import Hit, How, Where
from models.tables import Item, Supplier


def load_hits(session: Session, keys: Sequence[tuple[tuple[Where, int], How]]) -> tuple[Hit, ...]:
    """The rows, in the order of their keys."""
    known = _items(session, [row_id for (where, row_id), _ in keys if where is Where.ITEM])
    known |= _rows(session, [row_id for (where, row_id), _ in keys if where is Where.LIST])
    return tuple(known[key]._replace(how=how) for key, how in keys if key in known)


def _items(session: Session, ids: list[int]) -> dict[tuple[Where, int], Hit]:
    if not ids:
        return {}
    found = {}
    for row in session.exec(select(Item).where(col(Item.id).in_(ids))):
        found[(Where.ITEM, row.id or 0)] = Hit(
            Where.ITEM,
            row.id or 0,
            How.LISTED,
            *("", row.name, "", None, 1, "", 1),
            row.counted_in.value,
            row.size_key,
            row.rubber,
            row.hardness_shore_a,
            None,
            "",
        )
    return found


_COLUMNS: Final = (
    *("id", "number", "name", "supplier_id", "price_minor", "price_per", "currency", "pack_quantity", "counted_in"),
    *("size_key", "rubber", "hardness_shore_a", "reading_ppm", "reading_state"),
)


def _rows(session: Session, ids: list[int]) -> dict[tuple[Where, int], Hit]:
    """Asked of the driver itself: at every keystroke, a statement costs more to build than to run."""
    if not ids:
        return {}
    names = dict(session.exec(select(Supplier.id, Supplier.name)).all())
    connection = session.connection()
    mark = "%s" if connection.dialect.name == "postgresql" else "?"
    asked = f"SELECT {', '.join(_COLUMNS)} FROM list_rows WHERE id IN ({', '.join([mark] * len(ids))})"
    found = {}
    for row_id, number, name, supplier_id, *rest in connection.exec_driver_sql(asked, tuple(ids)):
        key = (Where.LIST, row_id)
        found[key] = Hit(Where.LIST, row_id, How.LISTED, number, name, names.get(supplier_id, ""), *rest)
    return found
