"""Stock in words and as JSON, and the stock row that somebody names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import folded, iso, named
from tui.commands.output import table
from tui.commands.parsing import UsageError, shown

if TYPE_CHECKING:
    from models.database import Session
    from models.shelf import StockRow
    from models.stores.bins import BinRow
    from models.stores.items import ItemRow
    from tui.workshop import Workshop

SCHEMA = "kitwright.shelf/1"
GTIN_LENGTHS = (8, 12, 13, 14)


def stock_object(row: StockRow, expired: str | None = None) -> dict[str, Any]:
    """A stock row as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "stock": row.stock_id,
        "item": row.item_name,
        "kind": row.kind.value,
        "size": row.size_key,
        "rubber": row.rubber or None,
        "bin": row.bin_code,
        "lot": row.lot_code or None,
        "expires_on": iso(row.expires_on),
        "expired": expired,
        "counted_in": row.counted_in.value,
        "on_hand": row.on_hand,
        "promised": row.promised,
        "free": row.free,
        "container": row.container,
        "full": row.full if row.container else None,
        "opened": row.opened if row.container else None,
    }


def quantity(amount: int, row: StockRow) -> str:
    """An amount in the words of what it is counted in."""
    from models.volume import in_words

    return in_words(amount, row.counted_in)


def containers(row: StockRow) -> str:
    """Full containers and the rest in an opened one; "" where nobody said what one holds."""
    if not row.container or not row.on_hand:
        return ""
    full = f"{row.full} full" if row.full else ""
    opened = f"one opened with {quantity(row.opened, row)}" if row.opened else ""
    return " and ".join(part for part in (full, opened) if part)


def stock_lines(rows: Sequence[StockRow], expired: Mapping[int, str]) -> list[str]:
    """Stock as a table; what is past its day is said."""
    cells = [
        (
            row.bin_code,
            row.item_name,
            quantity(row.on_hand, row),
            quantity(row.promised, row),
            quantity(row.free, row),
            row.lot_code,
            "; ".join(filter(None, (_age(row, expired.get(row.stock_id, "")), containers(row)))),
        )
        for row in rows
    ]
    return table(("bin", "item", "on hand", "promised", "free", "lot", ""), cells, right=(2, 3, 4))


def _age(row: StockRow, expired: str) -> str:
    if expired:
        return f"EXPIRED: {expired}"
    return "" if row.expires_on is None else f"use by {row.expires_on.isoformat()}"


def row_lines(word: str, row: StockRow, expired: str | None) -> list[str]:
    """What was done to one row and how it stands."""
    rest = f" ({containers(row)})" if containers(row) else ""
    lot = f", lot {row.lot_code}" if row.lot_code else ""
    lines = [
        f"{word} {row.item_name} in bin {row.bin_code}{lot}: {quantity(row.on_hand, row)} on hand{rest}, "
        f"{quantity(row.free, row)} free."
    ]
    if row.expires_on is not None and not expired:
        lines.append(f"Use by {row.expires_on}.")
    if expired:
        lines.append(f"Expired: {expired}. No kit is offered it.")
    return lines


def one_stock(workshop: Workshop, item: str, bin_code: str | None, lot: str | None) -> StockRow:
    """The one stock row that item, bin and lot name; near names are offered, never taken."""
    item = workshop.read(lambda session: scanned(session, item))
    found = [row for row in workshop.stock(item).rows if folded(row.item_name) == folded(item)]
    if bin_code is not None:
        found = [row for row in found if folded(row.bin_code) == folded(bin_code)]
    if lot is not None:
        found = [row for row in found if folded(row.lot_code) == folded(lot)]
    if len(found) == 1:
        return found[0]
    there = [row for row in found if row.on_hand]
    if len(there) == 1 and lot is None:
        return there[0]
    if found:
        bins = sorted({row.bin_code for row in found})
        if len(bins) > 1:
            raise UsageError(f"{shown(item)} lies in several bins; say which with --bin: {', '.join(map(shown, bins))}")
        lots = ", ".join(shown(row.lot_code) for row in found)
        raise UsageError(f"the bin holds several lots of that item; say which with --lot: {lots}")
    where = f"bin {shown(bin_code)}" if bin_code is not None else "the shelf"
    what = f"lot {shown(lot)} of {shown(item)}" if lot is not None else f"no {shown(item)}"
    what = f"no {what}" if lot is not None else what
    raise UsageError(
        f"{where} holds {what}; look with: kitwright shelf list, or book it in with: kitwright shelf receive"
    )


def scanned(session: Session, text: str) -> str:
    """The name of the item whose bar code was scanned in place of it; the text itself where it is no known code."""
    from models.errors import InvalidInputError
    from models.stores import bar_codes

    digits = text.strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) in GTIN_LENGTHS):
        return text
    try:
        return bar_codes.look(session, digits).item_name or text
    except InvalidInputError:
        return text


def item_named(session: Session, name: str, option: str = "ITEM") -> ItemRow:
    """The item of this name. Near names are offered, never taken."""
    from models.stores import items

    name = scanned(session, name)
    same = [(row.name, row) for row in items.page(session, name, limit=500).rows]
    exact = [row for called, row in same if folded(called) == folded(name)]
    if exact:
        return exact[0]
    near = same or [(row.name, row) for row in items.page(session, limit=500).rows]
    return named(option, name, near, "item", "Look with: kitwright item list")


def bin_named(session: Session, code: str, option: str = "--bin") -> BinRow:
    """The bin with this code. Near codes are offered, never taken."""
    from models.stores import bins

    known = [(row.code, row) for row in bins.page(session, limit=10_000)]
    return named(option, code, known, "bin", "There is no bin yet; add one with: kitwright bin add")
