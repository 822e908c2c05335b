"""What the Buy area lists, as rows: what is short, the plan, the orders, the sizes. Each with its words in full."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from tui.answers.buying import LineOrdered, LineToOrder, OrderToPlace, order_of, plan_of, short_of
from tui.answers.money import quantity_words
from tui.keys import plain
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from models.orders.planning import Proposal
    from models.orders.short_rows import Short
    from tui.answers.buying import BuyingPlan
    from tui.answers.sizes_to_keep import SizesToKeep

STATES = {"planned": "·", "ordered": "○", "part received": "◐", "received": "●", "cancelled": "×"}
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


NEXT = {
    "planned": f"Enter marks it as sent to the supplier; {plain('paper')} shows its text.",
    "ordered": "Enter books in what came; X cancels it.",
    "part received": "Enter books in what came; X cancels the rest.",
}
"""What comes next, by where an order stands."""


class Entry(NamedTuple):
    """A row, the words of its detail, and what it stands for (its kind says what `at` is)."""

    row: Row
    words: tuple[str, ...]
    kind: str = ""
    at: Any = None


def keyed(entries: Sequence[Entry]) -> dict[Hashable, Entry]:
    """Each row by what makes it the same one when the list is read again: what it stands for, and what it is called."""
    found: dict[Hashable, Entry] = {}
    counts: Counter[Hashable] = Counter()
    for entry in entries:
        key: Hashable
        if entry.kind == "order":
            view, line = entry.at
            key = ("order", view.order_id, None if line is None else line.line_id)
        else:
            key = (entry.kind, entry.at, *(entry.row.cells[1:2] if entry.kind == "size" else entry.row.cells[2:3]))
        counts[key] += 1
        found[key, counts[key]] = entry
    return found


def short_entries(shorts: Sequence[Short], left_out: Collection[int | None]) -> list[Entry]:
    """By job, with a mark that says whether the plan buys for it; reorder points last."""
    found: list[Entry] = []
    before: object = found
    for one in map(short_of, shorts):
        if one.job != before:
            before = one.job
            mark = "[ ]" if one.job in left_out else "[x]"
            title = one.job_title or "The shelf: reorder points reached"
            words = ("Left out of the plan. Enter takes it in.", "The plan buys for it. Enter leaves it out.")
            head = Row((mark, "", title, f"{one.needed_by or ''}"), "head")
            found.append(Entry(head, (title, words[one.job not in left_out]), "job", one.job))
        cells = ("", quantity_words(one.quantity, one.counted_in), one.title, f"{one.needed_by or ''}")
        found.append(Entry(Row(cells, "dim" if one.job in left_out else ""), tuple(one.words()), "job", one.job))
    return found


def plan_entries(proposal: Proposal | None) -> list[Entry]:
    """A heading for each order with its lines, then what can't be bought."""
    if proposal is None:
        return []
    found = plan_of(proposal)
    entries: list[Entry] = []
    for order in found.orders:
        total = f"{order.total} {order.currency}"
        words = (order.head, f"goods {order.goods} {order.currency}, {len(order.lines)} lines")
        head = Row(("", "", f"{order.supplier}, freight {order.freight_words}", total, "", ""), "head")
        entries += [Entry(head, words), *(_planned_line(order, line, found) for line in order.lines)]
    if found.cannot:
        head = Row(("", "", "Can't be bought", "", "", ""), "head")
        entries.append(Entry(head, ("These are left out of the plan. Each row says why.",)))
    short = {one.line: one for one in found.short}
    for cannot in found.cannot:
        lacks = short[cannot.line]
        cells = (quantity_words(lacks.quantity, lacks.counted_in), "", cannot.reason, "", "", "")
        late = ["D leaves the due dates out."] if cannot.why == "arrives too late" else []
        entries.append(Entry(Row(cells, "bad"), (*cannot.words(), *late), "cannot"))
    return entries


def _planned_line(order: OrderToPlace, line: LineToOrder, found: BuyingPlan) -> Entry:
    cells = (
        line.amount,
        line.number,
        line.called,
        f"{line.cost} {order.currency}",
        f"{line.expected_on or ''}",
        "! look" if line.look_at else "",
    )
    old = [
        f"{quantity_words(one.quantity, line.counted_in)} may be left when it expires on {one.expires_on}: {one.why}"
        for one in found.would_expire
        if (one.supplier, one.number) == (order.supplier, line.number)
    ]
    return Entry(Row(cells), (*line.words(), *old), "line")


def order_entries(orders: Sequence[OrderView]) -> list[Entry]:
    """A heading for each order, then its lines."""
    entries = []
    for view in orders:
        order = order_of(view)
        state = f"{STATES[order.state]} {order.state}"
        total = f"{order.total} {order.currency}"
        cells = (state, "", "", f"{order.order}: {order.supplier}", total, f"{order.expected_on or ''}")
        words = (order.head, NEXT.get(order.state, ""), f"planned by {order.planned_by} on {order.planned_on}")
        entries.append(Entry(Row(cells, "head"), words, "order", (view, None)))
        for line, seen in zip(order.lines, view.lines, strict=True):
            entries.append(Entry(_order_row(line, order.currency), tuple(line.words()), "order", (view, seen)))
    return entries


def _order_row(line: LineOrdered, currency: str) -> Row:
    waits = line.received < line.packs
    cells = (
        "",
        line.amount,
        f"{line.received}/{line.packs}",
        line.called,
        f"{line.cost} {currency}",
        f"{line.expected_on or ''}" if waits else "",
    )
    return Row(cells, "" if waits else "good")


def keep_entries(found: SizesToKeep | None) -> list[Entry]:
    """Every size, the most needed first."""
    if found is None:
        return []
    return [
        Entry(
            Row(("✓" if one.keep else "", one.label, str(one.needs), str(one.on_hand)), "good" if one.keep else ""),
            tuple(one.words()),
            "size",
        )
        for one in found.sizes
    ]
