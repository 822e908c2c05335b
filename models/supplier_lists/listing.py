"""What stands on suppliers' lists: rows, prices now and before, what a person says of a reading."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from typing import Any, Final, NamedTuple

from sqlalchemy import Integer, Row, and_, column, func, select, values
from sqlmodel import Session, col
from sqlmodel import select as ask

import models
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.rows import ROWS_AT_ONCE, find, hold
from models.supplier_lists.progress import EVERY
from models.supplier_lists.words import ReadingState
from models.tables import ListRow, OldPrice, SupplierList
from models.words import Unit

_TABLE: Final = ListRow.metadata.tables["list_rows"]
SIZES_AT_ONCE: Final = 2_000
READ_WITHIN: Final = 100
"""How far a ring's size as read may lie off the standard one, in 100 nm."""


class ListedRow(NamedTuple):
    """One row of a supplier's list. `price_minor` (None: no price given) is for `price_per` packs, exactly.

    `size_key` to `volume_ul` were read from the text: `reading_ppm` says how sure, `reading_state` whether a person has
    confirmed or refused it. `withdrawn_list_id`: the list that no longer had it.
    """

    row_id: int
    supplier_id: int
    number: str
    name: str
    pack_quantity: int
    counted_in: Unit
    min_packs: int
    price_minor: int | None
    price_per: int
    currency: str
    breaks: str
    lead_days: int | None
    gtin: str
    size_key: str | None
    ring_id_100nm: int | None
    ring_width_100nm: int | None
    rubber: str
    hardness_shore_a: int | None
    thread: str
    volume_ul: int | None
    reading_ppm: int | None
    reading_state: ReadingState
    added_list_id: int
    priced_list_id: int
    withdrawn_list_id: int | None


class PriceSpan(NamedTuple):
    """What a row cost from one day until another; `until` None: it still does. None for the price: none was given."""

    price_minor: int | None
    price_per: int
    currency: str
    breaks: str
    since: datetime
    until: datetime | None


class ListVersion(NamedTuple):
    """One list as it was taken over, and what it did."""

    list_id: int
    file_name: str
    loaded_at: datetime
    added: int
    changed: int
    withdrawn: int
    unchanged: int
    refused: int
    listed: int


_COLUMNS: Final = tuple(_TABLE.c[name] for name in ("id", *ListedRow._fields[1:]))


def _listed(row: Row[Any]) -> ListedRow:
    return ListedRow._make(row)


def row(session: Session, row_id: int) -> ListedRow:
    """One row. Raises `NotFoundError`."""
    find(session, ListRow, row_id, "row of a supplier's list")
    return _listed(session.connection().execute(select(*_COLUMNS).where(_TABLE.c.id == row_id)).one())


def numbered(session: Session, supplier_id: int, number: str) -> ListedRow | None:
    """The supplier's row with this part number as the list has it, listed now or before; None where there is none."""
    wanted = select(*_COLUMNS).where(_TABLE.c.supplier_id == supplier_id, _TABLE.c.number == number.strip())
    found = session.connection().execute(wanted).one_or_none()
    return None if found is None else _listed(found)


def rows(session: Session, supplier_id: int) -> Iterator[ListedRow]:
    """Every row listed now, by part number, streamed."""
    wanted = select(*_COLUMNS).where(_TABLE.c.supplier_id == supplier_id, _TABLE.c.withdrawn_list_id.is_(None))
    order = _TABLE.c.number.collate("C" if session.get_bind().dialect.name == "postgresql" else "BINARY")
    found = session.connection().execute(
        wanted.order_by(order), execution_options={"stream_results": True, "yield_per": EVERY}
    )
    for one in found:
        yield _listed(one)


def versions(session: Session, supplier_id: int) -> tuple[ListVersion, ...]:
    """Every list taken over from this supplier, newest first."""
    found = session.exec(
        ask(SupplierList).where(SupplierList.supplier_id == supplier_id).order_by(col(SupplierList.id).desc())
    ).all()
    return tuple(
        ListVersion(
            one.id or 0,
            one.file_name,
            one.loaded_at,
            one.added,
            one.changed,
            one.withdrawn,
            one.unchanged,
            one.refused,
            one.listed,
        )
        for one in found
    )


