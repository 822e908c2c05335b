"""Buying: what is short and the plan for it, orders and what came of them, an order's text.

Money is text in whole units of the currency beside it; quantities are pieces or, for `counted_in` "ul", microlitres.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from shlex import quote
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from tui.answers.answer import Answer, said
from tui.answers.money import amount, packs_words, quantity_words
from tui.commands.output import table

if TYPE_CHECKING:
    from collections.abc import Iterable
    from fractions import Fraction

    from models.orders.listing import OrderLineView, OrderView, ShareView
    from models.orders.planning import CannotGet, Expiry, PlannedLine, PlannedOrder, PlannedShare, Proposal
    from models.orders.receiving import KitNow
    from models.orders.short_rows import Short

KindWord = Literal["ring", "filter", "fluid", "sealant", "fastener", "consumable"]
StateWord = Literal["planned", "ordered", "part received", "received", "cancelled"]
SHELF = "the shelf"


@dataclass(frozen=True)
class ShortLine:
    """One thing to buy: for a need of a job, or for an item of the shelf that has fallen to its reorder point.

    `quantity` is what to buy; `on_order` comes besides. `note`: why, in words.
    """

    line: str
    need: int | None
    job: int | None
    job_title: str | None
    title: str
    kind: KindWord
    counted_in: Literal["each", "ul"]
    quantity: int
    on_order: int
    needed_by: date | None
    note: str | None

    def words(self) -> list[str]:
        """What, how much, why; what comes besides."""
        told = [f"{self.title}: {quantity_words(self.quantity, self.counted_in)} to buy"]
        told += [self.note] if self.note else []
        coming = quantity_words(self.on_order, self.counted_in)
        return [*told, *([f"{coming} more are on order already"] if self.on_order else [])]


def short_of(one: Short) -> ShortLine:
    """A short line as answers tell it."""
    return ShortLine(
        line=one.line,
        need=one.need_id,
        job=one.job_id,
        job_title=one.job_title or None,
        title=one.title,
        kind=one.kind.value,
        counted_in=one.counted_in.value,
        quantity=one.quantity,
        on_order=one.on_order,
        needed_by=one.needed_by,
        note=one.note or None,
    )


@dataclass(frozen=True)
class BoughtFor:
    """How much of a line is for which need of a job, or for the shelf; `caution`: what to mind."""

    need: int | None
    job: int | None
    job_title: str | None
    title: str
    quantity: int
    caution: str | None


@dataclass(frozen=True)
class BoughtLine:
    """So many packs of a supplier's row: what they cost, when they should be here, and for whom."""

    number: str
    name: str
    packs: int
    pack_quantity: int
    counted_in: Literal["each", "ul"]
    cost: str
    expected_on: date | None
    bought_for: tuple[BoughtFor, ...]

    @property
    def amount(self) -> str:
        """The packs, in words."""
        return packs_words(self.packs, self.pack_quantity, self.counted_in)

    @property
    def called(self) -> str:
        """Its name, or its number where the list gives none."""
        return self.name or self.number

    @property
    def for_whom(self) -> str:
        """Each job and the shelf, with how much."""
        return ", ".join(
            f"{quantity_words(one.quantity, self.counted_in)} for {one.job_title or SHELF}" for one in self.bought_for
        )

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind, each thing once."""
        return tuple(dict.fromkeys(one.caution for one in self.bought_for if one.caution))


@dataclass(frozen=True)
class LineToOrder(BoughtLine):
    """A line of a plan. `spare`: bought, and nobody asks for it; `look_at`: what a person must look at first."""

    spare: int
    look_at: str | None

    def words(self) -> list[str]:
        """What it is and for whom; what to mind."""
        spare = f"; {quantity_words(self.spare, self.counted_in)} spare" if self.spare else ""
        return [f"{self.number}, {self.name}: {self.for_whom}{spare}", *self.cautions]


@dataclass(frozen=True)
class LineOrdered(BoughtLine):
    """A line of an order: its number, the item it becomes, how many packs of it have come."""

    line: int
    item: str
    received: int

    def words(self) -> list[str]:
        """What it is and for whom; what to mind."""
        return [f"{self.number}, {self.name}: {self.for_whom or 'spare'}", *self.cautions]


@dataclass(frozen=True)
class OrderToPlace:
    """One supplier's part of a plan. `freight` null: nobody said its terms, and `total` is the goods alone."""

    supplier: str
    currency: str
    goods: str
    freight: str | None
    total: str
    lines: tuple[LineToOrder, ...]

    @property
    def freight_words(self) -> str:
        """The freight, in words."""
        if self.freight is None:
            return "not known"
        return f"{self.freight} {self.currency}" if self.freight.strip("0.") else "free"

    @property
    def head(self) -> str:
        """The supplier and what it costs."""
        if self.freight is None:
            return f"{self.supplier}: {self.total} {self.currency} for the goods, freight not known"
        return f"{self.supplier}: {self.total} {self.currency} with freight {self.freight_words}"

    def words(self) -> list[str]:
        """What it costs; its lines as a table; what to mind."""
        rows = [
            (
                *(one.amount, one.number, one.name, f"{one.cost} {self.currency}"),
                "" if one.expected_on is None else str(one.expected_on),
                ", ".join(dict.fromkeys(whom.job_title or SHELF for whom in one.bought_for)),
            )
            for one in self.lines
        ]
        grid = table(("packs", "number", "name", "cost", "arrives", "for"), rows, right=(3,))
        notes = [f"  {one.number}: {caution}" for one in self.lines for caution in one.cautions]
        return [self.head, *(f"  {text}" for text in grid), *notes]


