"""What on the shelf could serve a need, best first, and in words why the rest can't."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import exists, func
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from catalog.filters.element import Element
from catalog.orings.gland import Sealing
from catalog.orings.sizes import label_of
from models.inventory import moving
from models.qualify import age, elements, fluids, others, rings
from models.qualify.wanted import AS_FITTED, Judged, Offer, Wanted, wanted, wanted_all
from models.stored_text import from_text
from models.tables import Action, Bin, Item, ItemClaim, Lot, Movement, Need, Stock
from models.text import fold
from models.volume import in_words
from models.words import Kind, Moved, Unit

__all__ = [
    "Candidate",
    "Wanted",
    "candidates",
    "candidates_all",
    "judge",
    "last_received",
    "one_candidate",
    "take_free",
    "unit_of",
    "usable_all",
    "wanted",
    "wanted_all",
    "what_was_tried",
]

NAMED_IN_WORDS = 3


class Candidate(NamedTuple):
    """One stock row near a need. `refused` says why it can't serve; `because` what a person should know if it does.

    `opened`: a container of it is begun.
    """

    stock_id: int
    item_name: str
    bin_code: str
    on_hand: int
    free: int
    refused: str
    because: str
    order: tuple[int, int, int, date, bool, str, int]
    opened: bool = False


def candidates(session: Session, sought: Wanted, on: date) -> list[Candidate]:
    """Every stock row near the need with something on hand, those that can serve first.

    Among those: what was asked, and rings that seal as surely, before what stands in for it; the rubber named first,
    the size itself, the oldest shelf life, an opened container before a full one, then walking order.
    """
    return candidates_all(session, {0: sought}, on)[0]


def candidates_all(session: Session, sought: Mapping[int, Wanted], on: date) -> dict[int, list[Candidate]]:
    """`candidates` of many needs, under the keys given, in a handful of queries a kind."""
    by_kind: defaultdict[Kind, list[Wanted]] = defaultdict(list)
    for one in sought.values():
        by_kind[one.need.kind].append(one)
    offers = _all_offers(session, by_kind)
    found: dict[int, list[Candidate]] = {}
    for key, one in sought.items():
        judged = _judged(one, _near(one, offers[one.need.kind]))
        near = [_candidate(one, offer, how, on) for offer, how in judged]
        found[key] = sorted(near, key=lambda candidate: (bool(candidate.refused), candidate.order))
    return found


def usable_all(session: Session, sought: Mapping[int, Wanted], on: date) -> dict[int, list[Candidate]]:
    """Those of `candidates_all` that can serve: what lies near and can't is neither judged in full nor put in words."""
    by_kind: defaultdict[Kind, list[Wanted]] = defaultdict(list)
    for one in sought.values():
        by_kind[one.need.kind].append(one)
    lying = {kind: _Lying(kind, lies) for kind, lies in _all_offers(session, by_kind).items()}
    found: dict[int, list[Candidate]] = {}
    for key, one in sought.items():
        judged = _judged(one, _near(one, lying[one.need.kind].near(one)))
        able = (_candidate(one, offer, how, on) for offer, how in judged if not how.refused)
        found[key] = sorted((each for each in able if not each.refused), key=lambda each: each.order)
    return found


class _Lying:
    """What lies on the shelf of one kind, by what is asked for it: a need looks at no more than it may take."""

    def __init__(self, kind: Kind, offers: Sequence[Offer]) -> None:
        self._all = offers
        self._kind = kind
        self._by_name: defaultdict[str | None, list[Offer]] = defaultdict(list)
        self._by_claims: defaultdict[tuple[str, ...], list[Offer]] = defaultdict(list)
        for one in offers:
            self._by_name[one.item.size_key if kind is Kind.RING else one.item.class_folded].append(one)
            if kind is Kind.FLUID:
                self._by_claims[fluids.claims_of(one)].append(one)
            elif kind is Kind.SEALANT:
                for said in others.resisting(one):
                    self._by_claims[said,].append(one)

    def near(self, sought: Wanted) -> Sequence[Offer]:
        """What may serve the need; more where only its own judge can tell."""
        if self._kind is Kind.FLUID:
            able = fluids.Able(sought)
            return [one for claims, some in self._by_claims.items() if able.may(claims) for one in some]
        if self._kind is Kind.SEALANT:
            return self._by_claims.get((others.first_asked(sought),), ())
        names = _names(sought)
        return self._all if names is None else [one for name in names for one in self._by_name.get(name, ())]


