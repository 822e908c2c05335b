"""What a job's parts cost: by what came, else by a supplier's list, else not known. No sum hides an unknown."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.kitting.progress import NeedProgress, progress_of
from models.kitting.promises import given_back
from models.moments import WALL
from models.orders.offered import RowOffer, offered
from models.orders.progress import undone_ids
from models.orders.shorts import for_items
from models.purchasing.money import rounded
from models.rows import find
from models.tables import Action, Item, Job, KitLine, Need, Order, OrderLine, OrderReceipt, Stock, Supplier
from models.words import LineState, Unit

STANDING: Final = (LineState.HAVE, LineState.PICKED)
UNRECORDED: Final = "poured from no container on record"


class Price(NamedTuple):
    """What one base unit (a piece, a microlitre) costs, in minor units of a currency, and where that is from.

    `doubt`: what nobody has confirmed of it, as that a list's row was only read from its text.
    """

    minor: Fraction
    currency: str
    source: str
    doubt: str = ""


class CostLine(NamedTuple):
    """So much of an item, and what it costs in whole minor units; None where no price is known.

    `item_id` None: a fluid that was poured from no container on record; its name is the need's then.
    """

    item_id: int | None
    item_name: str
    quantity: int
    counted_in: Unit
    cost_minor: int | None
    currency: str
    source: str
    doubt: str


class Total(NamedTuple):
    """The sum of what is priced in one currency."""

    minor: int
    currency: str


class JobCost(NamedTuple):
    """A job's parts, taken or promised, less what went back, and what was poured from no container on record.

    `lacking`: needs of an open job not all there yet.
    """

    job_id: int
    title: str
    lines: tuple[CostLine, ...]
    lacking: tuple[str, ...] = ()

    @property
    def totals(self) -> tuple[Total, ...]:
        """One a currency: nothing is exchanged."""
        sums: defaultdict[str, int] = defaultdict(int)
        for one in self.lines:
            if one.cost_minor is not None:
                sums[one.currency] += one.cost_minor
        return tuple(Total(minor, currency) for currency, minor in sorted(sums.items()))

    @property
    def unknown(self) -> tuple[str, ...]:
        """The items without a price."""
        return tuple(one.item_name for one in self.lines if one.cost_minor is None)


def of_job(session: Session, job_id: int, on: date) -> JobCost:
    """What the parts of a job cost, freight apart. Raises `NotFoundError`."""
    job = find(session, Job, job_id, "job")
    rows = session.exec(
        select(KitLine, Item)
        .join(Need, col(Need.id) == col(KitLine.need_id))
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None), col(KitLine.state).in_(STANDING))
        .order_by(col(Item.folded), col(Item.id), col(KitLine.id))
    ).all()
    back = given_back(session, [line.id or 0 for line, _ in rows])
    items = {item.id or 0: item for _, item in rows}
    came = _Came(session, items)
    listed = _listed(session, [item for key, item in items.items() if key not in came.of_item], on)
    amounts: dict[tuple[int, Price | None], int] = defaultdict(int)
    off: defaultdict[int, int] = defaultdict(int)
    for line, item in rows:
        price = came.of_stock.get(line.stock_id) or came.of_item.get(item.id or 0) or listed.get(item.id or 0)
        much = line.quantity - back.get(line.id or 0, 0)
        amounts[item.id or 0, price] += much
        if line.state is LineState.PICKED:
            off[line.need_id] += much
    needs = session.exec(
        select(Need).where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
    ).all()
    standing = progress_of(session, needs)
    lines = [_line(items[key], much, price) for (key, price), much in amounts.items() if much]
    lines += [
        CostLine(None, one.title, much, Unit.MICROLITRE, None, "", UNRECORDED, "")
        for one in needs
        if (much := standing[one.id or 0].poured - off[one.id or 0]) > 0
    ]
    return JobCost(job_id, job.title, tuple(lines), () if job.closed_at else _lacking(needs, standing))


def _lacking(needs: Sequence[Need], standing: Mapping[int, NeedProgress]) -> tuple[str, ...]:
    return tuple(one.title for one in needs if standing[one.id or 0].missing and not standing[one.id or 0].between)


def _line(item: Item, quantity: int, price: Price | None) -> CostLine:
    told = (item.id or 0, item.name, quantity, item.counted_in)
    if price is None:
        return CostLine(*told, None, "", "", "")
    return CostLine(*told, rounded(price.minor * quantity), price.currency, price.source, price.doubt)


class _Came:
    """What was paid by the last order that came: into each row of stock, and of each item."""

    def __init__(self, session: Session, item_ids: Iterable[int]) -> None:
        rows = session.exec(
            select(OrderReceipt, OrderLine, Order, Action)
            .join(OrderLine, col(OrderLine.id) == col(OrderReceipt.order_line_id))
            .join(Order, col(Order.id) == col(OrderLine.order_id))
            .join(Action, col(Action.id) == col(OrderReceipt.action_id))
            .where(col(OrderLine.item_id).in_(list(item_ids)))
            .order_by(col(OrderReceipt.id))
        ).all()
        undone = undone_ids(session, {receipt.action_id for receipt, *_ in rows})
        self.of_stock: dict[int, Price] = {}
        self.of_item: dict[int, Price] = {}
        called = {one.id: one.name for one in session.exec(select(Supplier)).all()} if rows else {}
        for receipt, line, order, action in rows:
            if receipt.action_id not in undone:
                each = Fraction(line.cost_minor, line.packs * line.pack_quantity)
                came = f"order {order.id} from {called[order.supplier_id]}, came {action.at.astimezone(WALL).date()}"
                price = Price(each, order.currency, came)
                self.of_stock[receipt.stock_id] = self.of_item[line.item_id] = price


def _listed(session: Session, items: Sequence[Item], on: date) -> dict[int, Price]:
    """What each item costs by the lists that are current: the cheapest of the rows that people said are it, then of
    those that were only read. Of several currencies the first by name: nothing is exchanged."""
    if not items:
        return {}
    asked = for_items(session, items)
    by_key: defaultdict[str, list[RowOffer]] = defaultdict(list)
    for one in offered(session, asked, on).rows:
        for serves in one.serves:
            by_key[serves.key].append(one)
    found: dict[int, Price] = {}
    for want in asked:
        item_id = want.short.item_id or 0
        prices = [(one.item_id != item_id, bool(one.doubt), _of_row(one)) for one in by_key[want.key] if one.steps]
        if prices:
            found[item_id] = min(prices, key=lambda each: (*each[:2], each[2].currency, each[2].minor))[2]
    return found


def _of_row(one: RowOffer) -> Price:
    _, minor, per = one.steps[0]
    each = Fraction(minor, per * one.pack_quantity)
    return Price(each, one.row.currency, f"list of {one.supplier}, {one.row.number}", one.doubt)
