"""`kitwright buy list`, `text`, `receive` and `call-off`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.buying import Buying
from tui.commands.buy_words import SCHEMA, day, number, order_lines, order_object, orders_object
from tui.commands.output import say, say_json, say_text, talk
from tui.commands.parsing import UsageError
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.orders.listing import OrderLineView, OrderView
    from models.orders.receiving import Came


def listing(arguments: argparse.Namespace) -> ExitCode:
    """List orders."""
    with opened(arguments) as workshop:
        orders = Buying(workshop).orders(open_only=not arguments.all)
    if arguments.json:
        say_json(orders_object(orders))
    elif not orders:
        say("No order is open." if not arguments.all else "Nothing was ordered yet.")
    for one in () if arguments.json else orders:
        for line in order_lines(one):
            say(line)
    return ExitCode.FOUND if orders else ExitCode.NOTHING


def text(arguments: argparse.Namespace) -> ExitCode:
    """Write an order for its supplier."""
    order_id = number(arguments.order, "ORDER")
    if arguments.form == "pdf" and not arguments.out:
        raise UsageError("a PDF goes into a file: add --out order.pdf")
    with opened(arguments) as workshop:
        buying = Buying(workshop)
        order = buying.order(order_id)
        written = buying.written(order, "txt" if arguments.form == "mail" else arguments.form, arguments.shop)
    if not arguments.out:
        say_text(written.decode())
        return ExitCode.FOUND
    from tui.saving import SaveError, save

    try:
        talk(f"Wrote {save(arguments.out, written)}")
    except SaveError as problem:
        raise UsageError(str(problem)) from problem
    return ExitCode.FOUND


def receive(arguments: argparse.Namespace) -> ExitCode:
    """Take in what came."""
    order_id = number(arguments.order, "ORDER")
    line_id = None if arguments.line is None else number(arguments.line, "--line")
    if line_id is None and arguments.packs is not None:
        raise UsageError("--packs needs --line: say which line they are of")
    if line_id is None and (arguments.lot or arguments.expires or arguments.cured):
        raise UsageError("--lot, --expires and --cured need --line: say which line they are of")
    with opened(arguments) as workshop:
        buying = Buying(workshop)
        order = buying.order(order_id)
        came = [_came(line, arguments) for line in _chosen(order, line_id)]
        done = buying.receive(order_id, came)
    if arguments.json:
        kits = [{"job": kit.job_id, "title": kit.title, "kit": kit.state.value} for kit in done.kits]
        say_json({"schema": SCHEMA, "orders": [order_object(done.order)], "kits": kits})
        return ExitCode.FOUND
    for text_line in order_lines(done.order):
        say(text_line)
    for kit in done.kits:
        say(f"Kit of job {kit.job_id}, {kit.title}: {kit.state}")
    return ExitCode.FOUND


def _chosen(order: OrderView, line_id: int | None) -> list[OrderLineView]:
    found = [line for line in order.lines if (line.line_id == line_id if line_id is not None else line.waits)]
    if not found and line_id is not None:
        known = ", ".join(str(line.line_id) for line in order.lines)
        raise UsageError(f"order {order.order_id} has no line {line_id}; it has: {known}")
    if not found:
        raise UsageError(f"order {order.order_id} is {order.state}: nothing of it is still to come")
    return found


def _came(line: OrderLineView, arguments: argparse.Namespace) -> Came:
    from models.orders.receiving import Came

    place = arguments.bin or next(iter(line.bins), "")
    if not place:
        raise UsageError(f"{line.number} lies nowhere yet: say where it goes with --bin")
    count = line.waits if arguments.packs is None else number(arguments.packs, "--packs")
    return Came(
        line.line_id, count, place, arguments.lot, day(arguments.expires, "--expires"), day(arguments.cured, "--cured")
    )


def call_off(arguments: argparse.Namespace) -> ExitCode:
    """Expect nothing more."""
    order_id = number(arguments.order, "ORDER")
    with opened(arguments) as workshop:
        order = Buying(workshop).call_off(order_id, arguments.note)
    if arguments.json:
        say_json(orders_object((order,)))
    else:
        for line in order_lines(order):
            say(line)
    return ExitCode.FOUND