def take_free(found: Sequence[Candidate], missing: int, taken: dict[int, int]) -> int:
    """How much of what is missing lies free, less what needs before took: `taken`, by stock id, which is added to."""
    lies = 0
    for one in found if missing > 0 else ():
        take = min(missing - lies, one.free - taken.get(one.stock_id, 0))
        if not one.refused and take > 0:
            taken[one.stock_id] = taken.get(one.stock_id, 0) + take
            lies += take
    return lies


def one_candidate(session: Session, sought: Wanted, on: date, stock_id: int) -> Candidate | None:
    """How one stock row comes out for a need, whatever its size or class; None when it is of another kind."""
    offers = _offers(session, [sought], stock_id=stock_id)
    keys = tuple(one.item.size_key for one in offers if one.item.size_key)
    # As if its size were asked for, so that it is judged in the groove even where it does not come near.
    seals = rings.sealing(sought._replace(sizes=(*sought.called, *keys)), ())
    return next((_candidate(sought, one, judge(sought, one, seals), on) for one in offers), None)


def _names(sought: Wanted) -> frozenset[str] | None:
    """What an item near the need is called: its size or its class; None where any of the kind may serve."""
    need = sought.need
    if need.kind is Kind.RING:
        return frozenset(sought.called) if sought.groove is None else None
    by_class = need.kind in {Kind.FASTENER, Kind.CONSUMABLE}
    if by_class or (need.kind is Kind.FILTER and sought.housing is None):
        return frozenset({fold(need.spec_class)})
    return None


def _near(sought: Wanted, offers: Sequence[Offer]) -> list[Offer]:
    """Those of the kind's offers that are near this need."""
    names, ring = _names(sought), sought.need.kind is Kind.RING
    near = [one for one in offers if names is None or (one.item.size_key if ring else one.item.class_folded) in names]
    # What was measured tells only where there is a housing to judge it in.
    return near if sought.housing is not None else [one._replace(element=None) for one in near]


def _judged(sought: Wanted, offers: Sequence[Offer]) -> Iterable[tuple[Offer, Judged]]:
    if sought.need.kind is not Kind.RING:
        return [(offer, judge(sought, offer, {})) for offer in offers]
    seals = rings.sealing(sought, [offer.item.size_key or "" for offer in offers])
    near = [one for one in offers if one.item.size_key in sought.called or one.item.size_key in seals]
    return [(offer, judge(sought, offer, seals)) for offer in near]


def judge(sought: Wanted, offer: Offer, seals: Mapping[str, Sealing]) -> Judged:
    """How one offer comes out for a need; `seals`: rings judged in the need's groove, see `rings.sealing`."""
    match sought.need.kind:
        case Kind.RING:
            return rings.judge(sought, offer, seals)
        case Kind.FLUID:
            return fluids.judge(sought, offer)
        case Kind.FILTER:
            return elements.judge(sought, offer)
        case Kind.SEALANT:
            return others.sealant(sought, offer)
        case _:
            return others.by_words(sought, offer)


def _candidate(sought: Wanted, offer: Offer, judged: Judged, on: date) -> Candidate:
    stock, item, called = offer.stock, offer.item, sought.called
    assert stock.id is not None
    old = age.judge(offer, on, sought.due_on)
    expires_on = offer.lot.expires_on if offer.lot is not None else None
    opened = bool(offer.holds and stock.on_hand % offer.holds)
    return Candidate(
        stock.id,
        item.name,
        offer.place.code,
        stock.on_hand,
        stock.on_hand - stock.promised,
        "; ".join(filter(None, (old.refused, judged.refused))),
        "; ".join((*judged.because, *old.because)),
        (
            max(judged.care, old.care),
            sought.rubbers.index(item.rubber) if item.rubber in sought.rubbers else len(sought.rubbers),
            called.index(item.size_key) if item.size_key in called else len(called),
            expires_on or date.max,
            not opened,
            offer.place.folded,
            stock.id,
        ),
        opened,
    )


