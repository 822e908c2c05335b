"""From what is short to a plan: gather in a read unit, work it out without the database (a thread may), show it."""

from __future__ import annotations

import time
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from sqlmodel import Session

from models.collecting import no_cycles
from models.orders.offered import RowOffer, offered, scale_of
from models.orders.short_rows import Short
from models.orders.shorts import Asked, Used, short_lines
from models.purchasing.demand import Why
from models.purchasing.infeasible import CannotBuy, NoPlan
from models.purchasing.money import Exchange, rounded
from models.purchasing.offers import ShortLine, Supplier
from models.purchasing.orders import Purchase, SupplierOrder
from models.purchasing.plan import Plan, plan

TIME_LIMIT_S = 10.0


class Gathered(NamedTuple):
    """Everything a plan needs, read at one moment. Nothing in it touches the database any more.

    `job_ids`: the jobs it was asked for, in which free stock was counted once; None: every open one. `no_terms`: the
    suppliers whose freight nobody said; their goods alone are counted.
    """

    on: date
    shorts: tuple[Short, ...]
    lines: tuple[ShortLine, ...]
    rows: tuple[RowOffer, ...]
    suppliers: tuple[Supplier, ...]
    tried: dict[str, str]
    scale: int
    by_date: bool
    job_ids: tuple[int, ...] | None
    no_terms: frozenset[str] = frozenset()


class PlannedShare(NamedTuple):
    """How much of a purchase is for which short line, and what to mind."""

    short: Short
    quantity: int
    caution: str


class PlannedLine(NamedTuple):
    """So many packs of a row. `price_minor` is for `price_per` packs, exactly; `cost_minor` rounded to a minor unit.

    `doubt`: what a person must look at before it is ordered. `spare`: bought, and no line asks for it.
    """

    offer: RowOffer
    packs: int
    price_minor: int
    price_per: int
    cost_minor: int
    arrives: date | None
    shares: tuple[PlannedShare, ...]
    spare: int

    @property
    def doubt(self) -> str:
        """What to look at before it is ordered."""
        return self.offer.doubt


class PlannedOrder(NamedTuple):
    """One supplier's part of the plan, in minor units of its currency. `freight_minor` None: nobody said it."""

    supplier_id: int
    supplier: str
    currency: str
    lines: tuple[PlannedLine, ...]
    goods_minor: int
    freight_minor: int | None

    @property
    def total_minor(self) -> int:
        """Goods and freight, as far as that is known."""
        return self.goods_minor + (self.freight_minor or 0)


class CannotGet(NamedTuple):
    """A short line that can't be bought: why, in a sentence, and what rows came near."""

    short: Short
    why: Why
    reason: str
    tried: str


class Expiry(NamedTuple):
    """What the shop would not use up in time, as far as anybody knows."""

    supplier: str
    number: str
    name: str
    quantity: int
    expires: date
    usage_known: bool


class Proposal(NamedTuple):
    """A plan to look at. Money in minor units of `currency`, exact. What can't be bought is left out of the plan.

    `line_by_line` and `single_supplier`: what plainer ways would cost for the same lines; None where there is no way.
    `least`: it is proven that no plan costs less.
    """

    gathered: Gathered
    max_suppliers: int | None
    orders: tuple[PlannedOrder, ...]
    cannot: tuple[CannotGet, ...]
    currency: str
    total: Fraction
    proven: bool
    line_by_line: Fraction | None
    single_supplier: Fraction | None
    single_name: str
    would_expire: tuple[Expiry, ...]
    seconds: float
    least: Fraction

    @property
    def no_terms(self) -> tuple[str, ...]:
        """The suppliers it orders from whose freight nobody said: what it costs in all is not known then."""
        return tuple(order.supplier for order in self.orders if order.freight_minor is None)

    @property
    def doubts(self) -> tuple[PlannedLine, ...]:
        """The lines whose row a person must look at before it is ordered."""
        return tuple(line for order in self.orders for line in order.lines if line.doubt)


