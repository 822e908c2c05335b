"""What lies on the shelf near needs: read in few statements, whatever the needs are, as offers to be judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, Final

from sqlalchemy import ColumnElement, and_, exists, func, or_
from sqlalchemy import select as columns
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from catalog.filters.element import Element
from models.inventory import moving
from models.qualify import age, others
from models.qualify.wanted import Batch, Offer, Thing, Wanted
from models.stored_text import from_text
from models.tables import Action, Bin, Item, ItemClaim, Lot, Movement, Need, Stock
from models.words import Kind, Moved, Unit, unit_for

_BETWEEN: Final = "\x1f"
"""Stands in no size, class, rubber or grade."""


class _Asked:
    """What several needs of one kind ask for, as the rows of the shelf are picked by it."""

    def __init__(self, together: Sequence[Wanted]) -> None:
        need = together[0].need
        self._unit, self._kind = unit_of(need), need.kind
        self._named: set[tuple[str | None, str | None]] | None = set()
        for one in together:
            names = names_of(one)
            if names is None or self._named is None:
                self._named = None
                continue
            grade = others.fold(one.need.spec_grade)
            second = one.rubbers if need.kind is Kind.RING else ((grade,) if grade else ())
            self._named |= {(name, which) for name in names for which in second or (None,)}

    def condition(self, *, exactly: bool) -> ColumnElement[bool]:
        """That an item may be near any of them; `exactly`: of the rubber or the grade that is asked for, too."""
        right = (col(Item.kind) == self._kind, col(Item.counted_in) == self._unit)
        if self._named is None:
            return and_(*right)
        ring = self._kind is Kind.RING
        name, second = (Item.size_key, Item.rubber) if ring else (Item.class_folded, Item.grade_folded)
        pairs = {pair for pair in self._named if exactly and pair[1] is not None}
        named = col(name).in_({one for one, _ in self._named - pairs})
        if not pairs:
            return and_(*right, named)
        # As one text: PostgreSQL looks that up at once, and compares each row with every pair of two columns.
        both = (col(name) + _BETWEEN + col(second)).in_({f"{one}{_BETWEEN}{other}" for one, other in pairs})
        return and_(*right, both if len(pairs) == len(self._named) else or_(named, both))


def _lying_near(session: Session, near: ColumnElement[bool]) -> Sequence[Sequence[Any]]:
    """Rows of the shelf in one statement, whatever they are: it has no index by which one kind were found sooner."""
    item, stock, bins, lot = (Item.metadata.tables[name].c for name in ("items", "stock", "bins", "lots"))
    query = (
        columns(
            *(stock.id, stock.on_hand, stock.promised, bins.code, bins.folded),
            *(lot.id, lot.code, lot.expires_on, item.element, item.container),
            *(item[name] for name in Thing._fields[2:-1]),
            *(item.id, item.kind),
        )
        .select_from(Stock)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(near)
    )
    session.flush()
    return session.connection().execute(query).all()


def all_offers(
    session: Session,
    by_kind: Mapping[Kind, Sequence[Wanted]],
    on: date,
    *,
    stock_id: int | None = None,
    free: bool = False,
) -> dict[Kind, list[Offer]]:
    """What lies near needs of several kinds, to be judged on that day; what the items are is asked once for all.

    `free`: only what is promised to nobody, of the rubber and the grade asked for.
    """
    found: dict[Kind, list[Offer]] = {kind: [] for kind in by_kind}
    if not by_kind:
        return found
    asked = {kind: _Asked(together) for kind, together in by_kind.items()}
    if stock_id is not None:
        kind, unit = next((one.need.kind, unit_of(one.need)) for some in by_kind.values() for one in some)
        near = and_(col(Stock.id) == stock_id, col(Item.kind) == kind, col(Item.counted_in) == unit)
    else:
        lies = col(Stock.on_hand) > (col(Stock.promised) if free else 0)
        near = and_(lies, or_(*(one.condition(exactly=free) for one in asked.values())))
    rows = _lying_near(session, near)
    claiming = {item_id for *_, item_id, kind in rows if kind in {Kind.FLUID, Kind.SEALANT}}
    claims = _claims(session, claiming) if claiming else {}
    housed = any(one.housing for one in by_kind.get(Kind.FILTER, ()))
    # A lot says its own last day; only what lies in none goes by when it came.
    undated = {row[0]: row[12] for row in rows if row[-1] is Kind.RING and row[7] is None}
    came = last_received(session, _may_be_old(session, undated, on))
    things: dict[int, tuple[Thing, tuple[str, ...]]] = {}
    for stock_id, on_hand, promised, code, folded, lot_id, lot, last, element, container, *said, item_id, kind in rows:
        if item_id not in things:
            thing = Thing._make((item_id, kind, *said, unit_for(kind)))
            things[item_id] = thing, tuple(claims.get(item_id, ()))
        holds = container if kind is Kind.FLUID else None
        found[kind].append(
            Offer._make(
                (
                    things[item_id][0],
                    stock_id,
                    on_hand,
                    promised,
                    code,
                    folded,
                    None if lot_id is None else Batch(lot, last),
                    things[item_id][1],
                    from_text(Element, element) if housed and element and kind is Kind.FILTER else None,
                    holds,
                    came.get(stock_id),
                    (last or date.max, not (holds and on_hand % holds), folded, stock_id),
                )
            )
        )
    return found


def _may_be_old(session: Session, rubber_of: Mapping[int, str], on: date) -> set[int | None]:
    """Of stock in no lot, by its rubber, what may have outlived itself by that day.

    Nothing in a ledger that is younger than the rubber that keeps least; so of most shops it need not be asked when
    anything came in.
    """
    years = {rubber: age.shelf_years(rubber) for rubber in set(rubber_of.values())}
    least = min((one for one in years.values() if one is not None), default=None)
    if least is None:
        return set()
    # Some days to spare: leap days, and days of UTC.
    before = on.replace(year=on.year - least, day=min(on.day, 28)) + timedelta(days=5)
    earlier = select(Action.id).where(col(Action.at) < datetime.combine(before, time(), UTC)).limit(1)
    if session.exec(earlier).first() is None:
        return set()
    return {stock_id for stock_id, rubber in rubber_of.items() if years[rubber] is not None}


def _claims(session: Session, item_ids: set[int]) -> dict[int, list[str]]:
    found: defaultdict[int, list[str]] = defaultdict(list)
    query = select(ItemClaim).where(col(ItemClaim.item_id).in_(item_ids)).order_by(col(ItemClaim.position))
    for claim in session.exec(query).all():
        found[claim.item_id].append(claim.claim)
    return found


def last_received(session: Session, stock_ids: set[int | None]) -> dict[int, date]:
    """When anything last came in there, moved stock where it came from.

    What a job gave back is no delivery, and neither is one that was undone.
    """
    back = aliased(Movement)
    if not stock_ids:
        return {}
    moved = moving.sources(session, stock_ids)
    every = {*stock_ids, *(one for came_from in moved.values() for one in came_from)}
    rows: Sequence[tuple[int, datetime | None]] = session.exec(
        select(Movement.stock_id, func.max(Action.at))
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(
            col(Movement.stock_id).in_(every),
            col(Movement.kind) == Moved.RECEIVED,
            col(Movement.kit_line_id).is_(None),
            col(Movement.reverses_id).is_(None),
            ~exists().where(col(back.reverses_id) == col(Movement.id)),
        )
        .group_by(col(Movement.stock_id))
    ).all()
    came = {stock_id: at.date() for stock_id, at in rows if at is not None}
    found: dict[int, date] = {}
    for stock_id in (one for one in stock_ids if one is not None):
        days = [came[one] for one in (stock_id, *moved.get(stock_id, ())) if one in came]
        if days:
            found[stock_id] = max(days)
    return found


def names_of(sought: Wanted) -> frozenset[str] | None:
    """What an item near the need is called: its size or its class; None where any of the kind may serve."""
    need = sought.need
    if need.kind is Kind.RING:
        return frozenset(sought.called) if sought.groove is None else None
    by_class = need.kind in {Kind.FASTENER, Kind.CONSUMABLE}
    if by_class or (need.kind is Kind.FILTER and sought.housing is None):
        return frozenset({others.fold(need.spec_class)})
    return None


def unit_of(need: Need) -> Unit:
    """What a need is counted in."""
    return unit_for(need.kind)
