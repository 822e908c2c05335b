"""`kitwright shelf reorder`: what has fallen to its reorder point, and an item's rule."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import amount, number
from tui.commands.judging import number as real
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.commands.shelf_words import SCHEMA, item_named
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.stocking.reorder import ReorderPoint
    from models.stores.items import ItemRow
    from models.stores.reorder_rules import RuleRow
    from tui.workshop import Workshop

MOST_DAYS = 3650


def run(arguments: argparse.Namespace) -> ExitCode:
    """List rules, set one, drop one, or propose a point."""
    setting = arguments.order_at is not None or arguments.up_to is not None
    if arguments.item is None:
        if setting or arguments.drop or arguments.propose or arguments.lead_days or arguments.service:
            raise UsageError('name the item first, as in: kitwright shelf reorder "Rags" --order-at 20 --up-to 100')
        return _list(arguments)
    if setting + arguments.drop + arguments.propose > 1:
        raise UsageError("choose one: --order-at with --up-to, --propose, or --drop")
    if arguments.service and not arguments.propose:
        raise UsageError("--service goes with --propose")
    if arguments.lead_days and not (setting or arguments.propose):
        raise UsageError("--lead-days goes with --order-at and --up-to, or with --propose")
    lead_days = None
    if arguments.lead_days is not None:
        lead_days = number("--lead-days", arguments.lead_days, least=0, most=MOST_DAYS)
    with opened(arguments) as workshop:
        item = workshop.read(lambda session: item_named(session, arguments.item))
        if setting:
            return _set(workshop, arguments, item, lead_days)
        if arguments.drop:
            return _drop(workshop, arguments, item)
        if arguments.propose:
            return _propose(workshop, arguments, item, lead_days)
        rules = [row for row in _rules(workshop, due_only=False) if row.item_id == item.item_id]
    return _tell(arguments, rules, f"{item.name} has no reorder point; work one out with --propose --lead-days N")


def _list(arguments: argparse.Namespace) -> ExitCode:
    with opened(arguments) as workshop:
        rules = _rules(workshop, due_only=not arguments.all)
    return _tell(arguments, rules, "There is no reorder point yet." if arguments.all else "Nothing has run low.")


def _rules(workshop: Workshop, *, due_only: bool) -> tuple[RuleRow, ...]:
    from models.stores import reorder_rules

    on = workshop.open().clock().date()
    return workshop.read(lambda session: reorder_rules.rules(session, on, due_only=due_only))


def _set(workshop: Workshop, arguments: argparse.Namespace, item: ItemRow, lead_days: int | None) -> ExitCode:
    if arguments.order_at is None or arguments.up_to is None:
        raise UsageError("a rule needs both --order-at and --up-to")
    order_at = amount("--order-at", arguments.order_at, item.counted_in, least=0)
    up_to = amount("--up-to", arguments.up_to, item.counted_in)

    def change(session: Session, act: Act) -> RuleRow:
        from models.stores import reorder_rules

        return reorder_rules.set_rule(session, act, item.item_id, order_at=order_at, up_to=up_to, lead_days=lead_days)

    rule = workshop.change(change)
    _tell(arguments, [rule], "")
    return ExitCode.FOUND


def _drop(workshop: Workshop, arguments: argparse.Namespace, item: ItemRow) -> ExitCode:
    from models.stores import reorder_rules

    had = any(row.item_id == item.item_id for row in _rules(workshop, due_only=False))
    if had:
        workshop.change(lambda session, act: reorder_rules.drop_rule(session, act, item.item_id))
    if arguments.json:
        say_json({"schema": SCHEMA, "rules": []})
    else:
        say(f"{item.name} has no reorder point any more." if had else f"{item.name} had no reorder point.")
    return ExitCode.FOUND if had else ExitCode.NOTHING


def _propose(workshop: Workshop, arguments: argparse.Namespace, item: ItemRow, lead_days: int | None) -> ExitCode:
    from models.stores import reorder_rules

    if lead_days is None:
        raise UsageError("--propose: say how long a new order takes, as --lead-days 10")
    percent = real("--service", (arguments.service or "95").removesuffix("%"), "95")
    if not 50 <= percent < 100:
        raise UsageError("--service: type a share from 50 to 99.9 percent, as 95")
    on = workshop.open().clock().date()
    point: ReorderPoint = workshop.read(
        lambda session: reorder_rules.proposed(session, item.item_id, on, lead_days, service_level=percent / 100)
    )
    if arguments.json:
        proposal = {"item": item.name, "counted_in": item.counted_in.value, "order_at": point.quantity}
        say_json({"schema": SCHEMA, "proposal": {**proposal, "reason": point.reason}})
    else:
        from models.volume import in_words

        say(f"{item.name}: order more at {in_words(point.quantity, item.counted_in)}.")
        say(point.reason)
    return ExitCode.FOUND if point.quantity else ExitCode.NOTHING


def _tell(arguments: argparse.Namespace, rules: list[RuleRow] | tuple[RuleRow, ...], nothing: str) -> ExitCode:
    from models.volume import in_words

    if arguments.json:
        say_json({"schema": SCHEMA, "rules": [rule_object(rule) for rule in rules]})
    elif not rules:
        say(nothing)
    for rule in () if arguments.json else rules:
        order = f"order {in_words(rule.to_order, rule.counted_in)}" if rule.due else "enough"
        say(f"{rule.item_name}: {order}. {rule.reason}")
    return ExitCode.FOUND if rules else ExitCode.NOTHING


def rule_object(rule: RuleRow) -> dict[str, Any]:
    """A rule as JSON; quantities in pieces or microlitres."""
    return {
        "item": rule.item_name,
        "counted_in": rule.counted_in.value,
        "order_at": rule.order_at,
        "up_to": rule.up_to,
        "lead_days": rule.lead_days,
        "free": rule.free,
        "due": rule.due,
        "to_order": rule.to_order,
        "reason": rule.reason,
    }