def gather(
    session: Session,
    on: date,
    *,
    job_ids: Sequence[int] | None = None,
    reorder: bool = True,
    by_date: bool = True,
) -> Gathered:
    """What is short for these jobs (None: all open ones) and reorder points, and what the lists offer for it."""
    with no_cycles():
        asked = short_lines(session, job_ids, on, reorder=reorder, by_date=by_date)
        found = offered(session, asked, on, surest=True)
        # How much of a pack is used up in time is a question only of what doesn't keep for ever.
        spoils = {serves.key for row in found.rows if row.shelf_life_days is not None for serves in row.serves}
        used = Used(session, [one for one in asked if one.key in spoils], on)
    scale = scale_of(found.rows)
    return Gathered(
        on,
        tuple(one.short for one in asked),
        tuple(_line(one, used) for one in asked),
        found.rows,
        tuple(
            Supplier(
                one.name,
                one.currency,
                (one.freight_minor or 0) * scale,
                None if one.free_from_minor is None else one.free_from_minor * scale,
                one.minimum_order_minor * scale,
            )
            for one in found.suppliers
        ),
        found.tried,
        scale,
        by_date,
        None if job_ids is None else tuple(job_ids),
        frozenset(one.name for one in found.suppliers if one.freight_minor is None),
    )


def _line(asked: Asked, used: Used) -> ShortLine:
    short = asked.short
    name = f"{short.title} ({short.job_title})" if short.job_title else short.title
    return ShortLine(short.line, asked.key, short.quantity, short.needed_by, used.per_day(asked), name)


def work_out(
    gathered: Gathered,
    *,
    max_suppliers: int | None = None,
    exchange: Exchange | None = None,
    time_limit_s: float = TIME_LIMIT_S,
) -> Proposal:
    """The cheapest way to buy all lines; where some can't be bought, all the others and why not those.

    Raises as `models.purchasing.plan.plan` does.
    """
    began = time.monotonic()
    lines = gathered.lines
    cannot: list[CannotGet] = []
    outcome: Plan | NoPlan | None = None
    while lines:
        outcome = plan(
            lines,
            [one.offer(gathered.scale) for one in gathered.rows],
            gathered.suppliers,
            today=gathered.on,
            max_suppliers=max_suppliers,
            time_limit_s=time_limit_s,
            exchange=exchange,
        )
        if isinstance(outcome, Plan) or not outcome.cannot:
            break
        cannot += [_cannot(gathered, one) for one in outcome.cannot]
        rest = set(outcome.rest)
        lines = tuple(line for line in lines if line.line in rest)
    found = outcome if isinstance(outcome, Plan) else None
    orders = () if found is None else tuple(_order(gathered, one) for one in found.orders)
    scale = gathered.scale
    single = found.single_supplier if found else None
    plain = found.line_by_line if found else None
    return Proposal(
        gathered,
        max_suppliers,
        orders,
        tuple(cannot),
        found.currency if found else "",
        found.total / scale if found else Fraction(0),
        found.is_proven if found else True,
        None if plain is None else plain.total / scale,
        None if single is None else single.total / scale,
        single.suppliers[0] if single and single.suppliers else "",
        _expiries(gathered, found) if found else (),
        time.monotonic() - began,
        found.bound / scale if found else Fraction(0),
    )


def _cannot(gathered: Gathered, one: CannotBuy) -> CannotGet:
    short = next(short for short in gathered.shorts if short.line == one.line)
    reason = one.reason
    if one.why is Why.MINIMUM_ORDER and gathered.scale > 1:
        # The planner's sentence names the amount in its own finer unit.
        reason = f"{short.title}: the minimum order is out of reach."
    return CannotGet(short, one.why, reason, gathered.tried.get(one.line, ""))


def _order(gathered: Gathered, order: SupplierOrder) -> PlannedOrder:
    lines = tuple(_bought(gathered, one) for one in order.purchases)
    return PlannedOrder(
        lines[0].offer.row.supplier_id,
        order.supplier.name,
        order.supplier.currency,
        lines,
        sum(one.cost_minor for one in lines),
        None if order.supplier.name in gathered.no_terms else rounded(Fraction(order.freight, gathered.scale)),
    )


def _bought(gathered: Gathered, bought: Purchase) -> PlannedLine:
    offer = next(
        one for one in gathered.rows if (one.supplier, one.row.number) == (bought.offer.supplier, bought.offer.sku)
    )
    _, minor, per = next(step for step in reversed(offer.steps) if step[0] <= bought.packs)
    shorts = {short.line: short for short in gathered.shorts}
    return PlannedLine(
        offer,
        bought.packs,
        minor,
        per,
        rounded(Fraction(bought.packs * minor, per)),
        bought.arrives,
        tuple(PlannedShare(shorts[one.line], one.quantity, one.caution) for one in bought.for_lines),
        bought.spare,
    )


def _expiries(gathered: Gathered, found: Plan) -> tuple[Expiry, ...]:
    names = {(one.supplier, one.row.number): one.row.name for one in gathered.rows}
    return tuple(
        Expiry(one.supplier, one.sku, names[one.supplier, one.sku], one.quantity, one.expires, one.usage_known)
        for one in found.would_expire
    )