@dataclass(frozen=True)
class NotToBeHad:
    """A short line that can't be bought: why, in a word and in a sentence; `tried`: what came near."""

    line: str
    why: str
    reason: str
    tried: str | None

    def words(self) -> list[str]:
        """The reason; what came near."""
        return [self.reason, *([f"Near: {self.tried}."] if self.tried else [])]


@dataclass(frozen=True)
class WouldExpire:
    """What the shop would not use up in time, as far as anybody knows."""

    supplier: str
    number: str
    quantity: int
    expires_on: date
    usage_known: bool

    @property
    def why(self) -> str:
        """Where that is known from."""
        return "by what the shop uses" if self.usage_known else "the shop's usage is not known"


@dataclass(frozen=True)
class BuyingPlan(Answer):
    """What to buy from whom at the least total cost.

    `proven`: no way is cheaper; not where the freight of an order is not known. `line_by_line`: what it costs to buy
    each line where it is cheapest; `one_supplier`:
    what the cheapest supplier that has all of it asks, `one_supplier_name`. Both None where there is no such way.
    """

    SCHEMA: ClassVar[str] = "kitwright.plan/2"

    short: tuple[ShortLine, ...]
    orders: tuple[OrderToPlace, ...]
    cannot: tuple[NotToBeHad, ...]
    currency: str | None
    total: str | None
    proven: bool
    line_by_line: str | None
    one_supplier: str | None
    one_supplier_name: str | None
    would_expire: tuple[WouldExpire, ...]
    costs: tuple[str, ...] = said(())

    @property
    def no_terms(self) -> tuple[str, ...]:
        """The suppliers ordered from whose freight is not known."""
        return tuple(one.supplier for one in self.orders if one.freight is None)

    def go_on(self) -> list[tuple[str, str]]:
        """How the terms that are not known are said."""
        return [
            (f"Freight, smallest order and days of {one} are not known; say them with",
             f"list terms {quote(one)} --freight AMOUNT")
            for one in self.no_terms
        ]  # fmt: skip

    def words(self) -> list[str]:
        """Each order, what it costs and saves, what would expire, what can't be bought."""
        if not self.short:
            return ["Nothing is short: no open kit lacks anything, and nothing has fallen to its reorder point."]
        lines = [f"{len(self.short)} short line{'s' * (len(self.short) > 1)}"]
        for order in self.orders:
            lines += ["", *order.words()]
        lines += ["", *self.costs] if self.orders else []
        for one in self.would_expire:
            lines.append(f"Would expire on {one.expires_on}: some of {one.number} from {one.supplier} ({one.why}).")
        return [*lines, *(f"Can't be bought: {' '.join(one.words())}" for one in self.cannot)]

    @property
    def title(self) -> str:
        """What it costs and saves, on one line."""
        if self.orders:
            return " ".join(self.costs)
        return "None of it can be bought." if self.cannot else "Nothing is short."

    @property
    def found(self) -> bool:
        """Whether all that is short can be bought."""
        return bool(self.orders) and not self.cannot


