"""The four lists of the Buy area: their columns, what they say when empty, and the keys of each."""

from __future__ import annotations

from textual.binding import BindingType

from tui.bound import bind
from tui.keys import MENU, plain
from tui.screens.buy import entries
from tui.screens.operating import keys_of

VIEWS = {"short": "Short", "plan": "Plan", "orders": "Orders", "keep": "Rings to keep"}
"""Each list's name, in the order in which they are turned."""
COLUMNS = {
    "short": entries.SHORT_COLUMNS,
    "plan": entries.PLAN_COLUMNS,
    "orders": entries.ORDER_COLUMNS,
    "keep": entries.KEEP_COLUMNS,
}
EMPTY = {
    "short": "Nothing is short: no open kit lacks anything, and nothing has fallen to its reorder point.",
    "plan": f"No plan yet. {plain('wanted')} works one out.",
    "orders": f"No order is open. {plain('all')} shows those that came.",
    "keep": "No position has a fit record and no job has asked for a ring yet; or kitwright[buying] is not installed.",
}
ONLY_IN = {
    "toggle_job": ("short",),
    "accept": ("plan",),
    "send": ("orders",),
    "receive_all": ("orders",),
    "receive_line": ("orders",),
    "plan": ("short", "plan"),
    "days": ("short", "plan"),
    "suppliers": ("short", "plan"),
    "text": ("orders",),
    "call-off": ("orders",),
    "all_orders": ("orders",),
    "share": ("keep",),
}
"""Actions that only some lists have."""
STEPS = ("send", "receive_all", "receive_line")
"""What Enter does in Orders, of which the highlighted row has one."""

KEYS: list[BindingType] = [
    bind("take", "toggle_job", "Choose job", show=True, id="buy.job",
         tooltip="In Short: leave the row's job out of the plan, or take it in again"),
    bind("take", "accept", "Accept", show=True, id="buy.accept",
         tooltip="In Plan: keep it as one planned order a supplier"),
    bind("take", "send", "Mark as sent", show=True, id="buy.send",
         tooltip="In Orders, on a planned order or a line of it: mark the order as sent to its supplier"),
    bind("take", "receive_all", "Book in all", show=True, id="buy.receive",
         tooltip="In Orders, on an order that was sent: book in all of it that is still to come"),
    bind("take", "receive_line", "Book in line", show=True, id="buy.receive.line",
         tooltip="In Orders, on a line of an order that was sent: book in what came of this line, all or a part"),
    bind("turn", "next_view", "Next list", show=True, plain=True, id="buy.turn",
         tooltip="The next list: Short, Plan, Orders, Rings to keep"),
    bind("before", "turn(-1)", "List before", id="buy.before", tooltip="The list before"),
    bind("after", "turn(1)", "Next list", id="buy.after", tooltip="The next list"),
    bind("wanted", "plan", "Work out plan", show=True, plain=True, id="buy.plan",
         tooltip="The cheapest way to buy what is short; Esc stops it"),
    bind(MENU, "days", "Due dates", id="buy.days", tooltip="Go by the jobs' due dates, or not"),
    bind("more", "suppliers(1)", "More suppliers", id="buy.suppliers.more",
         tooltip="Order from more suppliers: at most 1, 2, 3, 4, any number"),
    bind("less", "suppliers(-1)", "Fewer suppliers", id="buy.suppliers.less", tooltip="Order from fewer suppliers"),
    bind("paper", "text", "Text", show=True, id="buy.text", tooltip="The order's text: read it, write it as PDF, CSV"),
    *keys_of("buy", footer=("call-off",)),
    bind("change", "terms", "Terms", id="buy.terms",
         tooltip="A supplier's freight, free from, smallest order, days to deliver, currency"),
    bind("all", "all_orders", "Open or all", show=True, id="buy.all", tooltip="Open orders only, or all"),
    bind("more", "share(1)", "More", show=True, id="buy.more", tooltip="In Rings to keep: cover more needs"),
    bind("less", "share(-1)", "Less", show=True, id="buy.less", tooltip="In Rings to keep: cover fewer needs"),
    bind(MENU, "view('short')", "Short", id="buy.view.short", tooltip="What is short"),
    bind(MENU, "view('plan')", "Plan", id="buy.view.plan", tooltip="The plan"),
    bind(MENU, "view('orders')", "Orders", id="buy.view.orders", tooltip="The orders"),
    bind(MENU, "view('keep')", "Rings to keep", id="buy.view.keep", tooltip="Which sizes to keep"),
    bind("again", "refresh", "Read again", id="buy.refresh", tooltip="Read the workshop again"),
]  # fmt: skip
