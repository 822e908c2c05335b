"""What suppliers' lists offer for short lines: found by index, judged as the shelf is, priced exactly."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence
from datetime import date
from typing import Final, NamedTuple

from sqlmodel import Session, select

from catalog.orings.shelf_age import shelf_life
from models.inventory import item_figures
from models.inventory.items import NewItem
from models.kitting.candidates import judge
from models.orders.near_rows import NearRow, NearRows
from models.orders.shorts import Asked
from models.orders.what_it_is import Known, holds
from models.purchasing.offers import Break, Offer, Serves
from models.qualify import rings
from models.qualify.wanted import AS_ASKED, Judged, Thing
from models.qualify.wanted import Offer as Lying
from models.rows import in_use
from models.supplier_lists.entries import breaks_of
from models.supplier_lists.listing import ListedRow
from models.tables import Supplier
from models.words import Kind

NAMED_IN_WORDS: Final = 3
DAYS_A_YEAR: Final = 365


class RowOffer(NamedTuple):
    """A row that some line can use, and `what` it is. `item_id`: the shop's item it was said to be before.

    `doubt`: what a person must look at before it is ordered.
    `steps`: from so many packs on, so many minor units for so many packs, exactly.
    """

    row: ListedRow
    supplier: str
    what: NewItem
    doubt: str
    item_id: int | None
    pack_quantity: int
    steps: tuple[tuple[int, int, int], ...]
    lead_days: int | None
    shelf_life_days: int | None
    serves: tuple[Serves, ...]

    def offer(self, scale: int) -> Offer:
        """The row for the planner, in `1/scale` of a minor unit."""
        return Offer(
            self.supplier,
            self.row.number,
            self.pack_quantity,
            tuple(Break(packs, minor * (scale // per)) for packs, minor, per in self.steps),
            self.serves,
            lead_days=self.lead_days,
            shelf_life_days=self.shelf_life_days,
            name=self.row.name,
        )


class Offered(NamedTuple):
    """All rows that can be used, by line why others can't, in words, and whose the rows are."""

    rows: tuple[RowOffer, ...]
    tried: dict[str, str]
    suppliers: tuple[Supplier, ...] = ()


def offered(session: Session, lines: Sequence[Asked], on: date, *, surest: bool = False) -> Offered:
    """What the lists now current offer for these lines.

    `surest`: a ring that seals less surely than the one asked for only where no list has that one or one as sure: what
    is bought by price must not go by a few cents where a joint may leak.
    """
    suppliers = {one.id or 0: one for one in session.exec(select(Supplier).where(in_use(Supplier))).all()}
    serves: defaultdict[int, dict[str, str]] = defaultdict(dict)
    found: dict[int, tuple[ListedRow, Known, int | None, int]] = {}
    each: dict[str, Asked] = {}
    for asked in lines:
        each.setdefault(asked.key, asked)
    near = NearRows(session, list(each.values()))
    said: dict[str, str] = {}
    for key, asked in each.items():
        good, refused, unnamed = _for_one(asked, near, suppliers)
        for one, known, item_id, quantity, caution in _surest(asked, good) if surest else good:
            serves[one.row_id][key] = caution
            # A row may be read in several ways; the item it was said to be comes before any reading.
            before = found.get(one.row_id)
            if before is None or (before[2] is None and item_id is not None):
                found[one.row_id] = (one, known, item_id, quantity)
        if refused:
            more = len(refused) - NAMED_IN_WORDS + unnamed
            said[key] = "; ".join(refused[:NAMED_IN_WORDS]) + (f"; and {more} more" if more > 0 else "")
    tried = {asked.short.line: said[asked.key] for asked in lines if asked.key in said}
    rows = []
    for row_id in sorted(found):
        listed, known, item_id, quantity = found[row_id]
        supplier = suppliers[listed.supplier_id]
        rows.append(
            RowOffer(
                listed,
                supplier.name,
                _what(known),
                known.doubt,
                item_id,
                quantity,
                steps_of(listed),
                supplier.lead_days if listed.lead_days is None else listed.lead_days,
                _keeps(known.item),
                tuple(Serves(key, caution) for key, caution in sorted(serves[row_id].items())),
            )
        )
    named = {one.supplier for one in rows}
    return Offered(tuple(rows), tried, tuple(one for one in suppliers.values() if one.name in named))


