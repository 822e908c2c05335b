"""What the Buy area lists, as rows: what is short, the plan, the orders, the sizes. Each with its words in full."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NamedTuple

from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.orders.keeping import Keeping
    from models.orders.listing import OrderLineView, OrderView
    from models.orders.planning import PlannedLine, PlannedOrder, Proposal
    from models.orders.shorts import Short

STATES = {"planned": "·", "ordered": "○", "part received": "◐", "received": "●", "called off": "×"}
"""A glyph beside each state's word."""

SHORT_COLUMNS = (
    Column("Buy", 4), Column("Qty", 9, right=True), Column("What", 20, grow=True), Column("Needed by", 10, yields=1),
)  # fmt: skip
PLAN_COLUMNS = (
    Column("Packs", 11, right=True), Column("Number", 12, yields=2), Column("What", 30, grow=True),
    Column("Cost", 12, right=True), Column("Arrives", 10, yields=1), Column("Look", 6),
)  # fmt: skip
ORDER_COLUMNS = (
    Column("State", 15), Column("Packs", 11, right=True), Column("Came", 6, right=True), Column("What", 18, grow=True),
    Column("Cost", 12, right=True, yields=2), Column("Expected", 10, yields=1),
)  # fmt: skip
KEEP_COLUMNS = (
    Column("Keep", 5), Column("Size", 16, grow=True), Column("Needs", 6, right=True), Column("On hand", 7, right=True),
)  # fmt: skip


class Entry(NamedTuple):
    """A row, the words of its detail, and what it stands for (its kind says what `at` is)."""

    row: Row
    words: tuple[str, ...]
    kind: str = ""
    at: Any = None


