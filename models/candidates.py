"""What on the shelf could serve a need, best first, and in words why the rest can't."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.tables import Bin, Item, Lot, Need, NeedRubber, NeedTwin, Stock
from models.text import fold
from models.volume import in_words
from models.words import Kind, Unit

NAMED_IN_WORDS = 3


class Allowed(NamedTuple):
    """The names of a ring need's size, its own first, and the rubbers it allows, best first; none means any."""

    sizes: tuple[str, ...]
    rubbers: tuple[str, ...]


class Candidate(NamedTuple):
    """One stock row near a need. `refused` says why it can't serve; `because` what a person should know if it does."""

    stock_id: int
    item_name: str
    bin_code: str
    on_hand: int
    free: int
    refused: str
    because: str
    order: tuple[int, int, date, str, int]


def allowed(session: Session, need: Need) -> Allowed:
    """What a ring need allows."""
    if need.size_key is None:
        return Allowed((), ())
    twins = session.exec(
        select(NeedTwin.size_key).where(NeedTwin.need_id == need.id).order_by(col(NeedTwin.size_key))
    ).all()
    rubbers = session.exec(
        select(NeedRubber.rubber).where(NeedRubber.need_id == need.id).order_by(col(NeedRubber.position))
    ).all()
    return Allowed((need.size_key, *twins), tuple(rubbers))


def candidates(session: Session, need: Need, on: date) -> list[Candidate]:
    """Every stock row of the need's size or class with something on hand, those that can serve first.

    Among those: the rubber named first, the oldest shelf life first, then in walking order.
    """
    fits = allowed(session, need)
    query = (
        select(Stock, Item, Bin, Lot)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(col(Item.kind) == need.kind, col(Item.counted_in) == unit_of(need), col(Stock.on_hand) > 0)
        .execution_options(populate_existing=True)
    )
    if need.kind is Kind.RING:
        query = query.where(col(Item.size_key).in_(fits.sizes))
    else:
        query = query.where(col(Item.class_folded) == fold(need.spec_class))
    found: list[Candidate] = []
    for stock, item, place, lot in session.exec(query).all():
        assert stock.id is not None
        expires_on = lot.expires_on if stock.lot_id is not None else None
        expired = f"lot {lot.code} expired on {expires_on}" if expires_on is not None and expires_on < on else ""
        found.append(
            Candidate(
                stock.id,
                item.name,
                place.code,
                stock.on_hand,
                stock.on_hand - stock.promised,
                _refused(need, item, fits) or expired,
                _because(item, fits),
                (
                    fits.rubbers.index(item.rubber) if item.rubber in fits.rubbers else len(fits.rubbers),
                    fits.sizes.index(item.size_key) if item.size_key in fits.sizes else 0,
                    expires_on or date.max,
                    place.folded,
                    stock.id,
                ),
            )
        )
    return sorted(found, key=lambda one: (bool(one.refused), one.order))


def _refused(need: Need, item: Item, fits: Allowed) -> str:
    if fits.rubbers and item.rubber not in fits.rubbers:
        return f"{item.rubber or 'an unnamed rubber'} is not among {', '.join(fits.rubbers)}"
    if need.hardness_shore_a and item.hardness_shore_a and need.hardness_shore_a != item.hardness_shore_a:
        return f"{item.hardness_shore_a} Shore A, {need.hardness_shore_a} asked for"
    if need.spec_grade and item.grade_folded != fold(need.spec_grade):
        return f"grade {item.spec_grade or 'not stated'}, {need.spec_grade} asked for"
    if need.cure_minutes_at_most is not None and (
        item.cure_minutes is None or item.cure_minutes > need.cure_minutes_at_most
    ):
        hours = "not stated" if item.cure_minutes is None else f"{item.cure_minutes / 60:g} h"
        return f"cure {hours}, at most {need.cure_minutes_at_most / 60:g} h asked for"
    return ""


def _because(item: Item, fits: Allowed) -> str:
    said: list[str] = []
    if fits.sizes and item.size_key != fits.sizes[0]:
        said.append(f"{item.size_key} is the same ring by another name")
    if item.kind is Kind.RING and not fits.rubbers:
        said.append("the need names no rubber: check that this one stands the fluid")
    elif fits.rubbers and item.rubber != fits.rubbers[0]:
        said.append(f"{item.rubber} instead of {fits.rubbers[0]}")
    return "; ".join(said)


def what_was_tried(need: Need, found: Sequence[Candidate], fits: Allowed) -> str:
    """In words, why the shelf does not cover the need."""
    sought = " or ".join(fits.sizes) if fits.sizes else f"{need.spec_class} {need.spec_grade}".strip()
    if not found:
        return f"No {sought} on the shelf."
    unit = unit_of(need)
    said = [
        f"{one.item_name} in {one.bin_code}: {one.refused}"
        if one.refused
        else f"{one.item_name} in {one.bin_code}: "
        + (f"{in_words(one.free, unit)} free" if one.free else f"all {in_words(one.on_hand, unit)} promised")
        for one in found[:NAMED_IN_WORDS]
    ]
    more = len(found) - NAMED_IN_WORDS
    return "; ".join(said) + (f"; and {more} more." if more > 0 else ".")


def unit_of(need: Need) -> Unit:
    """What a need is counted in."""
    return Unit.MICROLITRE if need.kind is Kind.FLUID else Unit.EACH
