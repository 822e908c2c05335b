"""What has fallen to its reorder point, with the reason; and when to order, changed by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from tui.screens.closing import Sheet
from tui.screens.shelf.amounts import read_amount
from tui.screens.shelf.lines import words
from tui.screens.shelf.list_sheet import Line, ListSheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.stores.reorder_rules import RuleRow

MOST_DAYS = 3650


class Told(NamedTuple):
    """What was asked for: the item to show on the shelf, or the rule to change."""

    item_id: int
    change: bool


class ToOrder(ListSheet[Told]):
    """Every reorder point, those reached first; Enter shows the item on the shelf, E changes its point."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "change", "Change", tooltip="Change when to order", id="order.change"),
    ]

    def __init__(self, rules: Sequence[RuleRow]) -> None:
        due = sum(rule.due for rule in rules)
        super().__init__(
            f"To order: {due} of {len(rules)} have fallen to their reorder point",
            [
                Column("Item", 20, grow=True),
                Column("Free", 9, right=True),
                Column("Order at", 9, right=True),
                Column("Up to", 9, right=True, yields=1),
                Column("Answer", 16),
            ],
            [_line(rule) for rule in rules],
            "No item has a reorder point yet. On the shelf, N sets one for the highlighted item.",
            "Enter shows it on the shelf · E changes the point · Esc back",
        )

    def action_change(self) -> None:
        """Change the highlighted point."""
        if self.line is not None and self.line.answer is not None:
            self.dismiss(self.line.answer._replace(change=True))


def _line(rule: RuleRow) -> Line[Told]:
    unit = rule.counted_in
    answer = f"○ order {words(rule.to_order, unit)}" if rule.due else "· enough"
    cells = (rule.item_name, words(rule.free, unit), words(rule.order_at, unit), words(rule.up_to, unit), answer)
    return Line(Row(cells, "bad" if rule.due else ""), (rule.item_name, rule.reason), Told(rule.item_id, False))


class Point(NamedTuple):
    """What was typed, in the item's own unit."""

    order_at: int
    up_to: int
    lead_days: int | None


class PointForm(Sheet[Point | None]):
    """Order at, up to, and how many days a new order takes. Esc changes nothing."""

    DEFAULT_CSS = "PointForm Horizontal { height: 1; } PointForm Label { width: 22; } PointForm Input { width: 1fr; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="point.cancel"),
    ]

    def __init__(self, item_name: str, counted_in: str, rule: RuleRow | None) -> None:
        super().__init__()
        self._item_name = item_name
        self._counted_in = counted_in
        self._rule = rule

    def compose(self) -> ComposeResult:
        """The three fields."""
        rule = self._rule
        values = ("", "", "")
        if rule is not None:
            days = "" if rule.lead_days is None else str(rule.lead_days)
            values = (words(rule.order_at, rule.counted_in), words(rule.up_to, rule.counted_in), days)
        fields = (
            ("order_at", "Order when free falls to", values[0]),
            ("up_to", "and fill up to", values[1]),
            ("lead", "An order takes, days", values[2]),
        )
        with Vertical(classes="sheet"):
            yield Static(clean(f"When to order {self._item_name}"), classes="title", markup=False)
            for name, label, value in fields:
                with Horizontal():
                    yield Label(label, markup=False)
                    yield Input(value, max_length=40, id=name)
            yield Static("", id="point-error", classes="error", markup=False)
        yield Static("Enter: next field, then keeps it · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """The next field; on the last one hand back the point, or say what is wrong."""
        order = ("order_at", "up_to", "lead")
        if event.input.id in order[:2]:
            self.query_one(f"#{order[order.index(event.input.id) + 1]}", Input).focus()
            return
        found = []
        for name, least in (("order_at", 0), ("up_to", 1)):
            quantity, error = read_amount(self.query_one(f"#{name}", Input).value, self._counted_in, least=least)
            if error:
                self._refuse(name, error)
                return
            found.append(quantity)
        days = self.query_one("#lead", Input).value.strip()
        if days and not (days.isascii() and days.isdigit() and int(days) <= MOST_DAYS):
            self._refuse("lead", f"Type whole days up to {MOST_DAYS}, or leave it empty.")
        elif found[1] <= found[0]:
            self._refuse("up_to", "Fill up to more than the point to order at.")
        else:
            self.dismiss(Point(found[0], found[1], int(days) if days else None))

    def _refuse(self, name: str, sentence: str) -> None:
        self.query_one("#point-error", Static).update(f"! {sentence}")
        self.query_one(f"#{name}", Input).focus()

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
