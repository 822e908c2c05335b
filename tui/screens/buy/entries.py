"""What the Buy area lists, as rows: what is short, the plan, the orders, the sizes. Each with its words in full."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.content import Content

from models.orders.listing import ShareView
from tui.answers.buying import LineOrdered, LineToOrder, OrderToPlace, order_of, plan_of, short_of
from tui.answers.money import quantity_words
from tui.keys import plain
from tui.widgets.answer_band import Tone, chip
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row
from tui.widgets.time_line import Due, Times, time_line

if TYPE_CHECKING:
    from datetime import date

    from models.orders.listing import OrderLineView, OrderView
    from models.orders.planning import PlannedShare, Proposal
    from models.orders.short_rows import Short
    from tui.answers.buying import BuyingPlan
    from tui.answers.sizes_to_keep import SizesToKeep

NO_STATE = Content("")
WAITING = ("planned", "ordered", "part received")
"""States of an order of which something may still come."""
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
    Column("State", 15), Column("Packs", 11, right=True), Column("Came", 5, right=True), Column("What", 25, grow=True),
    Column("Cost", 12, right=True, yields=2), Column("Expected", 10, yields=1),
)  # fmt: skip
KEEP_COLUMNS = (
    Column("Keep", 5), Column("Size", 16, grow=True), Column("Needs", 6, right=True), Column("On hand", 7, right=True),
)  # fmt: skip


NEXT = {
    "planned": f"Enter marks it as sent to the supplier; {plain('paper')} shows its text.",
    "ordered": "Enter books in all of it, on a line below that line alone; X cancels it.",
    "part received": "Enter books in all the rest, on a line below that line alone; X cancels the rest.",
}
"""What comes next, by where an order stands."""


class Entry(NamedTuple):
    """A row, its words, and what it stands for (its kind says what `at` is).

    `state`: how it stands, in a word. `times`: the day it comes and the days it is wanted.
    """

    row: Row
    words: tuple[str, ...]
    kind: str = ""
    at: Any = None
    state: Content = NO_STATE
    times: Times | None = None


def answer(entry: Entry | None, cells: int, *, plain: bool) -> list[Content]:
    """What it is with how it stands, then when it comes and is wanted, as a line of so many cells."""
    if entry is None:
        return []
    first = entry.words[0] if entry.words else ""
    lead = (entry.state, " ") if entry.state.plain else ("", "")
    lines = [Content.assemble(*lead, clean(first))]
    if entry.times is not None and (drawn := time_line(entry.times, cells, plain=plain)):
        lines.append(Content(clean(drawn)))
    return lines


def _dues(shares: Iterable[PlannedShare | ShareView]) -> tuple[Due, ...]:
    """The jobs that a line is for, each once."""
    found: dict[str, Due] = {}
    for one in shares:
        of = one if isinstance(one, ShareView) else one.short
        if of.due_on is not None:
            found[of.job_title] = Due(of.job_title, of.due_on)
    return tuple(found.values())


def _in_time(times: Times) -> Content:
    """Whether it comes in time, in a word."""
    if times.arrives is None:
        return chip("DAY NOT KNOWN", Tone.DOUBT)
    if times.late or times.overdue:
        return chip("LATE" if times.late else "OVERDUE", Tone.BAD)
    return chip("IN TIME", Tone.GOOD) if times.dues else chip("NO HURRY")


def _of_order(lines: Iterable[Times], today: date) -> Times:
    """When the last of several lines comes, and all jobs that wait for one."""
    each = tuple(lines)
    known = [one.arrives for one in each if one.arrives is not None]
    dues = {due.name: due for one in each for due in one.dues}
    return Times(today, max(known) if known and len(known) == len(each) else None, tuple(dues.values()))


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


def short_entries(shorts: Sequence[Short], left_out: Collection[int | None], today: date) -> list[Entry]:
    """By job, with a mark that says whether the plan buys for it; reorder points last."""
    found: list[Entry] = []
    before: object = found
    for seen in shorts:
        one = short_of(seen)
        times = Times(today, None, (Due(seen.job_title, seen.due_on),) if seen.due_on else ())
        state = chip("LATE", Tone.BAD) if times.late else chip("SHORT" if one.job is not None else "LOW", Tone.DOUBT)
        if one.job != before:
            before = one.job
            mark = "[ ]" if one.job in left_out else "[x]"
            title = one.job_title or "The shelf: reorder points reached"
            words = ("Left out of the plan. Enter takes it in.", "The plan buys for it. Enter leaves it out.")
            head = Row((mark, "", title, f"{one.needed_by or ''}"), "head")
            found.append(Entry(head, (title, words[one.job not in left_out]), "job", one.job, state, times))
        cells = ("", quantity_words(one.quantity, one.counted_in), one.title, f"{one.needed_by or ''}")
        row = Row(cells, "dim" if one.job in left_out else "bad" if times.late else "")
        found.append(Entry(row, tuple(one.words()), "job", one.job, state, times))
    return found


def plan_entries(proposal: Proposal | None, today: date) -> list[Entry]:
    """A heading for each order with its lines, then what can't be bought."""
    if proposal is None:
        return []
    found = plan_of(proposal)
    entries: list[Entry] = []
    for order, planned in zip(found.orders, proposal.orders, strict=True):
        each = [Times(today, one.arrives, _dues(one.shares)) for one in planned.lines]
        total = f"{order.total} {order.currency}"
        words = (order.head, f"goods {order.goods} {order.currency}, {len(order.lines)} lines")
        head = Row(("", "", order.supplier, total, "", ""), "head")
        whole = _of_order(each, today)
        entries.append(Entry(head, words, state=_in_time(whole), times=whole))
        entries += [_planned_line(order, line, found, times) for line, times in zip(order.lines, each, strict=True)]
    if found.cannot:
        head = Row(("", "", "Can't be bought", "", "", ""), "head")
        entries.append(Entry(head, ("These are left out of the plan. Highlight one to see why.",)))
    short = {one.line: one for one in found.short}
    for cannot in found.cannot:
        lacks = short[cannot.line]
        cells = (quantity_words(lacks.quantity, lacks.counted_in), "", lacks.title, "", "", "")
        late = ["D leaves the due dates out."] if cannot.why == "arrives too late" else []
        state = chip("CAN'T BE BOUGHT", Tone.BAD)
        entries.append(Entry(Row(cells, "bad"), (*cannot.words(), *late), "cannot", state=state))
    return entries


