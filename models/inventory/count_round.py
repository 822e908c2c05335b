"""A count round: every bin in walking order with what should lie in it, and what was counted entered bin by bin."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import groupby
from operator import attrgetter
from typing import Final, NamedTuple

from sqlalchemy import case, func, not_, or_, select
from sqlmodel import Session

from models import shelf
from models.acts import Act
from models.stock_rows import StockRow
from models.tables import Table
from models.words import Unit

MOST_ROWS = 100_000
_STOCK, _ITEMS, _BINS, _LOTS = (Table.metadata.tables[name] for name in ("stock", "items", "bins", "lots"))
_COLUMNS: Final = (
    *(_STOCK.c.id, _ITEMS.c.id, _ITEMS.c.name, _ITEMS.c.kind, _ITEMS.c.size_key, _ITEMS.c.rubber),
    *(_ITEMS.c.counted_in, _BINS.c.id, _BINS.c.code, func.coalesce(_LOTS.c.code, ""), _LOTS.c.expires_on),
    *(_STOCK.c.on_hand, _STOCK.c.promised, _STOCK.c.on_hand - _STOCK.c.promised),
    case((_ITEMS.c.counted_in == Unit.MICROLITRE, _ITEMS.c.container)),
)
"""In the order of a `StockRow`, up to what a round does not ask for."""


class BinStop(NamedTuple):
    """One stop of the round: a bin and what the ledger says lies in it."""

    bin_id: int
    code: str
    rows: tuple[StockRow, ...]


class Gap(NamedTuple):
    """A row whose count was not what the ledger said; `by` is counted less expected."""

    row: StockRow
    counted: int
    by: int


def stops(session: Session, bin_ids: Collection[int] | None = None, *, empty: bool = False) -> tuple[BinStop, ...]:
    """The bins in walking order, all of them or those named. `empty` lists rows with nothing on hand, too."""
    query = (
        select(*_COLUMNS)
        .select_from(_STOCK.join(_ITEMS).join(_BINS).outerjoin(_LOTS, _LOTS.c.id == _STOCK.c.lot_id))
        .order_by(_BINS.c.folded, _ITEMS.c.folded, _STOCK.c.id)
        .limit(MOST_ROWS)
    )
    if bin_ids is not None:
        query = query.where(_STOCK.c.bin_id.in_(bin_ids))
    if not empty:
        query = query.where(_STOCK.c.on_hand > 0)
    else:
        gone = [one.is_not(None) for table in (_ITEMS, _BINS) for one in (table.c.withdrawn_at, table.c.retired_at)]
        query = query.where(or_(_STOCK.c.on_hand > 0, not_(or_(*gone))))
    # No object a row: the whole shelf is walked.
    rows = (StockRow._make((*row, False)) for row in session.connection().execute(query).all())
    return tuple(
        BinStop(bin_id, code, tuple(found))
        for (bin_id, code), found in groupby(rows, key=attrgetter("bin_id", "bin_code"))
    )


def gaps(rows: Collection[StockRow], counts: Mapping[int, int]) -> tuple[Gap, ...]:
    """Where the counts (by stock id) differ from what is on record; a row that was not counted is no gap."""
    return tuple(
        Gap(row, counts[row.stock_id], counts[row.stock_id] - row.on_hand)
        for row in rows
        if row.stock_id in counts and counts[row.stock_id] != row.on_hand
    )


def enter(
    session: Session,
    act: Act,
    counts: Mapping[int, int],
    *,
    expected: Mapping[int, int] | None = None,
    reason: str = "count round",
) -> tuple[StockRow, ...]:
    """Book counts by stock id, all or none, rows that agree as well: they were looked at. See `shelf.count_many`."""
    return shelf.count_many(session, act, counts, expected=expected, reason=reason)