def amount(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    from models.volume import in_words
    from models.words import Unit

    return in_words(quantity, Unit(unit))


def packs(count: int, quantity: int, unit: str) -> str:
    """`3`, or `2 × 20.00 L` where a pack holds more than one piece."""
    return str(count) if unit == "each" and quantity == 1 else f"{count} × {amount(quantity, unit)}"


def money(minor: Any, currency: str) -> str:
    """An amount with its currency."""
    from models.purchasing.money import written

    return written(minor, currency)


def short_entries(shorts: Sequence[Short], left_out: Collection[int | None]) -> list[Entry]:
    """By job, with a mark that says whether the plan buys for it; reorder points last."""
    found: list[Entry] = []
    before: object = found
    for one in shorts:
        if one.job_id != before:
            before = one.job_id
            mark = "[ ]" if one.job_id in left_out else "[x]"
            title = one.job_title or "The shelf: reorder points reached"
            words = ("Left out of the plan. Enter takes it in.", "The plan buys for it. Enter leaves it out.")
            head = Row((mark, "", title, f"{one.needed_by or ''}"), "head")
            found.append(Entry(head, (title, words[one.job_id not in left_out]), "job", one.job_id))
        said = [f"{one.title}: {amount(one.quantity, one.counted_in)} to buy"]
        said += [one.note] if one.note else []
        said += [f"{amount(one.on_order, one.counted_in)} more are on order already"] if one.on_order else []
        cells = ("", amount(one.quantity, one.counted_in), one.title, f"{one.needed_by or ''}")
        found.append(Entry(Row(cells, "dim" if one.job_id in left_out else ""), tuple(said), "job", one.job_id))
    return found


def plan_entries(found: Proposal | None) -> list[Entry]:
    """A heading for each order with its lines, then what can't be bought."""
    if found is None:
        return []
    entries: list[Entry] = []
    for order in found.orders:
        entries.append(_planned_head(order))
        entries += [_planned_line(order, line, found) for line in order.lines]
    if found.cannot:
        head = Row(("", "", "Can't be bought", "", "", ""), "head")
        entries.append(Entry(head, ("These are left out of the plan. Each row says why.",)))
    for cannot in found.cannot:
        short = cannot.short
        cells = (amount(short.quantity, short.counted_in), "", cannot.reason, "", "", "")
        words = [cannot.reason, *([f"Near: {cannot.tried}."] if cannot.tried else [])]
        if cannot.why.value == "arrives too late":
            words.append("D leaves the jobs' days out.")
        entries.append(Entry(Row(cells, "bad"), tuple(words), "cannot"))
    return entries


def _planned_head(order: PlannedOrder) -> Entry:
    freight = "free" if order.freight_minor == 0 else money(order.freight_minor, order.currency)
    total = money(order.total_minor, order.currency)
    words = (
        f"{order.supplier}: {total}",
        f"goods {money(order.goods_minor, order.currency)}, freight {freight}, {len(order.lines)} lines",
    )
    return Entry(Row(("", "", f"{order.supplier}, freight {freight}", total, "", ""), "head"), words)


def _planned_line(order: PlannedOrder, line: PlannedLine, found: Proposal) -> Entry:
    unit = line.offer.what.counted_in or "each"
    cells = (
        packs(line.packs, line.offer.pack_quantity, unit),
        line.offer.row.number,
        line.offer.row.name or line.offer.row.number,
        money(line.cost_minor, order.currency),
        f"{line.arrives or ''}",
        "! look" if line.doubt else "",
    )
    for_whom = ", ".join(
        f"{amount(share.quantity, unit)} for {share.short.job_title or 'the shelf'}" for share in line.shares
    )
    spare = f"; {amount(line.spare, unit)} spare" if line.spare else ""
    words = [f"{line.offer.row.number}, {line.offer.row.name}: {for_whom}{spare}"]
    words += list(dict.fromkeys(share.caution for share in line.shares if share.caution))
    for one in found.would_expire:
        if (one.supplier, one.number) == (order.supplier, line.offer.row.number):
            known = "by what the shop uses" if one.usage_known else "as nobody knows how fast it is used"
            words.append(f"{amount(one.quantity, unit)} may still be here when it expires on {one.expires}, {known}")
    return Entry(Row(cells), tuple(words), "line")


def order_entries(orders: Sequence[OrderView]) -> list[Entry]:
    """A heading for each order, then its lines."""
    entries = []
    for order in orders:
        state = f"{STATES[str(order.state)]} {order.state}"
        total = money(order.total_minor, order.currency)
        cells = (state, "", "", f"{order.order_id}: {order.supplier}", total, f"{order.expected_on or ''}")
        words = [f"Order {order.order_id}, {order.supplier}: {order.state}, {total}", _next_step(str(order.state))]
        words.append(f"planned by {order.planned_by} on {order.planned_at:%Y-%m-%d}")
        entries.append(Entry(Row(cells, "head"), tuple(words), "order", (order, None)))
        for line in order.lines:
            entries.append(_order_line(order, line))
    return entries


def _order_line(order: OrderView, line: OrderLineView) -> Entry:
    cells = (
        "",
        packs(line.packs, line.pack_quantity, line.counted_in),
        f"{line.received_packs}/{line.packs}",
        line.name or line.number,
        money(line.cost_minor, order.currency),
        f"{line.expected_on or ''}" if line.waits else "",
    )
    for_whom = ", ".join(
        f"{amount(share.quantity, line.counted_in)} for {share.job_title or 'the shelf'}" for share in line.shares
    )
    words = [f"{line.number}, {line.name}: {for_whom or 'spare'}"]
    words += list(dict.fromkeys(share.caution for share in line.shares if share.caution))
    return Entry(Row(cells, "good" if not line.waits else ""), tuple(words), "order", (order, line))


def _next_step(state: str) -> str:
    return {
        "planned": "Enter marks it as sent to the supplier; T shows its text.",
        "ordered": "Enter books in what came; X calls it off.",
        "part received": "Enter books in what came; X calls off the rest.",
    }.get(state, "")


def keep_entries(found: Keeping | None) -> list[Entry]:
    """Every size, the most needed first."""
    if found is None:
        return []
    return [
        Entry(
            Row(("✓" if row.kept else "", row.label, str(row.needs), str(row.on_hand)), "good" if row.kept else ""),
            (f"{row.label}: needed {row.needs} times, {row.on_hand} on hand, {'kept' if row.kept else 'not kept'}",),
            "size",
        )
        for row in found.sizes
    ]


def plan_title(found: Proposal) -> str:
    """What it costs and what it saves, in one line."""
    if not found.orders:
        return "Nothing of it can be bought." if found.cannot else "Nothing is short."
    said = [f"{money(found.total, found.currency)}, {'proven least' if found.proven else 'best in the time allowed'}"]
    if found.line_by_line is not None:
        said.append(f"line by line {_apart(found.line_by_line - found.total, found.currency)}")
    if found.single_supplier is not None:
        apart = _apart(found.single_supplier - found.total, found.currency)
        said.append(f"all from {found.single_name} {apart}")
    else:
        said.append("no supplier has it all")
    return "; ".join(said)


def _apart(more: Fraction, currency: str) -> str:
    """How much dearer another way is; with a limit of suppliers buying line by line can be cheaper."""
    return "the same" if more == 0 else f"{money(abs(more), currency)} {'more' if more > 0 else 'less'}"