def _planned_line(order: OrderToPlace, line: LineToOrder, found: BuyingPlan, times: Times) -> Entry:
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
    row = Row(cells, "bad" if times.late else "")
    return Entry(row, (*line.words(), *old), "line", state=_in_time(times), times=times)


def receive_words(order: OrderView, line: OrderLineView | None) -> str:
    """What Enter does with an order that was sent, or with its line."""
    waiting = [one for one in order.lines if one.waits]
    if not waiting:
        return f"nothing more comes of order {order.order_id}"
    if line is None:
        count = "its one line" if len(waiting) == 1 else f"its {len(waiting)} lines"
        return f"Enter books in all that is still to come of order {order.order_id}, {count}"
    name = line.name or line.number
    return f"Enter books in this line alone, or a part of it: {name}" if line.waits else f"all of {name} has come"


def order_entries(orders: Sequence[OrderView], today: date) -> list[Entry]:
    """A heading for each order, then its lines."""
    entries = []
    for view in orders:
        order = order_of(view)
        state = f"{STATES[order.state]} {order.state}"
        total = f"{order.total} {order.currency}"
        cells = (state, "", "", f"{order.order}: {order.supplier}", total, f"{order.expected_on or ''}")
        words = (order.head, NEXT.get(order.state, ""), f"planned by {order.planned_by} on {order.planned_on}")
        each = [Times(today, one.expected_on, _dues(one.shares)) for one in view.lines]
        waiting = [times for one, times in zip(view.lines, each, strict=True) if one.waits]
        whole = _of_order(waiting, today) if str(view.state) in WAITING and waiting else None
        how = (
            chip("LATE", Tone.BAD) if whole is not None and (whole.late or whole.overdue) else _state_chip(order.state)
        )
        entries.append(Entry(Row(cells, "head"), words, "order", (view, None), how, whole))
        for line, seen, times in zip(order.lines, view.lines, each, strict=True):
            waits = bool(seen.waits) and str(view.state) in WAITING
            entries.append(
                Entry(
                    _order_row(line, order.currency, late=waits and times.late),
                    tuple(line.words()),
                    "order",
                    (view, seen),
                    _in_time(times) if waits else _state_chip(order.state if seen.waits else "received"),
                    times if waits else None,
                )
            )
    return entries


def _state_chip(state: str) -> Content:
    return chip(state.upper(), Tone.GOOD if state == "received" else Tone.PLAIN)


def _order_row(line: LineOrdered, currency: str, *, late: bool) -> Row:
    waits = line.received < line.packs
    cells = (
        "",
        line.amount,
        f"{line.received}/{line.packs}",
        line.called,
        f"{line.cost} {currency}",
        f"{line.expected_on or ''}" if waits else "",
    )
    return Row(cells, "bad" if late else "" if waits else "good")


def keep_entries(found: SizesToKeep | None) -> list[Entry]:
    """Every size, the most needed first."""
    if found is None:
        return []
    return [
        Entry(
            Row(("✓" if one.keep else "", one.label, str(one.needs), str(one.on_hand)), "good" if one.keep else ""),
            tuple(one.words()),
            "size",
            state=chip("KEEP", Tone.GOOD) if one.keep else chip("NOT KEPT"),
        )
        for one in found.sizes
    ]
