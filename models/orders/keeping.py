"""Which ring sizes should this shop keep? Counted from what fits at its machines' positions and what jobs asked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from sqlmodel import Session, col, select

from catalog.orings.size_book import SizeBook, built_in
from models import own_sizes
from models.errors import InvalidInputError
from models.fits.fit_records import stands
from models.qualify.wanted import AS_FITTED
from models.stocking.keep_sizes import Kept, Pack, keep_sizes, single_sizes, trade_off
from models.tables import AssortmentModel, Bin, FitRecord, Item, Need, Stock
from models.words import Kind


class SizeRow(NamedTuple):
    """One size: how often it was needed, how many lie on the shelf, whether the answer keeps it."""

    size_key: str
    label: str
    needs: int
    on_hand: int
    kept: bool


class History(NamedTuple):
    """How often each ring size was needed; how many lie on the shelf; the sizes each assortment box holds.

    `book`: the sizes there are, the shop's own among them.
    """

    needs: Mapping[str, int]
    on_hand: Mapping[str, int]
    boxes: Mapping[str, frozenset[str]]
    book: SizeBook | None = None

    @property
    def sizes(self) -> SizeBook:
        """The ring sizes there are."""
        return self.book or built_in()


class Keeping(NamedTuple):
    """The smallest set for a share of the needs, the whole trade-off curve, and every size with what becomes of it."""

    share: Fraction
    kept: Kept
    curve: tuple[Kept, ...]
    sizes: tuple[SizeRow, ...]


def history(session: Session) -> History:
    """One for each position's last confirmed fit, one for each time a job asked for a size (struck needs apart)."""
    fitted: dict[int, str] = {}
    for place, fits in session.exec(
        select(FitRecord.position_id, FitRecord.size_key).where(stands()).order_by(col(FitRecord.id))
    ).all():
        fitted[place] = fits
    counts = Counter(fitted.values())
    needs = session.exec(
        select(Need.size_key, Need.position_id).where(Need.kind == Kind.RING, col(Need.withdrawn_at).is_(None))
    ).all()
    for size_key, position_id in needs:
        key = fitted.get(position_id or 0) if size_key == AS_FITTED else size_key
        if key is not None:
            counts[key] += 1
    on_hand: Counter[str] = Counter()
    for stocked_key, quantity in session.exec(
        select(Item.size_key, Stock.on_hand)
        .join(Stock, col(Stock.item_id) == col(Item.id))
        .where(Item.kind == Kind.RING)
    ).all():
        on_hand[stocked_key or ""] += quantity
    boxes: dict[str, set[str]] = {}
    for code, boxed_key in session.exec(
        select(Bin.code, Item.size_key)
        .join(AssortmentModel, col(AssortmentModel.bin_id) == col(Bin.id))
        .join(Item, col(Item.id) == col(AssortmentModel.item_id))
        .where(col(Item.size_key).is_not(None))
    ).all():
        boxes.setdefault(f"box {code}", set()).add(boxed_key or "")
    return History(
        dict(counts),
        dict(on_hand),
        {name: frozenset(sizes) for name, sizes in boxes.items()},
        own_sizes.size_book(session),
    )


def answer(found: History, *, share: Fraction = Fraction(9, 10), boxes: bool = False) -> Keeping:
    """The fewest sizes (with `boxes`, sizes and assortments) that cover that share. No database: a thread may run it.

    The same ring under another standard's name covers both. Raises `InvalidInputError` without any history,
    `SolverMissingError` without the solver.
    """
    if not found.needs:
        raise InvalidInputError(
            "No position has a fit record and no job has asked for a ring yet.",
            "Record what fits where, or put rings on a kit.",
        )
    packs = list(single_sizes(found.needs))
    if boxes:
        packs += [Pack(name, sizes) for name, sizes in found.boxes.items()]
    serves = {key: found.sizes.same_rings(key) for pack in packs for key in pack.sizes}
    kept = keep_sizes(found.needs, packs, share=share, serves=serves)
    assert kept is not None  # every size needed is a pack by itself
    curve = trade_off(found.needs, packs, serves=serves)
    in_kept = {size for pack in packs if pack.name in kept.packs for own in pack.sizes for size in (own, *serves[own])}
    rows = [
        SizeRow(
            key,
            size.label if (size := found.sizes.by_key(key)) else key,
            count,
            found.on_hand.get(key, 0),
            key in in_kept,
        )
        for key, count in found.needs.items()
    ]
    return Keeping(share, kept, curve, tuple(sorted(rows, key=lambda row: (-row.needs, row.size_key))))
