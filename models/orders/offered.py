"""What suppliers' lists offer for short lines: found by index, judged as the shelf is, priced exactly."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.fluids import classes
from catalog.fluids.rules import Rule
from catalog.fluids.stand_in import may_use
from catalog.orings.shelf_age import shelf_life
from models.kitting.candidates import judge
from models.orders.shorts import Asked
from models.orders.what_it_is import Known, holds, known_by_its_text
from models.purchasing.offers import Break, Offer, Serves
from models.qualify import rings
from models.qualify.wanted import AS_ASKED, Judged
from models.qualify.wanted import Offer as Lying
from models.search.found import Where
from models.search.searching import search
from models.stores import item_figures
from models.stores.items import NewItem
from models.supplier_lists.listing import ListedRow, ring_offers
from models.tables import Bin, Item, ListRow, RowItem, Stock, Supplier
from models.words import Kind

LEAST_SURE_PPM: Final = 500_000
"""A ring's size read with less confidence than even is not offered."""
MOST_ROWS: Final = 300
"""Of one search for words; what the lists have beyond that is not looked at, and the line says so."""
AT_ONCE: Final = 500
_COPIED: Final = ListedRow._fields[1:]
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
    """All rows that can be used, and by line why others can't, in words."""

    rows: tuple[RowOffer, ...]
    tried: dict[str, str]


def offered(session: Session, lines: Sequence[Asked], on: date) -> Offered:
    """What the lists now current offer for these lines."""
    suppliers = {one.id or 0: one for one in session.exec(select(Supplier)).all()}
    serves: defaultdict[int, dict[str, str]] = defaultdict(dict)
    found: dict[int, tuple[ListedRow, Known, int | None, int]] = {}
    tried: dict[str, str] = {}
    by_key: dict[str, tuple[list[tuple[ListedRow, Known, int | None, int, str]], list[str]]] = {}
    for asked in lines:
        if asked.key not in by_key:
            by_key[asked.key] = _for_one(session, asked, suppliers, on)
        good, refused = by_key[asked.key]
        for one, known, item_id, quantity, caution in good:
            serves[one.row_id][asked.key] = caution
            # A row may be read in several ways; the item it was said to be comes before any reading.
            before = found.get(one.row_id)
            if before is None or (before[2] is None and item_id is not None):
                found[one.row_id] = (one, known, item_id, quantity)
        if refused:
            more = len(refused) - NAMED_IN_WORDS
            tried[asked.short.line] = "; ".join(refused[:NAMED_IN_WORDS]) + (f"; and {more} more" if more > 0 else "")
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
    return Offered(tuple(rows), tried)


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
    for text in listed.breaks.split():
        packs, _, price = text.partition(":")
        minor, _, per = price.partition("/")
        if int(packs) > listed.min_packs:
            steps.append((int(packs), int(minor), int(per or 1)))
        else:
            steps[0] = (listed.min_packs, int(minor), int(per or 1))
    return tuple(steps)


def _for_one(
    session: Session, asked: Asked, suppliers: dict[int, Supplier], on: date
) -> tuple[list[tuple[ListedRow, Known, int | None, int, str]], list[str]]:
    sought, unit = asked.sought, asked.short.counted_in
    good: list[tuple[ListedRow, Known, int | None, int, str]] = []
    refused: list[str] = []
    read, crowded = _read(session, asked)
    near = [*_said(session, asked), *read]
    keys = [known.item.size_key or "" for _, known, _ in near]
    seals = rings.sealing(sought, keys) if sought.need.kind is Kind.RING else {}
    seen: set[int] = set()
    for listed, known, item_id in near:
        if listed.row_id in seen:
            continue
        seen.add(listed.row_id)
        called = f"{listed.number} from {suppliers[listed.supplier_id].name}"
        quantity = holds(listed, unit)
        judged = judge(sought, _lying(known, session if item_id else None), seals)
        if judged.refused:
            refused.append(f"{called}: {judged.refused}")
        elif asked.short.item_id is not None and item_id != asked.short.item_id and judged.care != AS_ASKED:
            refused.append(f"{called}: {'; '.join(judged.because) or 'not the item itself'}")
        elif listed.price_minor is None:
            refused.append(f"{called}: the list gives no price")
        elif listed.currency != suppliers[listed.supplier_id].currency:
            own = suppliers[listed.supplier_id].currency
            refused.append(f"{called}: its price is in {listed.currency}, the supplier's money is {own}")
        elif quantity is None:
            refused.append(f"{called}: the list does not say how much it holds")
        else:
            good.append((listed, known, item_id, quantity, _caution(judged, known)))
    return good, [*crowded, *refused]


