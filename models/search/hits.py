"""From the ids of what was found to the rows that are shown."""

from __future__ import annotations

from collections.abc import Sequence

from models.search.asking import Asking
from models.search.found import Hit, How, Where

_ITEMS = (
    "SELECT id, '', name, '', NULL, 1, '', 1, counted_in, size_key, rubber, hardness_shore_a, NULL, ''"
    " FROM items WHERE id IN ({ids})"
)
_ROWS = (
    "SELECT list_rows.id, number, list_rows.name, suppliers.name, price_minor, price_per, list_rows.currency,"
    " pack_quantity, counted_in, size_key, rubber, hardness_shore_a, reading_ppm, reading_state"
    " FROM list_rows JOIN suppliers ON suppliers.id = list_rows.supplier_id WHERE list_rows.id IN ({ids})"
)


def load_hits(ask: Asking, keys: Sequence[tuple[tuple[Where, int], How]]) -> tuple[Hit, ...]:
    """The rows, in the order of their keys."""
    known: dict[tuple[Where, int], Hit] = {}
    for where, statement in ((Where.ITEM, _ITEMS), (Where.LIST, _ROWS)):
        ids = [row_id for (found, row_id), _ in keys if found is where]
        if ids:
            for row in ask.rows(statement.replace("{ids}", ", ".join("?" * len(ids))), ids):
                known[(where, row[0])] = Hit(where, row[0], How.LISTED, *row[1:])
    return tuple(known[key]._replace(how=how) for key, how in keys if key in known)