def plan_of(found: Proposal) -> BuyingPlan:
    """A plan as answers tell it."""
    return BuyingPlan(
        short=tuple(map(short_of, found.gathered.shorts)),
        orders=tuple(map(_to_place, found.orders)),
        cannot=tuple(map(_not_to_be_had, found.cannot)),
        currency=found.currency or None,
        total=amount(found.total, found.currency),
        proven=found.proven and not found.no_terms,
        line_by_line=amount(found.line_by_line, found.currency),
        one_supplier=amount(found.single_supplier, found.currency),
        one_supplier_name=found.single_name or None,
        would_expire=tuple(map(_would_expire, found.would_expire)),
        costs=_costs(found),
    )


def _to_place(order: PlannedOrder) -> OrderToPlace:
    return OrderToPlace(
        supplier=order.supplier,
        currency=order.currency,
        lines=tuple(_to_order(line, order.currency) for line in order.lines),
        **_sums(order),
    )


def _sums(order: PlannedOrder | OrderView) -> dict[str, Any]:
    return {
        "goods": amount(order.goods_minor, order.currency),
        "freight": amount(order.freight_minor, order.currency),
        "total": amount(order.total_minor, order.currency),
    }


def _to_order(line: PlannedLine, currency: str) -> LineToOrder:
    unit = line.offer.what.counted_in
    return LineToOrder(
        number=line.offer.row.number,
        name=line.offer.row.name,
        packs=line.packs,
        pack_quantity=line.offer.pack_quantity,
        counted_in="each" if unit is None else unit.value,
        cost=amount(line.cost_minor, currency) or "",
        expected_on=line.arrives,
        bought_for=tuple(
            _bought_for(share.short.need_id, share.short.job_id, share.short.job_title, share.short.title, share)
            for share in line.shares
        ),
        spare=line.spare,
        look_at=line.doubt or None,
    )  # fmt: skip


def _bought_for(
    need: int | None, job: int | None, job_title: str, title: str, share: PlannedShare | ShareView
) -> BoughtFor:
    return BoughtFor(need, job, job_title or None, title, share.quantity, share.caution or None)


def _not_to_be_had(one: CannotGet) -> NotToBeHad:
    return NotToBeHad(one.short.line, one.why.value, one.reason, one.tried or None)


def _would_expire(one: Expiry) -> WouldExpire:
    return WouldExpire(one.supplier, one.number, one.quantity, one.expires, one.usage_known)


def _costs(found: Proposal) -> tuple[str, ...]:
    """What it costs in all, and what plainer ways would."""
    total = amount(found.total, found.currency)
    if found.no_terms:
        whose = ", ".join(found.no_terms)
        return (f"{total} {found.currency} without the freight of {whose}, which is not known: say its terms.",)
    known = "is the lowest possible (proven)" if found.proven else in_time(found.total, found.least)
    told = [f"{total} {found.currency} {known}."]
    if found.gathered.no_terms:
        return (*told, f"Freight not known: {', '.join(sorted(found.gathered.no_terms))}.")
    if found.line_by_line is not None:
        told.append(_saved("buying each line where it is cheapest", found.line_by_line - found.total, found.currency))
    if found.single_supplier is not None:
        told.append(_saved(f"all from {found.single_name}", found.single_supplier - found.total, found.currency))
    else:
        told.append("No single supplier has all of it.")
    return tuple(told)