def _caution(judged: Judged, known: Known) -> str:
    return "; ".join(filter(None, (*judged.because, known.doubt)))


def _said(session: Session, asked: Asked) -> list[tuple[ListedRow, Known, int | None]]:
    """Rows said before to be an item of the shop's, where that item is near what is asked for."""
    need, sizes = asked.sought.need, asked.sought.sizes
    query = select(RowItem.row_id, Item).join(Item, col(Item.id) == col(RowItem.item_id))
    query = query.where(col(Item.kind) == need.kind)
    if asked.short.item_id is not None:
        query = query.where(col(Item.id) == asked.short.item_id)
    elif need.kind is Kind.RING and asked.sought.groove is None:
        query = query.where(col(Item.size_key).in_(sizes))
    found = session.exec(query).all()
    figures = item_figures.of(session, {item.id for _, item in found if item.id is not None})
    nothing = item_figures.ItemFigures()
    rows = _rows(session, [row_id for row_id, _ in found])
    return [
        (rows[row_id], Known(item, figures.get(item.id or 0, nothing).claims, ""), item.id)
        for row_id, item in found
        if rows[row_id].withdrawn_list_id is None
    ]


def _rows(session: Session, row_ids: Sequence[int]) -> dict[int, ListedRow]:
    """Many rows in few queries, by id in the order given."""
    found: dict[int, ListedRow] = {}
    for start in range(0, len(row_ids), AT_ONCE):
        some = session.exec(select(ListRow).where(col(ListRow.id).in_(row_ids[start : start + AT_ONCE]))).all()
        found |= {one.id or 0: ListedRow(one.id or 0, *(getattr(one, name) for name in _COPIED)) for one in some}
    return {row_id: found[row_id] for row_id in row_ids}


def _read(session: Session, asked: Asked) -> tuple[list[tuple[ListedRow, Known, int | None]], list[str]]:
    """Rows whose text says something near what is asked for; and which words stand in more rows than were looked at."""
    need = asked.sought.need
    crowded: list[str] = []
    if need.kind is Kind.RING:
        listed = ring_offers(session, asked.sought.sizes, least_ppm=LEAST_SURE_PPM)
    else:
        ids: dict[int, None] = {}
        for text in _texts(need.spec_class, need.spec_grade, need.kind, asked.sought.own_rules):
            page = search(session, text, limit=MOST_ROWS, items=False)
            ids |= dict.fromkeys(hit.row_id for hit in page.rows if hit.where is Where.LIST)
            if page.more:
                crowded.append(f"more than {MOST_ROWS} rows name “{text}”, the first were looked at")
        listed = tuple(_rows(session, list(ids)).values())
    said = set(
        session.exec(select(RowItem.row_id).where(col(RowItem.row_id).in_([one.row_id for one in listed]))).all()
    )
    known = ((one, known_by_its_text(one, need)) for one in listed if one.row_id not in said)
    return [(one, found, None) for one, found in known if found is not None], crowded


def _texts(asked: str, grade: str, kind: Kind, own: tuple[Rule, ...]) -> tuple[str, ...]:
    """What to search for, the most telling words first."""
    names = _stand_ins(asked, own) if kind is Kind.FLUID else (asked,)
    return tuple(dict.fromkeys((*(f"{name} {grade}" for name in names if grade), *names)))


@lru_cache(maxsize=256)
def _stand_ins(asked: str, own: tuple[Rule, ...]) -> tuple[str, ...]:
    """The names under which a fluid may stand on a list that can serve a class, its own first; `own`: shop's rules."""
    names: dict[str, None] = {asked: None}
    for one in classes.all_classes():
        if not one.family.startswith("viscosity grade") and may_use(one.code, asked, own_rules=own).usable:
            names.update(dict.fromkeys((one.code, *one.aliases)))
    return tuple(names)


def _lying(known: Known, session: Session | None) -> Lying:
    """The row as if it lay on the shelf, so that the shelf's own judgements can look at it."""
    item = known.item
    element = None
    if session is not None and item.kind is Kind.FILTER and item.id:
        element = item_figures.of(session, [item.id]).get(item.id, item_figures.ItemFigures()).element
    return Lying(Stock(item_id=0, bin_id=0), item, Bin(action_id=0, code="list", folded=""), None, known.claims,
                 element, None, None)  # fmt: skip


def _keeps(item: Item) -> int | None:
    """How long a ring keeps from its cure, by ISO 2230; None where it is not known or has no limit."""
    if item.kind is not Kind.RING:
        return None
    try:
        years = shelf_life(item.rubber).years
    except ValueError:
        return None
    return None if years is None else years * DAYS_A_YEAR
