"""`kitwright buy`: plan what is short, order it, receive it; which sizes to keep."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from importlib import import_module

from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

NAME = "buy"
HELP = "plan what is short, order it, receive it; which sizes to keep"
DESCRIPTION = """\
Buy what the open jobs' kits lack and what has fallen to its reorder point, in
the packs that suppliers sell, at the least total cost.

examples:
  kitwright buy plan --demo
  kitwright buy order --looked-at --demo
  kitwright buy list --demo
  kitwright buy keep-sizes --share 90 --demo
"""
EPILOG = (
    "exit codes: 0 done, 1 nothing to buy or something can't be bought, 2 wrong options\n"
    "or input. Planning needs the extra kitwright[buying].\n"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    plan = todo.add_parser(
        "plan",
        help="the cheapest way to buy what is short",
        description="Work out what to buy from whom, and what it saves. Nothing is written.\n\n"
        "examples:\n  kitwright buy plan --job 3 --job 4 --max-suppliers 2\n  kitwright buy plan --demo --json\n",
    )
    order = todo.add_parser(
        "order",
        help="keep the plan and mark it as sent",
        description="Work the plan out again, keep it as one order a supplier and mark them as sent; or\n"
        "mark planned orders as sent by their numbers. Print each with: buy text.\n\n"
        "examples:\n  kitwright buy order --looked-at --demo\n  kitwright buy order 4 5 --expected 2026-12-04\n",
    )
    order.add_argument("orders", nargs="*", metavar="ORDER", help="planned orders to mark as sent")
    order.add_argument("--looked-at", action="store_true", help="you looked at each row whose text was only read")
    order.add_argument("--keep", action="store_true", help="keep the plan only; do not mark it as sent")
    order.add_argument("--expected", metavar="DAY", help="the day the supplier gave, as 2026-12-04")
    listing = todo.add_parser(
        "list",
        help="the orders and how they stand",
        description="List the orders of which something may still come.\n\n"
        "example:\n  kitwright buy list --all --demo\n",
    )
    listing.add_argument("--all", action="store_true", help="received and called off ones too")
    text = todo.add_parser(
        "text",
        help="an order to send: CSV, mail text or PDF",
        description="Write one order for its supplier.\n\n"
        "examples:\n  kitwright buy text 4\n  kitwright buy text 4 --as pdf --out order-4.pdf\n",
    )
    text.add_argument("order", metavar="ORDER", help="the order's number, as in buy list")
    text.add_argument("--as", dest="form", choices=("mail", "csv", "pdf"), default="mail", help="mail unless you say")
    text.add_argument("--out", metavar="FILE", help="write to this file; a PDF needs one")
    text.add_argument("--shop", metavar="NAME", default="", help="the shop's name to put on it")
    receive = todo.add_parser(
        "receive",
        help="book in what came",
        description="Put what came of an order on the shelf and into the kits that wait for it: all that\n"
        "is still to come, or so many packs of one line.\n\n"
        'examples:\n  kitwright buy receive 4 --bin "Box 2"\n'
        '  kitwright buy receive 4 --line 7 --packs 1 --bin "Shelf O" --lot A12\n',
    )
    receive.add_argument("order", metavar="ORDER", help="the order's number, as in buy list")
    receive.add_argument("--line", metavar="N", help="one line of it, by its number in buy list")
    receive.add_argument("--packs", metavar="N", help="how many packs of that line (else all still to come)")
    receive.add_argument("--bin", metavar="CODE", help="where it goes (else where the item lies already)")
    receive.add_argument("--lot", metavar="CODE", default="", help="the lot on the bag")
    receive.add_argument("--expires", metavar="DAY", help="the last day on the bag, as 2029-06-30")
    receive.add_argument("--cured", metavar="DAY", help="the cure day on the bag of rings, as 2026-06-30")
    off = todo.add_parser(
        "call-off",
        help="expect nothing more of an order",
        description="What has come stays; what has not is short again.\n\nexample:\n  kitwright buy call-off 4\n",
    )
    off.add_argument("order", metavar="ORDER", help="the order's number, as in buy list")
    off.add_argument("--note", metavar="TEXT", default="", help="why")
    keep = todo.add_parser(
        "keep-sizes",
        help="which ring sizes should this shop keep?",
        description="The fewest ring sizes that cover a share of what positions and jobs asked for.\n\n"
        "example:\n  kitwright buy keep-sizes --share 80 --demo\n",
    )
    keep.add_argument("--share", metavar="PERCENT", default="90", help="how much of the needs to cover (90)")
    keep.add_argument("--boxes", action="store_true", help="let an assortment box stand for its sizes")
    for below in (plan, order):
        _add_plan_options(below)
    for below, module, run in (
        (plan, "buy_plan", "plan"),
        (order, "buy_plan", "order"),
        (listing, "buy_orders", "listing"),
        (text, "buy_orders", "text"),
        (receive, "buy_orders", "receive"),
        (off, "buy_orders", "call_off"),
        (keep, "buy_keep", "keep"),
    ):
        below.set_defaults(run=_later(module, run), parser=below)
        if below is not text:
            add_json_option(below)
        add_workshop_options(below)


def _add_plan_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--job", action="append", metavar="N", help="only this job's kit; may be given again")
    parser.add_argument("--no-reorder", action="store_true", help="leave reorder points out")
    parser.add_argument("--any-day", action="store_true", help="leave the jobs' days out")
    parser.add_argument("--max-suppliers", metavar="N", help="order from no more suppliers than this")
    parser.add_argument("--in", dest="currency", metavar="EUR", help="add up in this currency, with --rate")
    parser.add_argument("--rate", action="append", metavar="USD=0.92", help="what one of another currency is worth")
    parser.add_argument("--time-limit", metavar="SECONDS", default="10", help="plan for at most so long (10)")


def _later(module: str, name: str) -> Callable[[argparse.Namespace], ExitCode]:
    """The function, its module imported only when it is run."""

    def run(arguments: argparse.Namespace) -> ExitCode:
        found: Callable[[argparse.Namespace], ExitCode] = getattr(import_module(f"tui.commands.{module}"), name)
        return found(arguments)

    return run


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `buy` asks for what to do."""
    raise UsageError(f"say what to do: plan, order, list, text, receive, call-off or keep-sizes (got {arguments.what})")
