"""What can be done and asked about buying: the plan, orders and what comes of them, the ring sizes to keep."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

import models
import tui
from tui.answers.buying import BuyingPlan, Orders, OrderText, orders_of, plan_of
from tui.answers.money import packs_words
from tui.answers.sizes_to_keep import SizesToKeep, keep_of
from tui.buying import Buying
from tui.fields.field import FieldError
from tui.fields.money import InCurrency
from tui.fields.orders import CureDays, HomeBin, Numbers, Order, OrderLine, Packs
from tui.fields.plain import Choice, Count, Day, File, Flag, Lot, Share, Text
from tui.fields.sheets import Language
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.orders.listing import OrderLineView, OrderView
    from models.orders.planning import Proposal
    from models.orders.receiving import Received
    from tui.workshop import Workshop

HELP = "plan what is short, order it, receive it; which sizes to keep"
DESCRIPTION = """\
Buy what the open jobs' kits lack and what has fallen to its reorder point, in
the packs that suppliers sell, at the least total cost.

examples:
  kitwright buy plan --demo
  kitwright buy order --looked-at --demo
  kitwright buy list --demo
  kitwright buy keep-sizes --share 90 --demo
"""
EPILOG = """\
exit codes: 0 done, 1 nothing to buy or something can't be bought, 2 wrong
options or input. Planning needs the extra kitwright[buying].
"""
NONE_LISTED: Final = {False: "No order is open.", True: "Nothing was ordered yet."}
FORMS: Final = {"mail": "txt", "csv": "csv", "pdf": "pdf"}
"""What an order can be written as, and the ending of its file's name."""


def _planned(workshop: Workshop, values: Values) -> Proposal:
    buying = Buying(workshop)
    gathered = buying.gather(values["job"], reorder=not values["no_reorder"], by_date=not values["any_day"])
    return buying.work_out(gathered, values["max_suppliers"], values["currency"], float(values["time_limit"]))


def _plan(workshop: Workshop, values: Values) -> BuyingPlan:
    return plan_of(_planned(workshop, values))


def _order(workshop: Workshop, values: Values) -> Orders:
    buying, expected = Buying(workshop), values["expected"]
    if values["orders"] is not None:
        return _sent(buying.place(values["orders"], expected))
    found = _planned(workshop, values)
    not_ordered = tuple(one.reason for one in found.cannot)
    if not found.orders:
        return orders_of((), nothing="There is nothing to order.", not_ordered=not_ordered)
    if found.doubts and not values["looked_at"]:
        rows = "; ".join(f"{line.offer.row.number} “{line.offer.row.name}”: {line.doubt}" for line in found.doubts)
        raise FieldError(f"look at these rows first, then add --looked-at: {rows}", "-")
    if values["keep"]:
        return orders_of(buying.accept(found, values["looked_at"]), not_ordered=not_ordered)
    return _sent(buying.accept_and_place(found, values["looked_at"], expected), not_ordered=not_ordered)


def _sent(orders: tuple[OrderView, ...], **told: Any) -> Orders:
    numbers = ", ".join(str(one.order_id) for one in orders)
    done = f"Order {numbers} is marked as sent." if len(orders) == 1 else f"Orders {numbers} are marked as sent."
    return orders_of(orders, done=done, **told)


def _list() -> Callable[..., Any]:

    def look(session: Session, *, everything: bool) -> tuple[OrderView, ...]:
        """Orders, newest first."""
        return models.orders.listing.listed(session, open_only=not everything)

    return look


def _listed(then: Then) -> Orders:
    return orders_of(then.result, nothing=NONE_LISTED[then.values["all"]])


def _text(workshop: Workshop, values: Values) -> OrderText:
    order, form, out = values["order"], values["form"], values["out"]
    made = Buying(workshop).written(order, FORMS[form], values["shop"], values["language"])
    if not out:
        return OrderText(order.order_id, form, made.decode().replace("\r\n", "\n"), None)
    try:
        return OrderText(order.order_id, form, None, str(tui.saving.save(out, made)))
    except tui.saving.SaveError as problem:
        raise FieldError(str(problem), "--out") from problem


