"""What lies on the shelf near needs: read in few statements, whatever the needs are, as offers to be judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Final, NamedTuple

from sqlalchemy import ColumnElement, and_, exists, func, or_, tuple_
from sqlalchemy import select as columns
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from catalog.filters.element import Element
from models.inventory import moving
from models.qualify import others
from models.qualify.wanted import Batch, Offer, Thing, Wanted
from models.stored_text import from_text
from models.tables import Action, Bin, Item, ItemClaim, Lot, Movement, Need, Stock
from models.words import Kind, Moved, Unit

_OF_ITEM: Final = (
    *("kind", "id", "name", "size_key", "rubber", "hardness_shore_a", "spec_class", "spec_grade", "cure_minutes"),
    *("class_folded", "grade_folded", "counted_in", "element", "container"),
)


class _Row(NamedTuple):
    """One row of the shelf, with what is written of its item's element and container."""

    item: Thing
    stock_id: int
    on_hand: int
    promised: int
    bin_code: str
    bin_folded: str
    lot: Batch | None
    element: str | None
    container: int | None


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
        both = tuple_(col(name), col(second)).in_(pairs)
        return and_(*right, both if len(pairs) == len(self._named) else or_(named, both))


def _lying_near(session: Session, near: ColumnElement[bool]) -> Iterator[_Row]:
    """Rows of the shelf in one statement, whatever they are: it has no index by which one kind were found sooner."""
    item = Item.metadata.tables["items"].c
    query = (
        columns(
            *(item[name] for name in _OF_ITEM),
            *(col(Stock.id), col(Stock.on_hand), col(Stock.promised), col(Bin.code), col(Bin.folded)),
            *(col(Lot.id), col(Lot.code), col(Lot.expires_on)),
        )
        .select_from(Stock)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(near)
    )
    session.flush()
    for kind, item_id, name, size, rubber, shore, spec, grade, cure, spec_folded, grade_folded, unit, *rest in (
        session.connection().execute(query).all()
    ):
        element, container, stock_id, on_hand, promised, code, folded, lot_id, lot, last = rest
        thing = Thing(item_id, kind, name, size, rubber, shore, spec, grade, cure, spec_folded, grade_folded, unit)
        batch = None if lot_id is None else Batch(lot, last)
        yield _Row(thing, stock_id, on_hand, promised, code, folded, batch, element, container)


def all_offers(
    session: Session, by_kind: Mapping[Kind, Sequence[Wanted]], *, stock_id: int | None = None, free: bool = False
) -> dict[Kind, list[Offer]]:
    """What lies near needs of several kinds; what is known of the items is asked once for all.

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
    rows = list(_lying_near(session, near))
    claiming = {one.item.item_id for one in rows if one.item.kind in {Kind.FLUID, Kind.SEALANT}}
    claims = _claims(session, claiming) if claiming else {}
    housed = any(one.housing for one in by_kind.get(Kind.FILTER, ()))
    # A lot says its own last day; only what lies in none goes by when it came.
    rings = (one for one in rows if one.item.kind is Kind.RING)
    undated: set[int | None] = {one.stock_id for one in rings if one.lot is None or one.lot.expires_on is None}
    came = last_received(session, undated) if undated else {}
    for one in rows:
        kind = one.item.kind
        offer = Offer(
            one.item,
            one.stock_id,
            one.on_hand,
            one.promised,
            one.bin_code,
            one.bin_folded,
            one.lot,
            tuple(claims.get(one.item.item_id, ())),
            from_text(Element, one.element) if housed and one.element and kind is Kind.FILTER else None,
            one.container if kind is Kind.FLUID else None,
            came.get(one.stock_id),
            (
                (one.lot and one.lot.expires_on) or date.max,
                not (kind is Kind.FLUID and one.container and one.on_hand % one.container),
                one.bin_folded,
                one.stock_id,
            ),
        )
        found[kind].append(offer)
    return found


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
    return Unit.MICROLITRE if need.kind is Kind.FLUID else Unit.EACH