def _what(known: Known) -> NewItem:
    item = known.item
    return NewItem(
        item.kind,
        item.name,
        item.size_key,
        item.rubber,
        item.hardness_shore_a,
        item.spec_class,
        item.spec_grade,
        item.cure_minutes,
        item.counted_in,
        figures=item_figures.ItemFigures(known.claims),
    )


def scale_of(rows: Iterable[RowOffer]) -> int:
    """The finest part of a minor unit any of the prices needs: 100 where one is given for a hundred packs."""
    return math.lcm(*(per for one in rows for _, _, per in one.steps))


def steps_of(listed: ListedRow) -> tuple[tuple[int, int, int], ...]:
    """From so many packs on, so many minor units for so many packs. A row without a price has none."""
    if listed.price_minor is None:
        return ()
    steps = [(listed.min_packs, listed.price_minor, listed.price_per)]
    for packs, minor, per in breaks_of(listed.breaks):
        if packs > listed.min_packs:
            steps.append((packs, minor, per))
        else:
            steps[0] = (listed.min_packs, minor, per)
    return tuple(steps)


_Good = tuple[ListedRow, Known, int | None, int, str]
"""A row that a line can use, what it is, the item it was said to be, what a pack holds, what to mind."""


def _surest(asked: Asked, good: list[_Good]) -> list[_Good]:
    sure = [one for one in good if not rings.less_sure(asked.sought, one[1].item.size_key)]
    return sure or good


class _Found(NamedTuple):
    """What one line can use. `refused`: why others can't be, some of them in words; `more` of them are only counted."""

    good: list[_Good]
    refused: list[str]
    more: int


def _for_one(asked: Asked, rows: NearRows, suppliers: dict[int, Supplier]) -> _Found:
    sought, unit = asked.sought, asked.short.counted_in
    near = rows.near(asked)
    good: list[_Good] = []
    refused, more = list(near.crowded), near.more_refused
    keys = [one.known.item.size_key or "" for one in near.rows]
    seals = rings.sealing(sought, keys) if sought.need.kind is Kind.RING else {}
    seen: set[int] = set()
    judged_before: dict[Hashable, Judged] = {}
    for one in near.rows:
        listed = one.row
        if listed.row_id in seen or listed.supplier_id not in suppliers:
            continue  # whose supplier is retired
        seen.add(listed.row_id)
        judged = judged_before.get(one.alike) if one.alike is not None else None
        if judged is None:
            judged = judge(sought, _lying(one), seals)
        if one.alike is not None:
            judged_before[one.alike] = judged
        quantity = holds(listed, unit)
        why = _why_not(asked, one, judged, quantity, suppliers[listed.supplier_id])
        if not why and quantity is not None:
            good.append((listed, one.known, one.item_id, quantity, _caution(judged, one.known)))
        elif len(refused) < NAMED_IN_WORDS:
            refused.append(f"{listed.number} from {suppliers[listed.supplier_id].name}: {why}")
        else:
            more += 1
    return _Found(good, refused, more)


def _why_not(asked: Asked, one: NearRow, judged: Judged, quantity: int | None, supplier: Supplier) -> str:
    """Why a row can't be used for a line; nothing where it can."""
    if judged.refused:
        return judged.refused
    if asked.short.item_id is not None and one.item_id != asked.short.item_id and judged.care != AS_ASKED:
        return "; ".join(judged.because) or "not the item itself"
    if one.row.price_minor is None:
        return "the list gives no price"
    if one.row.currency != supplier.currency:
        return f"its price is in {one.row.currency}, the supplier's money is {supplier.currency}"
    return "the list does not give its contents" if quantity is None else ""


def _caution(judged: Judged, known: Known) -> str:
    return "; ".join(filter(None, (*judged.because, known.doubt)))


def _lying(one: NearRow) -> Lying:
    """The row as if it lay on the shelf, so that the shelf's own judgements can look at it."""
    return Lying(one.known.item, claims=one.known.claims, element=one.figures.element)


def _keeps(item: Thing) -> int | None:
    """How long a ring keeps from its cure, by ISO 2230; None where it is not known or has no limit."""
    if item.kind is not Kind.RING:
        return None
    try:
        years = shelf_life(item.rubber).years
    except ValueError:
        return None
    return None if years is None else years * DAYS_A_YEAR