def _no_file(values: Values) -> str:
    wants = values.get("form") == "pdf" and "out" in values and not values["out"]
    return "a PDF goes into a file: add --out order.pdf" if wants else ""


def _receive() -> Callable[..., Any]:

    def receive(
        session: Session, act: Act, *, order_id: int, line: OrderLineView | None = None, packs: int | None = None,
        bin_code: str, cured: Mapping[int, date], **bag: Any,
    ) -> Received:  # fmt: skip
        """Take in one line, or all that is still to come, each where it is kept or, where it is new, in the bin."""
        came = models.orders.receiving.Came
        if line is not None:
            day = cured.get(line.line_id)
            taken = [came(line.line_id, packs or line.waits, bin_code or line.bins[0], cured_on=day, **bag)]
        else:
            waiting = [one for one in models.orders.listing.get(session, order_id).lines if one.waits]
            taken = [
                came(one.line_id, one.waits, next(iter(one.bins), bin_code), cured_on=cured.get(one.line_id))
                for one in waiting
            ]
        return models.orders.receiving.receive(session, act, order_id, taken)

    return receive


def _received(then: Then) -> Orders:
    done: Received = then.result
    kits = "".join(f" Kit of job {kit.job_id}, {kit.title}: {kit.state}." for kit in done.kits)
    waiting = sum(1 for one in done.order.lines if one.waits)
    left = f"{waiting} line{'s' * (waiting != 1)} still to come" if waiting else "all here"
    return orders_of((done.order,), done.kits, done=f"Booked in. Order {done.order.order_id}: {left}.{kits}")


def _not_to_come(values: Values) -> str:
    order: OrderView | None = values.get("order")
    if order is None or "line" not in values:
        return ""
    line: OrderLineView | None = values["line"]
    if any(one.waits for one in ([line] if line is not None else order.lines)):
        return ""
    if line is not None:
        return f"all of {line.number} has come"
    return f"order {order.order_id} is {order.state}: nothing of it is still to come"


def _to_come(values: Values) -> str:
    """What is still to come, above the form."""
    order: OrderView = values["order"]
    line: OrderLineView | None = values["line"]
    waiting = [one for one in order.lines if one.waits] if line is None else [line]
    shown = ", ".join(
        f"{packs_words(one.waits, one.pack_quantity, one.counted_in)} {one.number}" for one in waiting[:4]
    )
    less = "" if line is not None else " Did less come? Esc, then Enter on its line."
    return f"Still to come: {shown}{' …' if len(waiting) > 4 else ''}.{less}"


def _usual(_: Session, __: date, values: Values) -> Mapping[str, str]:
    line: OrderLineView | None = values["line"]
    return {} if line is None else {"packs": str(line.waits), "bin": next(iter(line.bins), "")}


def _called_off(then: Then) -> Orders:
    return orders_of((then.result,), done=f"Order {then.result.order_id} is cancelled.")


def _keep_sizes(workshop: Workshop, values: Values) -> SizesToKeep:
    return keep_of(Buying(workshop).keeping(values["share"], boxes=values["boxes"]))


HOW_TO_PLAN = (
    Numbers("job", "Jobs", "only this job's kit; may be given again"),
    Flag("no_reorder", "Without reorder points", "leave reorder points out"),
    Flag("any_day", "Any day", "leave the jobs' days out"),
    Count("max_suppliers", "Suppliers", "order from no more suppliers than this", must=False),
    InCurrency("currency", "Currency"),
    Count("time_limit", "Seconds", "plan for at most so many seconds (10)", must=False, empty=10, most=3600),
)
THE_ORDER = Order("order", "Order", "the order's number, as in buy list")

