"""What has fallen to its reorder point, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from tui.keys import plain
from tui.screens.ask import Ask, Given, Key
from tui.screens.asking import Line, choose, highlighted
from tui.screens.shelf.lines import words
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.inventory.reorder_rules import RuleRow


class RuleChoice(NamedTuple):
    """What was asked for: the rule whose item to show on the shelf, or the rule to change."""

    rule: RuleRow
    change: bool


def to_order(rules: Sequence[RuleRow]) -> Ask[RuleChoice | None]:
    """Every reorder point, those reached first; Enter shows the item on the shelf, E changes its point."""
    due = sum(rule.due for rule in rules)
    lines = [_line(rule) for rule in rules]

    def change(ask: Ask[RuleChoice | None]) -> Given[RuleChoice | None] | str:
        chosen = highlighted(ask, lines)
        return "" if chosen is None else Given(chosen._replace(change=True))

    return choose(
        f"To order: {due} of {len(rules)} have fallen to their reorder point",
        [
            Column("Item", 20, grow=True),
            Column("Free", 9, right=True),
            Column("Order at", 9, right=True),
            Column("Up to", 9, right=True, yields=1),
            Column("Answer", 16),
        ],
        lines,
        empty=f"No item has a reorder point yet. On the shelf, {plain('change')} sets one for the highlighted item.",
        line=f"Enter shows it on the shelf · {plain('change')} changes the point · Esc back",
        name="to-order",
        enter=("Show", "Show it on the shelf"),
        more=[Key("change", "Change", "Change when to order", change)],
    )


def _line(rule: RuleRow) -> Line[RuleChoice]:
    unit = rule.counted_in
    answer = f"○ order {words(rule.to_order, unit)}" if rule.due else "· enough"
    cells = (rule.item_name, words(rule.free, unit), words(rule.order_at, unit), words(rule.up_to, unit), answer)
    return Line(Row(cells, "bad" if rule.due else ""), (rule.item_name, rule.reason), RuleChoice(rule, False))