def in_time(total: Fraction, least: Fraction) -> str:
    """What is said of a plan that is not proven: at most so far above the least cost, in tenths of a percent, up."""
    told = "is the lowest found in the time allowed"
    if least <= 0:
        return told
    tenths = -((least - total) * 1000 // least)
    return f"{told}, at most {tenths // 10}.{tenths % 10} % above the lowest possible"


def _saved(way: str, more: Fraction, currency: str) -> str:
    """What this saves over another way; with a limit of suppliers each line at its cheapest can cost less."""
    if more > 0:
        return f"Saves {amount(more, currency)} {currency} over {way}."
    way = f"{way[0].upper()}{way[1:]}"
    return f"{way} costs {'the same' if more == 0 else f'{amount(-more, currency)} {currency} less'}."


@dataclass(frozen=True)
class OrderPlaced:
    """An order, planned or sent. `expected_on`: when the last of it should be here, where anybody knows.

    `freight` null: not known.
    """

    order: int
    supplier: str
    state: StateWord
    currency: str
    goods: str
    freight: str | None
    total: str
    planned_on: date
    planned_by: str
    ordered_on: date | None
    expected_on: date | None
    lines: tuple[LineOrdered, ...]

    @property
    def head(self) -> str:
        """Its number, the supplier, where it stands, what it costs, when it should be here."""
        when = f", expected {self.expected_on}" if self.expected_on else ""
        return f"Order {self.order}: {self.supplier}, {self.state}, {self.total} {self.currency}{when}"

    def words(self) -> list[str]:
        """The order; its lines as a table."""
        cells = [
            (str(one.line), one.amount, f"{one.received} of {one.packs}", one.number, one.name,
             f"{one.cost} {self.currency}")
            for one in self.lines
        ]  # fmt: skip
        grid = table(("line", "packs", "came", "number", "name", "cost"), cells, right=(0, 5))
        return [self.head, *(f"  {text}" for text in grid)]


def order_of(order: OrderView) -> OrderPlaced:
    """An order as answers tell it."""
    return OrderPlaced(
        order=order.order_id,
        supplier=order.supplier,
        state=order.state.value,
        currency=order.currency,
        planned_on=order.planned_at.date(),
        planned_by=order.planned_by,
        ordered_on=None if order.ordered_at is None else order.ordered_at.date(),
        expected_on=order.expected_on,
        lines=tuple(_ordered(line, order.currency) for line in order.lines),
        **_sums(order),
    )


def _ordered(line: OrderLineView, currency: str) -> LineOrdered:
    return LineOrdered(
        number=line.number,
        name=line.name,
        packs=line.packs,
        pack_quantity=line.pack_quantity,
        counted_in=line.counted_in.value,
        cost=amount(line.cost_minor, currency) or "",
        expected_on=line.expected_on,
        bought_for=tuple(_bought_for(one.need_id, one.job_id, one.job_title, one.title, one) for one in line.shares),
        line=line.line_id,
        item=line.item_name,
        received=line.received_packs,
    )


@dataclass(frozen=True)
class KitWaiting:
    """A kit that waited for a delivery, and where it stands now."""

    job: int
    job_title: str
    state: str


@dataclass(frozen=True)
class Orders(Answer):
    """Orders and how they stand. `kits`: those that waited for what came. `done`: said first, where something was."""

    SCHEMA: ClassVar[str] = "kitwright.orders/2"

    orders: tuple[OrderPlaced, ...]
    kits: tuple[KitWaiting, ...]
    done: str = said()
    nothing: str = said()
    not_ordered: tuple[str, ...] = said(())

    def words(self) -> list[str]:
        """What was done, each order with its lines."""
        done = [self.done] if self.done else []
        return [*done, *(line for one in self.orders for line in one.words())] or [self.nothing]

    def aside(self) -> list[str]:
        """What could not be ordered, and why."""
        return [f"Not ordered: {reason}" for reason in self.not_ordered]

    @property
    def found(self) -> bool:
        """Whether there is an order."""
        return bool(self.orders)


def orders_of(orders: Iterable[OrderView], kits: Iterable[KitNow] = (), **told: Any) -> Orders:
    """Orders as answers tell them."""
    waiting = tuple(KitWaiting(one.job_id, one.title, str(one.state)) for one in kits)
    return Orders(tuple(map(order_of, orders)), waiting, **told)


@dataclass(frozen=True)
class OrderText(Answer):
    """An order as its supplier is sent it: its `text`, or the `file` it was written to."""

    SCHEMA: ClassVar[str] = "kitwright.order-text/2"

    order: int
    form: Literal["mail", "csv", "pdf"]
    text: str | None
    file: str | None

    def words(self) -> list[str]:
        """The text, or where it went."""
        return [f"Wrote {self.file}"] if self.text is None else self.text.rstrip("\n").split("\n")
