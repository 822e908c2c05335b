"""The four lists of the Buy area: their columns, what they say when empty, and the keys of each."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from tui.screens.buy import entries
from tui.screens.operating import keys_of

VIEWS = {"short": "S Short", "plan": "P Plan", "orders": "O Orders", "keep": "R Rings to keep"}
"""Each list's name, with the letter that opens it first. J and K move in any list."""
COLUMNS = {
    "short": entries.SHORT_COLUMNS,
    "plan": entries.PLAN_COLUMNS,
    "orders": entries.ORDER_COLUMNS,
    "keep": entries.KEEP_COLUMNS,
}
EMPTY = {
    "short": "Nothing is short: no open kit lacks anything, and nothing has fallen to its reorder point.",
    "plan": "No plan yet. F7 works one out.",
    "orders": "No order is open. L shows those that came.",
    "keep": "No position has a fit record and no job has asked for a ring yet; or kitwright[buying] is not installed.",
}
ONLY_IN = {
    "toggle_job": ("short",),
    "accept": ("plan",),
    "next_step": ("orders",),
    "plan": ("short", "plan"),
    "days": ("short", "plan"),
    "suppliers": ("short", "plan"),
    "text": ("orders",),
    "call-off": ("orders",),
    "all_orders": ("orders",),
    "share": ("keep",),
}
"""Actions that only some lists have."""

KEYS: list[BindingType] = [
    Binding("enter", "toggle_job", "Choose job", key_display="Enter", id="buy.job",
            tooltip="Leave the row's job out of the plan, or take it in again"),
    Binding("enter", "accept", "Accept", key_display="Enter", id="buy.accept",
            tooltip="Keep the plan as one planned order a supplier"),
    Binding("enter", "next_step", "Next step", key_display="Enter", id="buy.next",
            tooltip="Mark a planned order as sent; book in what came of an ordered one"),
    Binding("f7,w", "plan", "Work out plan", key_display="F7", id="buy.plan",
            tooltip="The cheapest way to buy what is short"),
    Binding("d", "days", "Due dates", key_display="D", id="buy.days", tooltip="Go by the jobs' due dates, or not"),
    Binding("m", "suppliers", "Suppliers", key_display="M", id="buy.suppliers",
            tooltip="Order from any number of suppliers, or at most 1, 2, 3, 4"),
    Binding("t", "text", "Text", key_display="T", id="buy.text", tooltip="The order's text, PDF and CSV"),
    *keys_of("buy", footer=("call-off",)),
    Binding("f", "terms", "Terms", key_display="F", show=False, id="buy.terms",
            tooltip="A supplier's freight, smallest order, days and currency"),
    Binding("l", "all_orders", "Open or all", key_display="L", id="buy.all", tooltip="Open orders only, or all"),
    Binding("plus,equals_sign", "share(1)", "More", key_display="+", id="buy.more", tooltip="Cover more needs"),
    Binding("minus", "share(-1)", "Less", key_display="-", id="buy.less", tooltip="Cover fewer needs"),
    Binding("s", "view('short')", "Short", show=False, id="buy.view.short", tooltip="What is short"),
    Binding("p", "view('plan')", "Plan", show=False, id="buy.view.plan", tooltip="The plan"),
    Binding("o", "view('orders')", "Orders", show=False, id="buy.view.orders", tooltip="The orders"),
    Binding("r", "view('keep')", "Rings to keep", show=False, id="buy.view.keep", tooltip="Which sizes to keep"),
    Binding("f12,y", "refresh", "Read again", show=False, id="buy.refresh", tooltip="Read the workshop again"),
]  # fmt: skip
