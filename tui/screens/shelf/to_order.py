"""What has fallen to its reorder point, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual.binding import Binding, BindingType

from tui.screens.shelf.lines import words
from tui.screens.shelf.list_sheet import Line, ListSheet
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.inventory.reorder_rules import RuleRow


class RuleChoice(NamedTuple):
    """What was asked for: the rule whose item to show on the shelf, or the rule to change."""

    rule: RuleRow
    change: bool


class ToOrder(ListSheet[RuleChoice]):
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


def _line(rule: RuleRow) -> Line[RuleChoice]:
    unit = rule.counted_in
    answer = f"○ order {words(rule.to_order, unit)}" if rule.due else "· enough"
    cells = (rule.item_name, words(rule.free, unit), words(rule.order_at, unit), words(rule.up_to, unit), answer)
    return Line(Row(cells, "bad" if rule.due else ""), (rule.item_name, rule.reason), RuleChoice(rule, False))
