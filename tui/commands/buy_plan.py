"""`kitwright buy plan` and `kitwright buy order`."""

from __future__ import annotations

import argparse
from fractions import Fraction
from typing import TYPE_CHECKING

from tui.buying import Buying
from tui.commands.buy_words import day, money, number, order_lines, orders_object, packs, plan_object
from tui.commands.output import say, say_json, table, talk
from tui.commands.parsing import UsageError, shown
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from models.orders.planning import PlannedOrder, Proposal
    from models.purchasing.money import Exchange


def plan(arguments: argparse.Namespace) -> ExitCode:
    """Show the plan; nothing is written."""
    with opened(arguments) as workshop:
        found = _worked_out(Buying(workshop), arguments)
    if arguments.json:
        say_json(plan_object(found))
    else:
        for line in plan_lines(found):
            say(line)
    return ExitCode.FOUND if found.orders and not found.cannot else ExitCode.NOTHING


def order(arguments: argparse.Namespace) -> ExitCode:
    """Keep the plan and mark it as sent, or mark planned orders as sent."""
    expected = day(arguments.expected, "--expected")
    with opened(arguments) as workshop:
        buying = Buying(workshop)
        if arguments.orders:
            ids = [number(text, "ORDER") for text in arguments.orders]
            orders = buying.place(ids, expected)
        else:
            found = _worked_out(buying, arguments)
            for one in found.cannot:
                talk(f"Not ordered: {one.reason}")
            if not found.orders:
                return _said((), arguments, "There is nothing to order.")
            doubts = found.doubts
            if doubts and not arguments.looked_at:
                rows = "; ".join(f"{line.offer.row.number} “{line.offer.row.name}”: {line.doubt}" for line in doubts)
                raise UsageError(f"look at these rows first, then add --looked-at: {rows}")
            if arguments.keep:
                orders = buying.accept(found, arguments.looked_at)
            else:
                orders = buying.accept_and_place(found, arguments.looked_at, expected)
    return _said(orders, arguments, "")


def _said(orders: tuple[OrderView, ...], arguments: argparse.Namespace, nothing: str) -> ExitCode:
    if arguments.json:
        say_json(orders_object(orders))
    elif not orders:
        say(nothing)
    for one in () if arguments.json else orders:
        for line in order_lines(one):
            say(line)
    return ExitCode.FOUND if orders else ExitCode.NOTHING


def _worked_out(buying: Buying, arguments: argparse.Namespace) -> Proposal:
    jobs = None if arguments.job is None else [number(text, "--job") for text in arguments.job]
    most = None if arguments.max_suppliers is None else number(arguments.max_suppliers, "--max-suppliers")
    exchange = _exchange(arguments)
    limit = number(arguments.time_limit, "--time-limit", most=3600)
    gathered = buying.gather(jobs, reorder=not arguments.no_reorder, by_date=not arguments.any_day)
    return buying.work_out(gathered, most, exchange, float(limit))


def _exchange(arguments: argparse.Namespace) -> Exchange | None:
    if arguments.currency is None and not arguments.rate:
        return None
    from models.purchasing.money import Exchange

    if arguments.currency is None:
        raise UsageError("--rate needs --in: say which currency to add up in")
    rates: dict[str, Fraction] = {}
    for text in arguments.rate or ():
        name, _, worth = text.partition("=")
        try:
            rates[name.strip().upper()] = Fraction(worth.strip()[:30])
        except (ValueError, ZeroDivisionError):
            raise UsageError(f"--rate: {shown(text)} is not a rate; write it like USD=0.92") from None
    return Exchange(arguments.currency.strip().upper(), rates)


def plan_lines(found: Proposal) -> list[str]:
    """A plan as text."""
    if not found.gathered.shorts:
        return ["Nothing is short: no open kit lacks anything, and nothing has fallen to its reorder point."]
    lines = [f"{len(found.gathered.shorts)} short lines"]
    for one in found.orders:
        lines += _order_lines(one)
    if found.orders:
        lines += ["", *summary(found)]
    for expiry in found.would_expire:
        why = "by what the shop uses" if expiry.usage_known else "nobody knows how fast the shop uses it"
        lines.append(f"Would expire on {expiry.expires}: some of {expiry.number} from {expiry.supplier} ({why}).")
    for cannot in found.cannot:
        lines.append(f"Can't be bought: {cannot.reason}" + (f" Near: {cannot.tried}." if cannot.tried else ""))
    return lines


def _order_lines(order: PlannedOrder) -> list[str]:
    freight = "free" if order.freight_minor == 0 else money(order.freight_minor, order.currency)
    head = f"{order.supplier}: {money(order.total_minor, order.currency)} with freight {freight}"
    rows, notes = [], []
    for line in order.lines:
        unit = line.offer.what.counted_in or "each"
        rows.append(
            (
                packs(line.packs, line.offer.pack_quantity, unit),
                line.offer.row.number,
                line.offer.row.name,
                money(line.cost_minor, order.currency),
                "" if line.arrives is None else str(line.arrives),
                ", ".join(dict.fromkeys(share.short.job_title or "the shelf" for share in line.shares)),
            )
        )
        notes += [
            f"  {line.offer.row.number}: {text}" for text in dict.fromkeys(s.caution for s in line.shares) if text
        ]
    grid = table(("packs", "number", "name", "cost", "arrives", "for"), rows, (3,))
    return ["", head, *(f"  {text}" for text in grid), *notes]


def summary(found: Proposal) -> list[str]:
    """What it costs in all, and what plainer ways would cost."""
    proven = "no way is cheaper" if found.proven else "the best found in the time allowed; a cheaper way may exist"
    lines = [f"Total {money(found.total, found.currency)}: {proven}."]
    if found.line_by_line is not None:
        cost = money(found.line_by_line, found.currency)
        lines.append(f"Line by line {cost}: {_saved(found.line_by_line - found.total, found.currency)}.")
    if found.single_supplier is not None:
        cost = money(found.single_supplier, found.currency)
        saved = _saved(found.single_supplier - found.total, found.currency)
        lines.append(f"All from {found.single_name} {cost}: {saved}.")
    else:
        lines.append("No single supplier has all of it.")
    return lines


def _saved(more: Fraction, currency: str) -> str:
    if more == 0:
        return "the same"
    return f"this saves {money(more, currency)}" if more > 0 else f"this costs {money(-more, currency)} more"
