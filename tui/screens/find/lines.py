"""A row found, as a line of the list and in full."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.answers import found
from tui.answers.money import quantity_words
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.search.found import Hit

WAITING = Row(("…",), "dim")


def row_of(hit: Hit | None) -> Row:
    """Where, number, name, size, pack, price."""
    if hit is None:
        return WAITING
    one = found.row_of(hit)
    ours = one.where == "item"
    pack = "" if ours else quantity_words(one.pack_quantity, one.counted_in)
    size = (one.size or "").partition(":")[2]
    cells = ("● ours" if ours else one.supplier or "", one.number or "", one.name, size, pack, one.price_words)
    return Row(cells, "good" if ours else "")


def key_of(hit: Hit) -> tuple[str, int]:
    """What makes a row the same one when it is searched for again."""
    return str(hit.where), hit.row_id
