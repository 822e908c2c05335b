"""`kitwright shelf round`: the sheet of a count round, and a filled-in sheet compared and booked."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json, say_text, talk
from tui.commands.parsing import UsageError
from tui.commands.shelf_words import SCHEMA, bin_named, quantity
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.database import Session
    from models.stores.count_round import BinStop
    from models.stores.count_sheet import Outcome

LARGEST = 20_000_000
SHOWN = 200


def run(arguments: argparse.Namespace) -> ExitCode:
    """Print the sheet, or take one back."""
    if arguments.take is None:
        if arguments.book:
            raise UsageError("--book goes with --take FILE: which filled-in sheet?")
        return _print(arguments)
    if arguments.bin or arguments.out or arguments.empty or arguments.form != "text":
        raise UsageError("--take reads a sheet; --bin, --empty, --as and --out print one: leave them out")
    return _take(arguments)


def _print(arguments: argparse.Namespace) -> ExitCode:
    from models.stores.count_sheet import to_csv

    def look(session: Session) -> tuple[BinStop, ...]:
        from models.stores import count_round

        chosen = None if not arguments.bin else {bin_named(session, code).bin_id for code in arguments.bin}
        return count_round.stops(session, chosen, empty=arguments.empty)

    if arguments.json and (arguments.form != "text" or arguments.out):
        raise UsageError("--json prints the sheet as JSON; leave out --as and --out")
    with opened(arguments) as workshop:
        stops = workshop.read(look)
    if arguments.json:
        say_json({"schema": SCHEMA, "round": [_stop_object(stop) for stop in stops]})
        return ExitCode.FOUND if stops else ExitCode.NOTHING
    text = to_csv(stops) if arguments.form == "csv" else _sheet(stops)
    if arguments.out:
        from tui.saving import SaveError, save

        try:
            talk(f"Wrote {save(arguments.out, text.encode())}")
        except SaveError as problem:
            raise UsageError(f"--out: {problem}") from problem
    else:
        say_text(text)
    return ExitCode.FOUND if stops else ExitCode.NOTHING


def _stop_object(stop: BinStop) -> dict[str, object]:
    return {
        "bin": stop.code,
        "rows": [
            {
                "stock": row.stock_id,
                "item": row.item_name,
                "lot": row.lot_code or None,
                "counted_in": row.counted_in.value,
                "on_hand": row.on_hand,
                "promised": row.promised,
            }
            for row in stop.rows
        ],
    }


def _sheet(stops: tuple[BinStop, ...]) -> str:
    if not stops:
        return "Nothing lies there to be counted.\n"
    lines = []
    for stop in stops:
        lines.append(f"Bin {stop.code}")
        for row in stop.rows:
            lot = f", lot {row.lot_code}" if row.lot_code else ""
            lines.append(f"    ______  {row.item_name}{lot} (on record {quantity(row.on_hand, row)})")
    return "\n".join((*lines, ""))


def _take(arguments: argparse.Namespace) -> ExitCode:
    from models.errors import InvalidInputError
    from models.stores import count_sheet

    try:
        filled = count_sheet.from_csv(_text(arguments.take))
    except InvalidInputError as problem:
        raise UsageError(f"--take: {problem}") from problem

    with opened(arguments) as workshop:
        if arguments.book:
            outcome = workshop.change(
                lambda session, act: count_sheet.book(session, act, filled, reason=arguments.reason)
            )
        else:
            outcome = workshop.read(lambda session: count_sheet.compare(session, filled))
    booked = arguments.book and not outcome.refused and bool(outcome.counts)
    _tell(arguments, outcome, booked=booked)
    if outcome.refused:
        return ExitCode.USAGE
    return ExitCode.NOTHING if outcome.moved or not outcome.counts else ExitCode.FOUND


def _text(path: str) -> str:
    from models.errors import WorkshopError
    from models.outside import small_text

    try:
        return small_text(path, LARGEST)
    except WorkshopError as problem:
        raise UsageError(f"--take: {problem}") from problem


def _tell(arguments: argparse.Namespace, outcome: Outcome, *, booked: bool) -> None:
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "booked": booked,
                "counted": len(outcome.counts),
                "blank": outcome.blank,
                "gaps": [
                    {
                        "stock": gap.row.stock_id,
                        "item": gap.row.item_name,
                        "bin": gap.row.bin_code,
                        "counted_in": gap.row.counted_in.value,
                        "on_record": gap.row.on_hand,
                        "counted": gap.counted,
                        "by": gap.by,
                    }
                    for gap in outcome.gaps
                ],
                "moved": [{"line": line, "what": what} for line, what in outcome.moved],
                "refused": [{"line": line, "what": what} for line, what in outcome.refused],
            }
        )
        return
    agree = len(outcome.counts) - len(outcome.gaps)
    say(f"{len(outcome.counts)} counted: {agree} agree, {len(outcome.gaps)} differ; {outcome.blank} left blank.")
    for gap in outcome.gaps[:SHOWN]:
        sign = "+" if gap.by > 0 else "-"
        say(
            f"    {gap.row.item_name} in bin {gap.row.bin_code}: {quantity(gap.counted, gap.row)} counted, "
            f"{quantity(gap.row.on_hand, gap.row)} on record ({sign}{quantity(abs(gap.by), gap.row)})"
        )
    if len(outcome.gaps) > SHOWN:
        say(f"    and {len(outcome.gaps) - SHOWN} more; --json lists all of them")
    for line, what in outcome.moved:
        say(f"    line {line}: {what}: count it again")
    for line, what in outcome.refused:
        talk(f"line {line}: {what}")
    if booked:
        say("Booked.")
    elif outcome.refused:
        talk("Nothing was booked: put the lines above right first.")
    elif not outcome.counts:
        say("Nothing to book.")
    else:
        say("Nothing was booked yet; to book it add --book.")