def _lying_near(
    session: Session, together: Sequence[Wanted], stock_id: int | None
) -> Sequence[tuple[Stock, Item, Bin, Lot]]:
    """The rows of the shelf near any of these needs, all of one kind."""
    need = together[0].need
    query = (
        select(Stock, Item, Bin, Lot)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(col(Item.kind) == need.kind, col(Item.counted_in) == unit_of(need))
        .execution_options(populate_existing=True)
    )
    if stock_id is not None:
        query = query.where(col(Stock.id) == stock_id)
    else:
        query = query.where(col(Stock.on_hand) > 0)
        called = [_names(one) for one in together]
        if None not in called:
            column = col(Item.size_key) if need.kind is Kind.RING else col(Item.class_folded)
            query = query.where(column.in_({name for names in called for name in names or ()}))
    return session.exec(query).all()


def _offers(session: Session, together: Sequence[Wanted], *, stock_id: int | None = None) -> list[Offer]:
    """What lies near any of these needs, all of one kind; or one stock row, if it is of that kind."""
    return _all_offers(session, {together[0].need.kind: together}, stock_id=stock_id)[together[0].need.kind]


def _all_offers(
    session: Session, by_kind: Mapping[Kind, Sequence[Wanted]], *, stock_id: int | None = None
) -> dict[Kind, list[Offer]]:
    """What lies near needs of several kinds; what is known of the items is asked once for all."""
    rows = {kind: _lying_near(session, together, stock_id) for kind, together in by_kind.items()}
    of_kind = {kind: {item.id for _, item, _, _ in some if item.id is not None} for kind, some in rows.items()}
    claiming = of_kind.get(Kind.FLUID, set()) | of_kind.get(Kind.SEALANT, set())
    claims = _claims(session, claiming) if claiming else {}
    housed = any(one.housing for one in by_kind.get(Kind.FILTER, ()))
    elements = {item.id: item.element for _, item, _, _ in rows.get(Kind.FILTER, ()) if housed and item.element}
    measured = {item_id: from_text(Element, said) for item_id, said in elements.items()}
    ring_stock = {stock.id for stock, *_ in rows.get(Kind.RING, ())}
    came = last_received(session, ring_stock) if ring_stock else {}
    return {
        kind: [
            Offer(
                stock,
                item,
                place,
                lot if stock.lot_id is not None else None,
                tuple(claims.get(item.id or 0, ())),
                measured.get(item.id),
                item.container if kind is Kind.FLUID else None,
                came.get(stock.id or 0),
            )
            for stock, item, place, lot in some
        ]
        for kind, some in rows.items()
    }


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


def what_was_tried(sought: Wanted, found: Sequence[Candidate]) -> str:
    """In words, why the shelf does not cover the need."""
    need = sought.need
    if need.size_key == AS_FITTED and not sought.sizes and not found:
        return "No fit record at this position says which ring it takes: measure it."
    asked = " or ".join(map(label_of, sought.sizes)) if sought.sizes else f"{need.spec_class} {need.spec_grade}".strip()
    if not found:
        return f"No {asked or 'ring'} on the shelf{_nor_others(sought)}."
    unit = unit_of(need)
    said = [
        f"{one.item_name} in {one.bin_code}: {one.refused}"
        if one.refused
        else f"{one.item_name} in {one.bin_code}: "
        + (f"{in_words(one.free, unit)} free" if one.free else f"all {in_words(one.on_hand, unit)} promised")
        for one in found[:NAMED_IN_WORDS]
    ]
    more = len(found) - NAMED_IN_WORDS
    end = f"; and {more} more" if more > 0 else ""
    return ("; ".join(said) + end).rstrip(".") + "."


def _nor_others(sought: Wanted) -> str:
    """The other rings that would do, where there are any, after "No … on the shelf"."""
    others = [label_of(key) for key in dict.fromkeys(one.size_key for one in sought.instead.values())]
    if not others:
        return ""
    more = len(others) - NAMED_IN_WORDS
    named = ", ".join([*others[:NAMED_IN_WORDS], *([f"{more} more"] if more > 0 else [])])
    return f", nor another that would do ({named})"


def unit_of(need: Need) -> Unit:
    """What a need is counted in."""
    return Unit.MICROLITRE if need.kind is Kind.FLUID else Unit.EACH