PLAN = Operation(
    area="buy",
    name="plan",
    label="Work out plan",
    help="the cheapest way to buy what is short",
    about="Work out what to buy from whom, and what it saves. Nothing is written.",
    fields=HOW_TO_PLAN,
    does=_plan,
    examples=("buy plan", "buy plan --max-suppliers 2 --any-day"),
)
ORDER = Operation(
    area="buy",
    name="order",
    label="Order",
    help="keep the plan and mark it as sent",
    about="Work the plan out again, keep it as one order a supplier and mark them as sent; or\n"
    "mark planned orders as sent by their numbers. Print each with: buy text.",
    fields=(
        Numbers("orders", "Orders", "planned orders to mark as sent", placed=True, metavar="ORDER"),
        Flag("looked_at", "Looked at", "you looked at each row whose text was only read"),
        Flag("keep", "Keep only", "keep the plan only; do not mark it as sent"),
        Day("expected", "Expected", "the day the supplier gave, as 2026-12-04", must=False),
        *HOW_TO_PLAN,
    ),
    does=_order,
    examples=("buy order --looked-at", "buy order --keep --looked-at"),
)
LIST = Operation(
    area="buy",
    name="list",
    label="Orders",
    help="the orders and how they stand",
    about="List the orders of which something may still come.",
    fields=(Flag("all", "All", "received and cancelled ones too", parameter="everything"),),
    question=_list,
    answer=_listed,
    examples=("buy list --all",),
)
TEXT = Operation(
    area="buy",
    name="text",
    label="Text",
    help="an order to send: CSV, mail text or PDF",
    about="Write one order for its supplier.",
    fields=(
        THE_ORDER,
        Choice("form", "As", "mail, csv or pdf; mail unless you say", False, "mail", choices=tuple(FORMS), option="as"),
        File("out", "File", "write to this file; a PDF needs one", must=False),
        Text("shop", "Shop", "the shop's name to put on it", must=False),
        Language("language", "Language", "mail and PDF in en, de, fr or es; the supplier's own unless you say"),
    ),
    does=_text,
    refuse=_no_file,
    examples=("buy text 1", "buy text 1 --as csv", "buy text 1 --language de"),
)
RECEIVE = Operation(
    area="buy",
    name="receive",
    label="Receive",
    help="book in what came",
    about="Put what came of an order on the shelf and into the kits that wait for it: all\n"
    "that is still to come, as ordered, or so many packs of one line. Rings of a\n"
    "rubber with a shelf life keep by the cure day on their bag: say it, or leave it.",
    fields=(
        THE_ORDER,
        OrderLine("line", "Line", "one line of it, by its number in buy list"),
        Packs("packs", "Packs that came", "how many packs of that line (else all still to come)", given="line"),
        HomeBin("bin", "Bin", "where a new item goes, or the line (else where it is kept)", parameter="bin_code"),
        Lot("lot", "Lot (optional)", "the lot on the bag", given="line", parameter="lot_code"),
        Day("expires", "Last day to use it (optional)", "the last day on the bag, as 2029-06-30", must=False,
            given="line", parameter="expires_on"),
        CureDays("cured", "Cure days", "the cure day on the bag of rings, as 2026-06-30; of a whole order 3=2026-06-30 "
                 "for its line 3, once for each"),
    ),
    change=_receive,
    answer=_received,
    refuse=_not_to_come,
    told=_to_come,
    start=_usual,
    examples=(
        'buy receive 1 --line 1 --packs 1 --bin "Shelf O" --lot A12',
        'buy receive 1 --bin "Box 2"',
    ),
)  # fmt: skip
CALL_OFF = Operation(
    area="buy",
    name="call-off",
    label="Cancel order",
    help="expect nothing more of an order",
    about="What has come stays; what has not is short again.",
    fields=(THE_ORDER, Text("note", "Why (optional)", "why", must=False)),
    change=lambda: models.orders.booking.call_off,
    answer=_called_off,
    told=lambda _: "What has come stays; what has not is short again. Tell the supplier.",
    examples=('buy call-off 1 --note "out of stock"',),
    key="end",
)
KEEP_SIZES = Operation(
    area="buy",
    name="keep-sizes",
    label="Rings to keep",
    help="which ring sizes should this shop keep?",
    about="The fewest ring sizes that cover a share of what positions and jobs asked for.",
    fields=(
        Share("share", "Share", "how much of the needs to cover (90)", must=False, empty=Fraction(9, 10)),
        Flag("boxes", "Boxes", "let an assortment box stand for its sizes"),
    ),
    does=_keep_sizes,
    examples=("buy keep-sizes --share 80",),
)

OPERATIONS = (PLAN, ORDER, LIST, TEXT, RECEIVE, CALL_OFF, KEEP_SIZES)
