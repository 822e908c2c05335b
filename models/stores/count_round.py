"""A count round: every bin in walking order with what should lie in it, and what was counted entered bin by bin."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import groupby
from typing import NamedTuple

from sqlmodel import Session

from models import shelf
from models.acts import Act
from models.shelf import StockRow

MOST_ROWS = 100_000


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
    rows = shelf.stock_rows(session, limit=MOST_ROWS).rows
    wanted = [row for row in rows if (empty or row.on_hand) and (bin_ids is None or row.bin_id in bin_ids)]
    return tuple(
        BinStop(bin_id, code, tuple(found))
        for (bin_id, code), found in groupby(wanted, key=lambda row: (row.bin_id, row.bin_code))
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
