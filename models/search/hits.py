"""From the ids of what was found to the rows that are shown."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.search.found import Hit, How, Where
from models.tables import Item, ListRow, Supplier


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


def _rows(session: Session, ids: list[int]) -> dict[tuple[Where, int], Hit]:
    if not ids:
        return {}
    names = dict(session.exec(select(Supplier.id, Supplier.name)).all())
    table = ListRow.metadata.tables["list_rows"]
    columns = (
        *("id", "supplier_id", "number", "name", "price_minor", "price_per", "currency", "pack_quantity", "counted_in"),
        *("size_key", "rubber", "hardness_shore_a", "reading_ppm", "reading_state"),
    )
    found = {}
    wanted = select(*(table.c[name] for name in columns)).where(table.c.id.in_(ids))
    for row in session.execute(wanted):
        found[(Where.LIST, row.id)] = Hit(
            Where.LIST,
            row.id,
            How.LISTED,
            row.number,
            row.name,
            names.get(row.supplier_id, ""),
            row.price_minor,
            row.price_per,
            row.currency,
            row.pack_quantity,
            row.counted_in.value,
            row.size_key,
            row.rubber,
            row.hardness_shore_a,
            row.reading_ppm,
            row.reading_state.value,
        )
    return found