def prices(session: Session, row_id: int) -> tuple[PriceSpan, ...]:
    """What the row costs and did cost, newest first, with the days the lists came."""
    now = row(session, row_id)
    old = session.exec(ask(OldPrice).where(OldPrice.row_id == row_id).order_by(col(OldPrice.id).desc())).all()
    lists = {now.priced_list_id, now.withdrawn_list_id, *(one.from_list_id for one in old)}
    lists |= {one.until_list_id for one in old}
    days = dict(session.exec(ask(SupplierList.id, SupplierList.loaded_at).where(col(SupplierList.id).in_(lists))).all())
    spans = [
        PriceSpan(
            *(now.price_minor, now.price_per, now.currency, now.breaks),
            days[now.priced_list_id],
            days.get(now.withdrawn_list_id),
        )
    ]
    spans += [
        PriceSpan(
            *(one.price_minor, one.price_per, one.currency, one.breaks),
            days[one.from_list_id],
            days[one.until_list_id],
        )
        for one in old
    ]
    return tuple(spans)


def say_of_reading(session: Session, act: Act, row_id: int, *, right: bool) -> ListedRow:
    """Say that what was read in a row's text is right, or wrong. Raises `InvalidInputError` where nothing was read."""
    found = hold(session, ListRow, row_id, "row of a supplier's list")
    if found.reading_state is ReadingState.NONE:
        raise InvalidInputError("Nothing was read from this row's text.", "There is nothing to confirm.")
    state = ReadingState.CONFIRMED if right else ReadingState.REFUSED
    made = claim(session, act, f"lists.{state}", found.number, subject_id=row_id)
    if made.first:
        found.reading_state = state
        session.flush()
    return row(session, row_id)


def ring_offers(session: Session, size_keys: Sequence[str], *, least_ppm: int = 0) -> tuple[ListedRow, ...]:
    """Listed rows read as one of these standard sizes and not refused: confirmed ones first, then by confidence."""
    by_key = models.own_sizes.size_book(session).by_key
    lengths = sorted(
        {
            (round(size.cross_section_mm * 10_000), round(size.id_mm * 10_000))
            for size in (by_key(key) for key in size_keys)
            if size is not None
        }
    )
    keys = set(size_keys)
    found: dict[int, ListedRow] = {}
    for at in range(0, len(lengths), SIZES_AT_ONCE):
        sizes = (
            values(column("width", Integer), column("inner_width", Integer))
            .data(lengths[at : at + SIZES_AT_ONCE])
            .cte("sizes")
        )
        wanted = (
            select(*_COLUMNS)
            .select_from(sizes)
            .join(
                _TABLE,
                and_(
                    _TABLE.c.ring_width_100nm.between(sizes.c.width - READ_WITHIN, sizes.c.width + READ_WITHIN),
                    _TABLE.c.ring_id_100nm.between(
                        sizes.c.inner_width - READ_WITHIN, sizes.c.inner_width + READ_WITHIN
                    ),
                ),
            )
            .where(
                _TABLE.c.ring_width_100nm.is_not(None),
                _TABLE.c.withdrawn_list_id.is_(None),
                _TABLE.c.reading_state != ReadingState.REFUSED,
            )
        )
        for one in map(_listed, session.connection().execute(wanted).all()):
            if one.size_key in keys and (one.reading_ppm or 0) >= least_ppm:
                found[one.row_id] = one
    return tuple(sorted(found.values(), key=best_read_first))


def best_read_first(row: ListedRow) -> tuple[bool, int, int]:
    """The order of rows read as rings: what a person confirmed, then by confidence."""
    return (row.reading_state is not ReadingState.CONFIRMED, -(row.reading_ppm or 0), row.row_id)


def fluids_listed(session: Session) -> dict[str, int]:
    """What rows listed now name of fluids, as `read_fluid` keeps it, and how many name just that."""
    listed = (_TABLE.c.fluids.is_not(None), _TABLE.c.withdrawn_list_id.is_(None))
    wanted = select(_TABLE.c.fluids, func.count()).where(*listed).group_by(_TABLE.c.fluids).order_by(_TABLE.c.fluids)
    return {str(kept): int(rows) for kept, rows in session.connection().execute(wanted).all()}


def naming(session: Session, fluids: Collection[str], *, most: int) -> dict[str, list[ListedRow]]:
    """The rows listed now that name these fluids, by what they name: the first `most` of each."""
    found: dict[str, list[ListedRow]] = {}
    said = sorted(fluids)
    place = func.row_number().over(partition_by=_TABLE.c.fluids, order_by=_TABLE.c.id).label("place")
    for at in range(0, len(said), ROWS_AT_ONCE):
        listed = (_TABLE.c.fluids.in_(said[at : at + ROWS_AT_ONCE]), _TABLE.c.withdrawn_list_id.is_(None))
        every = select(_TABLE.c.fluids, place, *_COLUMNS).where(*listed).subquery()
        wanted = select(every).where(every.c.place <= most).order_by(every.c.id)
        for kept, _, *row in session.connection().execute(wanted).all():
            found.setdefault(kept, []).append(ListedRow._make(row))
    return found
